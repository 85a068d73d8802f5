"""When a constituent of a system's water will cross a limit, and how likely, in sentences."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.chances import chance_with_error
from pratique.casework.consumption import speaks_for
from pratique.casework.copper import CONSTITUENT as COPPER
from pratique.casework.facts import Facts
from pratique.casework.going_on import all_going_on
from pratique.casework.limits import limits_in
from pratique.casework.reckoning.priors import prior_of
from pratique.casework.reckoning.reckoned import Reckoned
from pratique.casework.ribbons import reckoned_in
from pratique.casework.sheets import Reason
from pratique.casework.words import amount, chance_words, day_words, sentence_case
from pratique.ledger.states import SystemState
from pratique.science.estimation.case import Event

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.forecast import Crossing

_DAY = timedelta(days=1)
_SEED = 1


@dataclass(frozen=True)
class ForecastLine:
    """One limit a constituent will likely cross, and what that rests on."""

    constituent: str
    words: str
    reasons: tuple[Reason, ...]


@dataclass(frozen=True)
class _Limit:
    """A level, on which side it is crossed, and where it comes from."""

    level: float
    is_upper: bool
    reason: Reason


def forecast_lines(facts: Facts, system: SystemState) -> tuple[ForecastLine, ...]:
    """Return a line for each limit that is likely enough crossed within the time a forecast looks ahead."""
    read = set(facts.constituents_read(system.key))
    keys = (one.key for one in knowledge.constituents() if one.key in read)
    return tuple(line for key in keys for line in _lines(facts, system, key))


def _lines(facts: Facts, system: SystemState, constituent: str) -> Iterator[ForecastLine]:
    held = reckoned_in(facts, system, constituent)
    if held is None or not _may_be_told(facts, held):
        return
    prior = prior_of(constituent, form=held.ledger.form)
    basis = Reason("How fast a level wanders is believed beforehand.", prior.basis, "guess")
    days_ahead = _days_ahead(constituent)
    going_on = all_going_on(held, until_day=held.ledger.case.span_days + days_ahead)
    for limit in _limits(facts, system, constituent):
        crossing = _crossing(held, limit, going_on, days_ahead)
        if crossing is not None and crossing.median_day is not None:
            day = held.ledger.moment_of(crossing.median_day).astimezone(facts.zone).date()
            words = _words(facts, held, limit, crossing, day=day_words(day), is_going_on=bool(going_on))
            yield ForecastLine(constituent, words, (limit.reason, basis))


def _may_be_told(facts: Facts, held: Reckoned) -> bool:
    """Return whether enough was read, lately enough, of something that builds up or is used up."""
    ledger, newest = held.ledger, held.newest_reading
    if newest is None or held.problem or ledger.ends_early or held.is_newest_surprising:
        return False
    is_fresh = facts.now - newest.happened_at <= speaks_for(ledger.constituent)
    enough = len(ledger.case.readings) >= knowledge.figure("forecast.least_readings").value
    return is_fresh and enough and prior_of(ledger.constituent, form=ledger.form).has_litres


def _days_ahead(constituent: str) -> float:
    return knowledge.figure("forecast.horizon_readings").value * (speaks_for(constituent) / _DAY)


def _limits(facts: Facts, system: SystemState, constituent: str) -> Iterator[_Limit]:
    """Yield the limits of a constituent: those it is held in, else what is usual in a tank."""
    held, figure = limits_in(facts, system, constituent), knowledge.constituent(constituent)
    if held is not None:
        yield _Limit(held.lower, False, held.reason)
        yield _Limit(held.upper if held.hard_upper is None else held.hard_upper, True, held.reason)
        return
    if constituent == COPPER or (constituent == "salinity" and system.role == "quarantine"):
        return
    unit = figure.unit
    words = (
        f"Usual: {amount(figure.usual_lower, figure.decimals)} to {amount(figure.usual_upper, figure.decimals, unit)}."
    )
    reason = Reason(words, figure.source, figure.status.value)
    if figure.usual_lower > figure.possible_lower:
        yield _Limit(figure.usual_lower, False, reason)
    yield _Limit(figure.usual_upper, True, reason)


def _crossing(held: Reckoned, limit: _Limit, going_on: tuple[Event, ...], days: float) -> "Crossing | None":
    """Return the crossing of a limit, or None where it is not likely enough or the level is beyond it now."""
    from pratique.science.estimation.forecast import crossing_of  # noqa: PLC0415 - loads the compiled loops
    from pratique.science.estimation.what_if import lightened  # noqa: PLC0415 - the same

    running = held.running
    if running is None:
        return None
    crossing = crossing_of(
        lightened(running),
        limit=limit.level,
        upwards=limit.is_upper,
        until_day=running.day + days,
        events=going_on,
        grid_hours=held.ledger.case.grid_hours,
        seed=_SEED,
    )
    is_beyond = crossing.probability_by[0] >= knowledge.figure("chance.likelier_than_not").value
    is_likely = crossing.by_the_end.value >= knowledge.figure("forecast.least_chance").value
    return crossing if is_likely and not is_beyond else None


def _words(facts: Facts, held: Reckoned, limit: _Limit, crossing: "Crossing", *, day: str, is_going_on: bool) -> str:
    constituent, ledger = knowledge.constituent(held.ledger.constituent), held.ledger
    level = amount(limit.level, constituent.decimals, constituent.unit)
    verb = "rise above" if limit.is_upper else "fall below"
    last = ledger.moment_of(float(crossing.days[-1])).astimezone(facts.zone).date()
    given = "if doses, changes and food go on as in the last week" if is_going_on else "if nothing is added or changed"
    likely = crossing.by_the_end.value
    how = chance_words(likely) if likely >= knowledge.figure("chance.probably").value else "more likely than not"
    return (
        f"{sentence_case(constituent.name)} in {ledger.system.name} will {how} {verb} {level}, about {day}, {given} "
        f"(by {day_words(last)}: {chance_with_error(crossing.by_the_end)})."
    )
