"""Concerns about water outside what reef fishes bear: temperature, salinity, pH, nitrite, oxygen."""

from collections.abc import Iterator
from dataclasses import dataclass

from pratique import knowledge
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, reason
from pratique.casework.facts import Facts, TakenReading
from pratique.casework.methods import reading_words
from pratique.casework.ph import judged_range
from pratique.casework.sheets import Concern, Evidence, NextStep, Weight
from pratique.casework.timeline import hours_of
from pratique.casework.words import ago, amount, sentence_case, when
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
        _Limit("ph.lower", is_upper=False, weight="watch", words="pH is a little low"),
        _Limit("ph.upper", is_upper=True, weight="watch", words="pH is high"),
    ),
    "nitrite": (
        _Limit("nitrite.act_mg_per_l", is_upper=True, weight="now", words="nitrite is high"),
        _Limit("nitrite.watch_mg_per_l", is_upper=True, weight="watch", words="nitrite is up"),
    ),
    "oxygen": (
        _Limit("oxygen.urgent_mg_per_l", is_upper=False, weight="now", words="oxygen is dangerously low"),
        _Limit("oxygen.watch_mg_per_l", is_upper=False, weight="today", words="oxygen is low"),
        _Limit("oxygen.good_mg_per_l", is_upper=False, weight="watch", words="oxygen is a little low"),
    ),
}


def water_concerns(facts: Facts) -> Iterator[Concern]:
    """Yield a concern for each newest reading of a stocked system that breaks a limit; the heaviest one counts.

    Where that reading has grown old, a limit that does harm is told as not known any more, until a newer reading.
    """
    for system in facts.household.systems.values():
        if not facts.household.living_in(system.key):
            continue
        for constituent, limits in _LIMITS.items():
            newest = facts.newest_reading(system.key, constituent)
            broken = _broken(facts, newest, limits) if newest is not None else None
            if newest is None or broken is None:
                continue
            if not is_stale(facts, newest):
                yield _concern(facts, system, newest, broken)
            elif broken.weight != "watch":
                yield _forgotten(facts, system, newest, broken)


def is_stale(facts: Facts, taken: TakenReading) -> bool:
    """Return whether a reading is too old to speak for the water of now."""
    limit = knowledge.figure(f"reading.stale_hours.{taken.reading.constituent}").value
    return hours_of(facts.now) - hours_of(taken.at) > limit


def _broken(facts: Facts, taken: TakenReading, limits: tuple[_Limit, ...]) -> _Limit | None:
    centre = judged_range(facts, taken.reading).centre
    for limit in limits:
        bound = knowledge.figure(limit.figure).value
        if (centre > bound) if limit.is_upper else (centre < bound):
            return limit
    return None


def _concern(facts: Facts, system: SystemState, taken: TakenReading, limit: _Limit) -> Concern:
    figure = knowledge.figure(limit.figure)
    spread = judged_range(facts, taken.reading)
    inside = spread.low <= figure.value <= spread.high
    doubt = " The reading's own error reaches across the limit." if inside else ""
    said = (
        f"{sentence_case(_name(taken))} {reading_words(facts.household, taken.reading)} "
        f"{when(taken.at, facts.now, facts.zone)}{_as_judged(facts, taken)}; the limit is {figure.value:g}.{doubt}"
    )
    return _told(facts, system, taken, limit, (f"{system.name}: {limit.words}", limit.weight, said))


def _forgotten(facts: Facts, system: SystemState, taken: TakenReading, limit: _Limit) -> Concern:
    said = (
        f"{sentence_case(_name(taken))} was last seen {when(taken.at, facts.now, facts.zone)} "
        f"({ago(taken.at, facts.now)}): {reading_words(facts.household, taken.reading)}{_as_judged(facts, taken)}; "
        f"the limit is {knowledge.figure(limit.figure).value:g}. How it is now is not known."
    )
    title = f"{system.name}: {_name(taken)} is not known any more"
    return _told(facts, system, taken, limit, (title, "today", said))


def _as_judged(facts: Facts, taken: TakenReading) -> str:
    """Return the number a limit is held against, where that is not the one that was read."""
    if taken.reading.scale == "nbs":
        return ""
    decimals = knowledge.constituent(taken.reading.constituent).decimals
    return f", as a hobby meter reads it (NBS) {amount(judged_range(facts, taken.reading).centre, decimals)}"


def _name(taken: TakenReading) -> str:
    return knowledge.constituent(taken.reading.constituent).name


def _told(
    facts: Facts, system: SystemState, taken: TakenReading, limit: _Limit, told: tuple[str, Weight, str]
) -> Concern:
    title, weight, said = told
    return Concern(
        key=f"water.{system.key}.{taken.reading.constituent}",
        about=about(system),
        title=title,
        weight=weight,
        weight_words=WEIGHT_WORDS[weight],
        since=taken.at.astimezone(facts.zone).date(),
        said=(said,),
        next_steps=(NextStep("Read it again", form="readings", answers=(("system", system.key),)),),
        evidence=(Evidence(_name(taken), taken.at, taken.id),),
        reasons=(reason(limit.figure),),
    )
