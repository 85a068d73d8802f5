"""The form for a method of reading: what it reads, and how sure it is."""

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
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import plain
from pratique.casework.writing.options import MOMENT, first, with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.places import Method
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
    was = _error_before(asked, known.get(key))
    if absolute is None and marks:
        absolute_sd = min(high - low for low, high in pairwise(marks)) / _STEP_SHARE
    else:
        absolute_sd = _unless_same(absolute, was[0])
    method = Method(
        key=key or key_from(name, known),
        name=name,
        constituents=constituents,
        resolution=resolution,
        absolute_sd=absolute_sd,
        relative_sd=_unless_same(percent, was[1], _PERCENT),
        lower_limit=lower,
        upper_limit=upper,
        marks=marks,
        confirmed=confirmed,
    )
    return asked.entries(method)


def _error_before(asked: Asked, known: NamedMethod | None) -> tuple[float, float]:
    """Return the absolute and relative standard deviation of what is amended or changed, 0 where there is none."""
    before = asked.desk.amends.payload if asked.desk.amends is not None else None
    if isinstance(before, Method):
        return before.absolute_sd, before.relative_sd
    return (known.error.absolute_sd, known.error.relative_sd) if known is not None else (0.0, 0.0)


def _unless_same(plus_minus: float | None, sd: float, scale: float = 1.0) -> float:
    """Return the standard deviation of a ± of 95 %; one shown rounded and sent back unchanged stays what it was."""
    if plus_minus is None:
        return 0.0
    return sd if f"{plus_minus:.4g}" == _text(sd * NORMAL_95 * scale) else plus_minus / scale / NORMAL_95


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


METHOD = Form(
    name="method",
    title="A method of reading",
    group="set up",
    fields=method_fields,
    write=write_method,
    kinds=("method",),
    answers_of=answers_of_method,
)
