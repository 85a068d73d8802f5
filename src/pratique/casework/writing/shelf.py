"""The forms for what stands on the shelf: methods of reading, and stock solutions."""

import re
from collections.abc import Sequence
from datetime import datetime
from itertools import pairwise

from pratique import knowledge
from pratique.casework.methods import NamedMethod, methods_of
from pratique.casework.words import sentence_case
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.keys import key_from, meant
from pratique.casework.writing.lookups import find
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import fraction_of_salt, plain
from pratique.casework.writing.options import MOMENT, first, substance_options, with_initial
from pratique.casework.writing.places import chosen, key_of, which_field
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.places import Method, Stock
from pratique.ledger.states import StockState
from pratique.science.estimation.reading import NORMAL_95
from pratique.units import parse_number

# A chart's own error where none is written: a fifth of its smallest step.
_STEP_SHARE = 5
_PERCENT = 100


def method_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about a method; those of one that is changed, built-in or own, are filled in."""
    known = methods_of(household)
    now = known.get(meant(first(answers, "key"), {key: one.name for key, one in known.items()}) or "")
    options = (Option("", "A new method"), *(Option(one.key, sentence_case(one.name)) for one in known.values()))
    constituents = tuple(Option(one.key, one.name, one.unit) for one in knowledge.constituents())
    asked = (
        Field(name="key", label="New, or a change to", widget=Widget.CHOICE, options=options),
        Field(name="name", label="Name", required=True, initial=now.name if now else ""),
        Field(
            name="constituents",
            label="Reads",
            widget=Widget.MANY,
            required=True,
            options=constituents,
            initial=now.constituents if now else (),
        ),
        *_error_fields(now),
        MOMENT,
    )
    return with_initial(asked, answers)


def _error_fields(now: NamedMethod | None) -> tuple[Field, ...]:
    error = now.error if now is not None else None
    texts = {
        "resolution": _text(error.resolution or None) if error else "",
        "plus-minus": _text(error.absolute_sd * NORMAL_95 or None) if error else "",
        "plus-minus-percent": _text(error.relative_sd * NORMAL_95 * _PERCENT or None) if error else "",
        "lower-limit": _text(error.lower_limit) if error else "",
        "upper-limit": _text(error.upper_limit) if error else "",
    }
    labels = {
        "resolution": ("Smallest step it shows", ""),
        "plus-minus": ("±, in the unit it reads in", "95 in 100 readings lie within."),
        "plus-minus-percent": ("and ±, in per cent of the reading", "Where its sheet names both."),
        "lower-limit": ("Reads nothing below", ""),
        "upper-limit": ("Reads nothing above", ""),
    }
    numbers = (
        Field(name=name, label=label, widget=Widget.NUMBER, hint=hint, initial=texts[name], group="How sure it is")
        for name, (label, hint) in labels.items()
    )
    marks = "; ".join(plain(mark) for mark in error.marks) if error and error.marks else ""
    chart = Field(
        name="marks",
        label="Marks of a colour chart",
        hint="From the lowest up, parted by semicolons: 0; 0.1; 0.2. Left empty: not a chart.",
        initial=marks,
        group="How sure it is",
    )
    return (*numbers, chart)


def write_method(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the method as it is now to be used. Raises Problems and Doubts."""
    asked = Asked(desk, answers, method_fields(desk.household, answers, desk.now))
    known = methods_of(asked.household)
    before = asked.desk.amends
    key = before.raw["key"] if before else asked.choice("key")
    name = asked.line("name", "Write a name for the method.")
    reads = asked.many("constituents") or (known[key].constituents if key in known and not before else ())
    constituents = tuple(one for text in reads if (one := asked.option("constituents", text)))
    if not constituents:
        asked.problem("constituents", "Choose at least one thing it reads.")
    marks = _marks(asked)
    lower, upper = asked.number("lower-limit"), asked.number("upper-limit")
    if lower is not None and upper is not None and lower >= upper:
        asked.problem("upper-limit", f"This must be more than the {plain(lower)} it reads from.")
    absolute, percent = asked.zero_or_more("plus-minus"), asked.zero_or_more("plus-minus-percent")
    resolution = asked.number("resolution", above=0)
    if not any((absolute, percent, resolution, marks)):
        asked.problem("plus-minus", "Write how sure it is: a ±, its smallest step, or the marks of its chart.")
    confirmed = asked.settle()
    if absolute is None and marks:
        absolute_sd = min(high - low for low, high in pairwise(marks)) / _STEP_SHARE
    else:
        absolute_sd = (absolute or 0.0) / NORMAL_95
    method = Method(
        key=key or key_from(name, known),
        name=name,
        constituents=constituents,
        resolution=resolution,
        absolute_sd=absolute_sd,
        relative_sd=(percent or 0.0) / _PERCENT / NORMAL_95,
        lower_limit=lower,
        upper_limit=upper,
        marks=marks,
        confirmed=confirmed,
    )
    return asked.entries(method)


def _marks(asked: Asked) -> tuple[float, ...] | None:
    text = asked.text("marks")
    if not text:
        return None
    try:
        marks = tuple(parse_number(part) for part in re.split(r"[;\s]+|,\s+", text) if part)
    except ValueError as error:
        asked.problem("marks", str(error))
        return None
    if len(marks) < 2 or any(low >= high for low, high in pairwise(marks)):
        asked.problem("marks", "Write at least two marks, each higher than the one before: 0; 0.1; 0.2.")
        return None
    return marks


def _text(number: float | None) -> str:
    return "" if number is None else f"{number:.4g}"


def answers_of_method(entry: Recorded, household: Household) -> Answers:
    """Return a method as answers to its form."""
    told_of = entry.payload
    if not isinstance(told_of, Method):
        return {}
    return {
        "name": told_of.name,
        "constituents": told_of.constituents,
        "resolution": _text(told_of.resolution),
        "plus-minus": _text(told_of.absolute_sd * NORMAL_95 or None),
        "plus-minus-percent": _text(told_of.relative_sd * NORMAL_95 * _PERCENT or None),
        "lower-limit": _text(told_of.lower_limit),
        "upper-limit": _text(told_of.upper_limit),
        "marks": _mark_text(told_of.marks),
        "moment": told(entry, household)["moment"],
    }


def _mark_text(marks: Sequence[float] | None) -> str:
    return "; ".join(plain(mark) for mark in marks) if marks else ""


def stock_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about a stock solution: its strength, or what was dissolved in how much."""
    now = chosen(answers, household.stocks)
    asked = (
        which_field(household.stocks.values(), "A new stock solution"),
        Field(name="name", label="Name on the bottle", required=True, initial=now.name if now else ""),
        Field(
            name="substance",
            label="What is in it",
            widget=Widget.CHOICE,
            required=True,
            options=substance_options(),
            initial=now.substance if now else "",
        ),
        *_strength_fields(now),
        MOMENT,
    )
    return with_initial(asked, answers)


def _strength_fields(now: StockState | None) -> tuple[Field, ...]:
    group = "Strength"
    return (
        Field(
            name="strength",
            label="Strength",
            widget=Widget.NUMBER,
            units=("mg/mL", "g/L"),
            hint="Of copper itself, not of its salt.",
            initial=plain(now.strength_mg_per_ml) if now else "",
            group=group,
        ),
        Field(
            name="salt",
            label="Or: copper sulfate pentahydrate dissolved",
            widget=Widget.NUMBER,
            units=("g", "mg"),
            group=group,
        ),
        Field(name="made-up-to", label="made up to", widget=Widget.NUMBER, units=("mL", "L"), group=group),
        Field(
            name="plus-minus-percent",
            label="± of the strength, in per cent",
            widget=Widget.NUMBER,
            initial=plain(now.strength_plus_minus_percent) if now else "5",
            group=group,
        ),
    )


def write_stock(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the stock solution as it is now. Raises Problems and Doubts."""
    asked = Asked(desk, answers, stock_fields(desk.household, answers, desk.now))
    name = asked.line("name", "Write the name on the bottle.")
    substance = asked.choice("substance", "Choose what is in it.")
    strength = _strength(asked, substance)
    percent = asked.zero_or_more("plus-minus-percent")
    changed = find(asked, "key", asked.household.stocks, "stock solution")
    if changed is not None and substance and substance != changed.substance:
        held = knowledge.substance(changed.substance).name
        asked.problem("substance", f"{changed.name} holds {held}. Set up a new bottle for another substance.")
    key = key_of(asked, asked.household.stocks, "stock solution", name)
    confirmed = asked.settle()
    if strength is None:
        return []
    stock = Stock(
        key=key,
        name=name,
        substance=substance,
        strength_mg_per_ml=strength,
        strength_plus_minus_percent=5.0 if percent is None else percent,
        confirmed=confirmed,
    )
    return asked.entries(stock)


def _strength(asked: Asked, substance: str) -> float | None:
    """Return the strength in mg of the constituent a mL, as written or from salt and volume."""
    if not asked.given("salt"):
        asked.text("strength", "Write the strength, or how much salt was made up to what volume.")
        if asked.unit("strength") not in {"mg/mL", "g/L"}:
            asked.problem("strength", f"A strength is in mg/mL or g/L, not {asked.unit('strength')}.")
        # 1 mg/mL and 1 g/L are the same.
        return asked.number("strength", above=0, text=_bare_strength(asked.text("strength")))
    salt_g, millilitres = asked.number("salt", "g", above=0), asked.number("made-up-to", "mL", above=0)
    if not asked.given("made-up-to"):
        asked.problem("made-up-to", "Write the volume the salt was made up to.")
    fraction = fraction_of_salt(substance)
    if substance and fraction is None:
        asked.problem("salt", "Only for ionic copper can the strength be reckoned from the salt; write the strength.")
    if salt_g is None or millilitres is None or fraction is None:
        return None
    return salt_g * 1000 * fraction / millilitres


def _bare_strength(text: str) -> str:
    return re.sub(r"\s*(mg/ml|g/l)\s*$", "", text, flags=re.IGNORECASE)


def answers_of_stock(entry: Recorded, household: Household) -> Answers:
    """Return a stock solution as answers to its form."""
    told_of = entry.payload
    if not isinstance(told_of, Stock):
        return {}
    return {
        "name": told_of.name,
        "substance": told_of.substance,
        "strength": plain(told_of.strength_mg_per_ml),
        "strength_unit": "mg/mL",
        "plus-minus-percent": plain(told_of.strength_plus_minus_percent),
        "moment": told(entry, household)["moment"],
    }


METHOD = Form(
    name="method",
    title="A method of reading",
    group="set up",
    fields=method_fields,
    write=write_method,
    kinds=("method",),
    answers_of=answers_of_method,
)
STOCK = Form(
    name="stock",
    title="A stock solution",
    group="set up",
    fields=stock_fields,
    write=write_stock,
    kinds=("stock",),
    answers_of=answers_of_stock,
)
