"""Why no dose of copper is advised: every reason to read, wait or move animals first."""

from datetime import timedelta

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT, CourseCopper, stale_after
from pratique.casework.copper_told import Told
from pratique.casework.facts import Facts
from pratique.casework.invertebrates import harmed_in
from pratique.casework.methods import method_of
from pratique.casework.sheets import NextStep
from pratique.casework.words import when
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.water import Reading
from pratique.ledger.states import StockState, SystemState

type Withheld = tuple[str, NextStep]

_DAY = timedelta(days=1)


def why_withheld(facts: Facts, copper: CourseCopper) -> Withheld | None:
    """Return why no dose is advised, with what to do first, or None where one may be reckoned."""
    system = facts.household.system_or_missing(copper.course.system)
    first = _not_copper(facts, copper) or _invertebrates(facts, system)
    if first is not None:
        return first
    refused = (
        _no_volume(system)
        or _no_stock(facts, copper)
        or _uncounted(facts, copper, system)
        or _unread(facts, copper, system)
    )
    return (_too_high(copper, system) or refused) if refused is not None else None


def _not_copper(facts: Facts, copper: CourseCopper) -> Withheld | None:
    if copper.is_reckoned:
        return None
    name = knowledge.substance_or_unknown(copper.course.substance).name
    words = f"Only copper is reckoned here, not {name}. Go by its label and by an aquatic veterinarian."
    system = facts.household.system_or_missing(copper.course.system)
    return words, NextStep("Write a dose that was given", form="dose", answers=(("system", system.key),))


def _invertebrates(facts: Facts, system: SystemState) -> Withheld | None:
    harmed = harmed_in(facts.household, system)
    if not harmed:
        return None
    words = f"Copper kills invertebrates, and {system.name} holds {harmed}. Move them to clean water before any dose."
    return words, NextStep("Write the move", form="move")


def _no_volume(system: SystemState) -> Withheld | None:
    if system.net_volume_l is not None:
        return None
    words = f"{system.name}'s net volume is not known: gross volume less rock, sand and equipment. Write it first."
    return words, NextStep("Write the net volume", form="system", answers=(("system", system.key),))


def _no_stock(facts: Facts, copper: CourseCopper) -> Withheld | None:
    refused = _stock_problem(copper.course.substance, facts.household.stocks.get(copper.course.stock or ""))
    return (refused, NextStep("Write the stock solution", form="stock")) if refused is not None else None


def _stock_problem(substance: str, stock: StockState | None) -> str | None:
    if stock is None:
        return "No stock solution is named for this course, so there is nothing to measure out."
    if stock.substance != substance:
        own, other = (knowledge.substance_or_unknown(key).name for key in (substance, stock.substance))
        return f"The course is {own} and the stock is {other}: they never share a band, a stock or a method."
    return None


def _too_high(copper: CourseCopper, system: SystemState) -> Withheld | None:
    """Return that the level is above the hard limit, where no change of water can be worked out."""
    if copper.level is None or copper.level.mean <= copper.course.hard_upper:
        return None
    words = f"The level is above {copper.course.hard_upper:g} mg/L: add nothing, change water, watch how they breathe."
    return words, NextStep("Write the water change", form="water-change", answers=(("system", system.key),))


def _uncounted(facts: Facts, copper: CourseCopper, system: SystemState) -> Withheld | None:
    """Return what went in and cannot be reckoned: another form, a binder, or copper of which no amount counts."""
    told = copper.told
    if told is None:
        return None
    read = NextStep("Read the copper", form="readings", answers=(("system", system.key),))
    if told.foreign:
        name = knowledge.substance_or_unknown(str(told.foreign[-1].raw.get("substance"))).name
        words = (
            f"{name.capitalize()} went into this water {_moment(facts, told.foreign[-1])}: two forms of copper are "
            "mixed, and no band or test counts for the mixture. Add nothing; empty the tank and fill it anew."
        )
        return words, NextStep("Write that it was emptied", form="water-change", answers=(("system", system.key),))
    if bound := _since_reading(told, told.binders):
        name = knowledge.substance_or_unknown(str(bound.raw.get("substance"))).name
        words = f"{name.capitalize()} went in {_moment(facts, bound)} and may bind copper: read it before any dose."
        return words, read
    if taken := _since_reading(told, told.removers):
        name = knowledge.substance_or_unknown(str(taken.raw.get("substance"))).name
        words = f"{name.capitalize()} went in {_moment(facts, taken)} and takes copper out: remove it, then read again."
        return words, read
    latest = told.uncounted[-1] if told.uncounted else None
    if _since_reading(told, told.uncounted) or (latest is not None and latest.happened_at > facts.now - _DAY):
        assert latest is not None  # noqa: S101 - one of them has just been found
        words = (
            f"How much copper went in {_moment(facts, latest)} is not known, so no dose is reckoned on top of it. "
            "Wait a day from then, and read the copper."
        )
        return words, read
    return None


def _since_reading(told: Told, some: list[Recorded]) -> Recorded | None:
    """Return the newest of some entries if no reading has told of the copper since."""
    if not some:
        return None
    newest = told.newest_reading
    return some[-1] if newest is None or newest.happened_at <= some[-1].happened_at else None


def _moment(facts: Facts, entry: Recorded) -> str:
    return when(entry.happened_at, facts.now, facts.zone)


def _unread(facts: Facts, copper: CourseCopper, system: SystemState) -> Withheld | None:
    problem = _reading_problem(facts, copper)
    if problem is None:
        return None
    return problem, NextStep("Read the copper", form="readings", answers=(("system", system.key),))


def _reading_problem(facts: Facts, copper: CourseCopper) -> str | None:
    newest = copper.last_reading
    if newest is None:
        return "Copper has not been read in this course yet: read it before the first dose."
    form = knowledge.substance_or_unknown(copper.course.substance).form
    method = method_of(facts.household, newest.raw.get("method"), CONSTITUENT)
    if form is not None and not method.reads(form):
        return f"The newest reading was taken with {method.name}, which does not read {form.value} copper: read again."
    if facts.now - newest.happened_at > stale_after():
        return f"The newest copper reading is old ({_moment(facts, newest)}): read again before any dose."
    if isinstance(newest.payload, Reading) and newest.payload.above is not None:
        return "The newest reading only says that the level is above what the method can show: dilute and read again."
    return _reckoning_problem(copper)


def _reckoning_problem(copper: CourseCopper) -> str | None:
    found = copper.reckoned
    if found is not None and found.problem:
        return found.problem
    if found is None or copper.level is None:
        return "Nothing written so far tells the level: read the copper before any dose."
    if found.is_newest_surprising:
        return "The newest reading does not fit what the doses and changes say: read it again before any dose."
    return None
