"""Un-ionised ammonia in a system, from each reading of total ammonia and what else was read about then."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from pratique import knowledge
from pratique.casework.facts import Facts, TakenReading
from pratique.casework.methods import range_of, sd_of
from pratique.casework.ph import on_nbs
from pratique.casework.timeline import hours_of
from pratique.casework.words import amount, plus_minus
from pratique.ledger.household import Household
from pratique.science.chemistry.ammonia import UnIonised
from pratique.science.chemistry.ammonia_rigorous import cautious_un_ionised_with_error, cautious_worst_plausible
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.uncertainty import NORMAL_95, Uncertain
from pratique.units import THIN_SPACE

UNIT = "mg/L as N"
# From this much more above than below on, one number after ± would mislead.
_LOPSIDED = 1.25
COMPANIONS = ("ph", "temperature", "salinity")


@dataclass(frozen=True)
class AmmoniaAt:
    """Un-ionised ammonia (mg/L as N) at one reading of total ammonia.

    With pH, temperature or salinity missing, old or beyond its test the value is not known: `value` is None and
    `worst` is the worst plausible one. Never zero for want of knowledge. Where total ammonia itself is above what its
    method can read, `is_beyond` holds and `worst` is only what the method's upper end would give: it may be more.
    `low` and `high` are the ends of the 95 % interval of a known value, `plus_minus` is its larger side.
    """

    taken: TakenReading
    companions: tuple[TakenReading, ...]
    value: float | None
    plus_minus: float | None
    worst: float
    missing: tuple[str, ...]
    dominated_by: str
    is_beyond: bool = False
    low: float | None = None
    high: float | None = None

    @property
    def at(self) -> datetime:
        """Return when the total ammonia was read."""
        return self.taken.at

    @property
    def cautious(self) -> float:
        """Return the high end of a known value's interval, or the worst plausible one where it is not known."""
        return self.high if self.high is not None else self.worst

    @property
    def level_words(self) -> str:
        """Return a known value with its error: `0.033 (0.008 to 0.080) mg/L as N` where that is plainly lopsided."""
        if self.value is None or self.low is None or self.high is None:
            return ""
        if self.high - self.value <= _LOPSIDED * (self.value - self.low):
            return plus_minus(self.value, self.high - self.value, 3, UNIT)
        return f"{amount(self.value, 3)} ({amount(self.low, 3)} to {amount(self.high, 3)}){THIN_SPACE}{UNIT}"


type Readings = Callable[[str, str], list[TakenReading]]


def ammonia_series(facts: Facts, system: str, readings: Readings) -> list[AmmoniaAt]:
    """Return un-ionised ammonia at each reading of total ammonia, the oldest first.

    `readings` says how far back to go: `facts.recent_readings` or `facts.readings_of`.
    """
    return [ammonia_at(facts, system, readings, one) for one in readings(system, "total_ammonia")]


def climb(series: Sequence[AmmoniaAt]) -> list[AmmoniaAt]:
    """Return the rising run that ends with the newest value, if it is known and rose often enough to call it climbing.

    Values that are not known in between are passed over.
    """
    if not series or series[-1].value is None:
        return []
    known = [one for one in series if one.value is not None]
    run = known[-1:]
    for earlier in reversed(known[:-1]):
        if (earlier.value or 0.0) >= (run[0].value or 0.0):
            break
        run.insert(0, earlier)
    return run if len(run) >= int(knowledge.figure("ammonia.climbing_readings").value) else []


def worst_of_unknown_water(facts: Facts, taken: TakenReading) -> float:
    """Return the worst plausible un-ionised ammonia of a reading of total ammonia were nothing else read."""
    spread = range_of(facts.household, taken.reading)
    return _worst(facts, spread.high, {})


def ammonia_at(facts: Facts, system: str, readings: Readings, taken: TakenReading) -> AmmoniaAt:
    """Return un-ionised ammonia at one reading of total ammonia, with what else was read about then."""
    near = {name: _nearest(readings(system, name), name, taken.at) for name in COMPANIONS}
    found = {name: one for name, one in near.items() if one is not None}
    missing = tuple(name for name in COMPANIONS if name not in found or _is_beyond(facts.household, found[name]))
    spread, is_beyond = range_of(facts.household, taken.reading), _is_beyond(facts.household, taken)
    known = None if is_beyond or missing else _known(facts.household, taken, found)
    return AmmoniaAt(
        taken=taken,
        companions=tuple(found.values()),
        value=known.value if known else None,
        plus_minus=known.plus_minus if known else None,
        worst=_worst(facts, spread.low if is_beyond else spread.high, found),
        missing=missing,
        dominated_by=known.dominated_by if known else "",
        is_beyond=is_beyond,
        low=known.low if known else None,
        high=known.high if known else None,
    )


def _known(household: Household, taken: TakenReading, found: dict[str, TakenReading]) -> UnIonised | None:
    """Return the higher of two published ways with its error, or None where a reading lies outside both."""
    centres = {name: range_of(household, one.reading).centre for name, one in found.items()}
    water = {"salinity_psu": centres["salinity"], "temperature_c": centres["temperature"]}
    errors = {name: NORMAL_95 * sd_of(household, one.reading) for name, one in found.items()}
    total = range_of(household, taken.reading).centre
    try:
        ph_nbs = on_nbs(range_of(household, found["ph"].reading), found["ph"].reading, **water).centre
        return cautious_un_ionised_with_error(
            Uncertain(total, NORMAL_95 * sd_of(household, taken.reading)),
            Uncertain(ph_nbs, errors["ph"]),
            temperature_c=Uncertain(centres["temperature"], errors["temperature"]),
            salinity_psu=Uncertain(centres["salinity"], errors["salinity"]),
        )
    except DomainError:
        return None


def _is_beyond(household: Household, taken: TakenReading) -> bool:
    return math.isinf(range_of(household, taken.reading).high)


def _nearest(found: list[TakenReading], constituent: str, at: datetime) -> TakenReading | None:
    """Return the reading nearest in time, or None where even that one is too old to speak for this moment."""
    limit = knowledge.figure(f"reading.stale_hours.{constituent}").value
    if not found:
        return None
    nearest = min(found, key=lambda one: abs(hours_of(one.at) - hours_of(at)))
    return nearest if abs(hours_of(nearest.at) - hours_of(at)) <= limit else None


def _worst(facts: Facts, total_high: float, found: dict[str, TakenReading]) -> float:
    """Return the worst plausible un-ionised ammonia: what was read at its bad end, what was not at its worst."""
    bad_end = {name: range_of(facts.household, one.reading) for name, one in found.items()}
    warm = (
        bad_end["temperature"].high
        if "temperature" in bad_end
        else knowledge.figure("ammonia.worst_temperature_c").value
    )
    dilute = bad_end["salinity"].low if "salinity" in bad_end else knowledge.figure("ammonia.worst_salinity_psu").value
    try:
        ph = (
            on_nbs(bad_end["ph"], found["ph"].reading, salinity_psu=dilute, temperature_c=warm).high
            if "ph" in found
            else knowledge.figure("ammonia.worst_ph").value
        )
        return cautious_worst_plausible(total_high, ph_upper=ph, temperature_upper=warm, salinity_lower=dilute)
    except DomainError:
        # Outside the range of both ways nothing better can be said than that all of it might be un-ionised.
        return total_high
