"""Doses and changes somebody only thinks of: what may be chosen, and what was typed turned into deeds."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT as COPPER
from pratique.casework.reckoning.priors import Prior
from pratique.casework.reckoning.reckoned import Reckoned
from pratique.casework.salts import counted_mg
from pratique.casework.sheets import NextStep
from pratique.casework.sheets.what_if import DeedRow
from pratique.casework.words import day_words
from pratique.casework.writing.moments import LOCAL, NoSuchMoment, in_zone
from pratique.casework.writing.numbers import plain, quantity
from pratique.knowledge import CopperForm, Substance
from pratique.ledger.household import Household
from pratique.science.estimation.case import Change, Dose, Event, Unlogged
from pratique.units import THIN_SPACE, to_canonical

_ALKALINITY = "alkalinity"
# Nobody plans to add ammonia to water that animals live in.
_NEVER_ADDED = frozenset({"total_ammonia", "nitrite"})
_NAMED = re.compile(r"(what|amount|at)(\d{1,2})")
_MOST_ROWS = 12
_CHANGE = "change"
_NO_WAY = "Choose what would be done: a stock on the shelf, a salt, or a change of water."


@dataclass(frozen=True)
class Way:
    """One way of moving a level: what is measured, in which unit, and what that adds (level × litres for each unit).

    Without a substance it is a change of water.
    """

    value: str
    words: str
    unit: str
    step: float
    substance: Substance | None = None
    stock: str = ""
    adds_per_unit: float = 0.0


@dataclass(frozen=True)
class Deed:
    """A dose or a change thought of at a moment, in the way's own unit."""

    number: int
    way: Way
    much: float
    at: datetime

    @property
    def adds(self) -> float:
        """Return what a dose adds: level × litres."""
        return self.much * self.way.adds_per_unit

    @property
    def words(self) -> str:
        """Return the deed in a few words: `2.1 mL of copper stock`."""
        words = "L of water changed" if self.way.substance is None else self.way.words
        return f"{plain(self.much)}{THIN_SPACE}{words}"

    def event(self, found: Reckoned, prior: Prior) -> Event:
        """Return the deed as science takes it."""
        day = max(found.ledger.day_of(self.at), found.ledger.case.span_days)
        if self.way.substance is not None:
            return Dose(day, self.adds, prior.dose_relative_sd)
        if prior.incoming is not None:
            return Change(day, self.much, prior.incoming.mean, prior.incoming.sd)
        # Water made to match moves the level by as much as it misses it, in the part that is new.
        part = min(1.0, self.much / found.ledger.case.volume.mean_l)
        return Unlogged(day, part * prior.matched_sd)

    def step(self, system: str) -> NextStep:
        """Return the form that writes the deed down once it is done, filled in."""
        if self.way.substance is None:
            answers = (("system", system), ("volume", plain(self.much)), ("volume_unit", "L"))
            return NextStep(f"Write {self.words} as done", form="water-change", answers=answers)
        held = ("stock", self.way.stock) if self.way.stock else ("substance", self.way.substance.key)
        much = (("amount", plain(self.much)), ("amount_unit", self.way.unit))
        return NextStep(f"Write {self.words} as done", form="dose", answers=(("system", system), held, *much))


@dataclass(frozen=True)
class Typed:
    """What was typed of one deed, and the deed where it could be understood."""

    row: DeedRow
    deed: Deed | None = None


@dataclass(frozen=True)
class Span:
    """The time deeds are thought of in: from now to the end of what is looked ahead, and the household's own units."""

    first: datetime
    last: datetime
    household: Household

    def text(self, moment: datetime) -> str:
        """Return a moment as a form holds it."""
        return moment.astimezone(self.household.zone).strftime(LOCAL)


def ways_of(household: Household, constituent: str, form: CopperForm | None, prior: Prior) -> tuple[Way, ...]:
    """Return the ways of moving a constituent: stocks on the shelf, salts or copper alone, and a change of water.

    Copper is only offered in the form the water holds; what no litres move, such as warmth, has no ways.
    """
    if not prior.has_litres:
        return ()
    if constituent in _NEVER_ADDED:
        return (_change(household),)
    meant = [one for one in knowledge.substances() if one.constituent == constituent and one.form == form]
    by_key = {one.key: one for one in meant}
    stocks = [
        Way(
            f"stock-{stock.key}",
            f"mL of {stock.name}",
            "mL",
            knowledge.figure("dose.syringe_step_ml").value,
            by_key[stock.substance],
            stock.key,
            _added(constituent, stock.strength_mg_per_ml),
        )
        for stock in household.stocks.values()
        if stock.substance in by_key
    ]
    return (*stocks, *(way for one in meant if (way := _weighed(constituent, one))), _change(household))


def _weighed(constituent: str, substance: Substance) -> Way | None:
    if constituent == COPPER:
        return Way(f"salt-{substance.key}", f"mg of {substance.name}, as copper", "mg copper", 0.5, substance, "", 1.0)
    counted = counted_mg(substance, 1.0)
    if counted is None:
        return None
    return Way(f"salt-{substance.key}", f"g of {substance.name}", "g", 0.5, substance, "", _added(constituent, counted))


def _added(constituent: str, counted_mg_per_unit: float) -> float:
    if constituent != _ALKALINITY:
        return counted_mg_per_unit
    return to_canonical(counted_mg_per_unit, "mg/L CaCO3", knowledge.constituent(_ALKALINITY).unit)


def _change(household: Household) -> Way:
    unit = household.state.volume_unit if household.state is not None else "L"
    return Way(_CHANGE, f"{unit} of water changed", "L", 1.0)


def typed_of(given: Mapping[str, str], ways: tuple[Way, ...], span: Span) -> tuple[Typed, ...]:
    """Return what was typed, row by row; rows without an amount are left out, as nothing is thought of there."""
    found: dict[int, dict[str, str]] = {}
    for name, text in given.items():
        if (named := _NAMED.fullmatch(name)) and int(named[2]) <= _MOST_ROWS:
            found.setdefault(int(named[2]), {})[named[1]] = text.strip()
    rows = [row for _, row in sorted(found.items()) if row.get("amount")]
    return tuple(_typed(number, row, ways, span) for number, row in enumerate(rows, 1))


def _typed(number: int, row: Mapping[str, str], ways: tuple[Way, ...], span: Span) -> Typed:
    way = next((one for one in ways if one.value == row.get("what")), None)
    much, amount_problem = (None, _NO_WAY) if way is None else _much(row["amount"], way, span.household)
    at, at_problem = _moment(row.get("at", ""), span)
    drawn = DeedRow(
        number=number,
        what=row.get("what", ""),
        amount=row["amount"],
        at=row.get("at", "") or span.text(span.first),
        amount_problem=amount_problem,
        at_problem=at_problem,
    )
    if way is None or much is None or at is None:
        return Typed(drawn)
    return Typed(drawn, Deed(number, way, much, at))


def _much(text: str, way: Way, household: Household) -> tuple[float | None, str]:
    own = household.state.volume_unit if household.state is not None else "L"
    unit, canonical = {"L": (own, "L"), "mL": ("mL", "mL"), "g": ("g", "mg")}.get(way.unit, ("mg", "mg"))
    try:
        much = quantity(text, unit, canonical)
    except ValueError as problem:
        return None, str(problem)
    if not much > 0.0:
        return None, f"An amount is more than 0; {plain(much)} is not."
    return (much / 1000.0 if way.unit == "g" else much), ""


def _moment(text: str, span: Span) -> tuple[datetime | None, str]:
    if not text:
        return span.first, ""
    try:
        written = datetime.fromisoformat(text)
        moment = (written if written.tzinfo is not None else in_zone(written, span.household.zone)).astimezone(UTC)
    except NoSuchMoment as problem:
        return None, str(problem)
    except ValueError:
        return None, f"“{text}” is not a moment; write it like {span.text(span.first).replace('T', ' ')}."
    if moment < span.first.replace(second=0, microsecond=0):
        return None, "This has passed. What was done is written into the ledger; here the coming days are thought of."
    if moment > span.last:
        last = span.last.astimezone(span.household.zone)
        return None, f"This lies too far ahead: nothing is said after {day_words(last.date())}, {last:%H:%M}."
    return max(moment, span.first), ""
