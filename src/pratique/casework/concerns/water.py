"""Concerns about water outside what reef fishes bear: temperature, salinity, pH, nitrite, oxygen."""

from collections.abc import Iterator
from dataclasses import dataclass

from pratique import knowledge
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, reason
from pratique.casework.facts import Facts, TakenReading
from pratique.casework.methods import range_of, reading_words
from pratique.casework.sheets import Concern, Evidence, NextStep, Weight
from pratique.casework.timeline import hours_of
from pratique.casework.words import when
from pratique.ledger.states import SystemState


@dataclass(frozen=True)
class _Limit:
    """One limit a reading may break: which figure, on which side, and how heavy that is."""

    figure: str
    is_upper: bool
    weight: Weight
    words: str


_LIMITS: dict[str, tuple[_Limit, ...]] = {
    "temperature": (
        _Limit("temperature.safe_lower_c", is_upper=False, weight="now", words="too cold"),
        _Limit("temperature.safe_upper_c", is_upper=True, weight="now", words="too warm"),
        _Limit("temperature.lower_c", is_upper=False, weight="watch", words="cool"),
        _Limit("temperature.upper_c", is_upper=True, weight="watch", words="warm"),
    ),
    "salinity": (
        _Limit("salinity.safe_lower_psu", is_upper=False, weight="today", words="too dilute"),
        _Limit("salinity.safe_upper_psu", is_upper=True, weight="today", words="too salty"),
        _Limit("salinity.lower_psu", is_upper=False, weight="watch", words="a little dilute"),
        _Limit("salinity.upper_psu", is_upper=True, weight="watch", words="a little salty"),
    ),
    "ph": (
        _Limit("ph.quarantine_floor", is_upper=False, weight="today", words="pH is low"),
        _Limit("ph.upper", is_upper=True, weight="watch", words="pH is high"),
    ),
    "nitrite": (
        _Limit("nitrite.act_mg_per_l", is_upper=True, weight="now", words="nitrite is high"),
        _Limit("nitrite.watch_mg_per_l", is_upper=True, weight="watch", words="nitrite is up"),
    ),
    "oxygen": (
        _Limit("oxygen.urgent_mg_per_l", is_upper=False, weight="now", words="oxygen is dangerously low"),
        _Limit("oxygen.watch_mg_per_l", is_upper=False, weight="today", words="oxygen is low"),
    ),
}


def water_concerns(facts: Facts) -> Iterator[Concern]:
    """Yield a concern for each fresh reading of a stocked system that breaks a limit; the heaviest one counts."""
    for system in facts.household.systems.values():
        if not facts.household.living_in(system.key):
            continue
        for constituent, limits in _LIMITS.items():
            readings = facts.recent_readings(system.key, constituent)
            if readings and not is_stale(facts, readings[-1]):
                broken = _broken(facts, readings[-1], limits)
                if broken is not None:
                    yield _concern(facts, system, readings[-1], broken)


def is_stale(facts: Facts, taken: TakenReading) -> bool:
    """Return whether a reading is too old to speak for the water of now."""
    limit = knowledge.figure(f"reading.stale_hours.{taken.reading.constituent}").value
    return hours_of(facts.now) - hours_of(taken.at) > limit


def _broken(facts: Facts, taken: TakenReading, limits: tuple[_Limit, ...]) -> _Limit | None:
    centre = range_of(facts.household, taken.reading).centre
    for limit in limits:
        bound = knowledge.figure(limit.figure).value
        if (centre > bound) if limit.is_upper else (centre < bound):
            return limit
    return None


def _concern(facts: Facts, system: SystemState, taken: TakenReading, limit: _Limit) -> Concern:
    figure = knowledge.figure(limit.figure)
    spread = range_of(facts.household, taken.reading)
    inside = spread.low <= figure.value <= spread.high
    doubt = " The reading's own error reaches across the limit." if inside else ""
    constituent = knowledge.constituent(taken.reading.constituent)
    return Concern(
        key=f"water.{system.key}.{constituent.key}",
        about=about(system),
        title=f"{system.name}: {limit.words}",
        weight=limit.weight,
        weight_words=WEIGHT_WORDS[limit.weight],
        since=taken.at.astimezone(facts.zone).date(),
        said=(
            f"{constituent.name.capitalize() if constituent.key != 'ph' else 'pH'} "
            f"{reading_words(facts.household, taken.reading)} {when(taken.at, facts.now, facts.zone)}; "
            f"the limit is {figure.value:g}.{doubt}",
        ),
        next_steps=(NextStep("Read it again", form="readings", answers=(("system", system.key),)),),
        evidence=(Evidence(constituent.name, taken.at, taken.id),),
        reasons=(reason(limit.figure),),
    )
