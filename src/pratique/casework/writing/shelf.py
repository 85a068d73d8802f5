"""The form for a stock solution on the shelf: what is in it, and how strong."""

import re
from datetime import datetime

from pratique import knowledge
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.lookups import find
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import plain
from pratique.casework.writing.options import MOMENT, substance_options, with_initial
from pratique.casework.writing.places import chosen, key_of, which_field
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.places import Stock
from pratique.ledger.states import StockState


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
        held = knowledge.substance_or_unknown(changed.substance).name
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
    fraction = knowledge.substance_or_unknown(substance).fraction_of_salt if substance else None
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


STOCK = Form(
    name="stock",
    title="A stock solution",
    group="set up",
    fields=stock_fields,
    write=write_stock,
    kinds=("stock",),
    answers_of=answers_of_stock,
)
