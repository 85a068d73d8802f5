"""The water a growth stands in, as what may be done about the growth is judged by it."""

from collections.abc import Mapping
from datetime import timedelta

from pratique import knowledge
from pratique.casework.concerns.water import is_stale
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.medicines import Medicines
from pratique.casework.timeline import days_of
from pratique.knowledge.growth_measures import growth_inhabitants, growth_measures
from pratique.ledger.kinds.care import TaskDone
from pratique.ledger.kinds.water import Reading
from pratique.ledger.queries import entries_about
from pratique.ledger.states import AnimalState, CaseState
from pratique.science.growths.measures import WaterNow

_DAY = timedelta(days=1)
_READ = ("total_ammonia", "nitrite", "oxygen", "nitrate", "phosphate", "silicate")
_WORSE_WHEN_HIGH = frozenset({"total_ammonia", "nitrite"})
_LIGHT_KEEPERS = "light_keepers"
_BY_HAND = "take_out"


def water_now(
    facts: Facts, healths: Mapping[str, AnimalHealth], case: CaseState, chances: Mapping[str, float]
) -> WaterNow:
    """Return the water of a case's system as it stands; every animal that shares it counts, boxed or not."""
    living = facts.household.living_in(case.system)
    medicines = Medicines(facts)
    inhabitants = _inhabitants(living)
    since = _since(facts, case)
    return WaterNow(
        chances=chances,
        age_days=(facts.now - facts.household.system_or_missing(case.system).since) / _DAY,
        resting=tuple(_resting(facts, healths, living)),
        medicines=tuple(_medicines(medicines, case.system)),
        may_hold_copper=medicines.may_hold_copper(case.system),
        inhabitants=inhabitants,
        newest_light_keeper_days=_newest(facts, living),
        levels=_levels(facts, case.system),
        since={key: min(days) for key, days in since.items()},
        by_hand_days=max(since.get(_BY_HAND, ()), default=None),
    )


def _resting(
    facts: Facts, healths: Mapping[str, AnimalHealth], living: tuple[AnimalState, ...]
) -> list[tuple[str, float]]:
    """Return the animals still to rest with the days left, why they rest in their names."""
    now = days_of(facts.now)
    found = []
    for animal in living:
        health = healths.get(animal.key)
        if health is None or health.rest.is_rested:
            continue
        why = f" ({health.rest.binding.words})" if health.rest.binding is not None else ""
        found.append((f"{animal.name}{why}", health.rest.clear_on_day - now))
    return found


def _medicines(medicines: Medicines, system: str) -> list[str]:
    lasting = [one for one in medicines.spans(system) if one.ended is None]
    return list(dict.fromkeys(knowledge.substance_or_unknown(one.substance).name for one in lasting))


def _inhabitants(living: tuple[AnimalState, ...]) -> dict[str, tuple[str, ...]]:
    return {
        group.key: tuple(one.name for one in living if one.species in group.kinds) for group in growth_inhabitants()
    }


def _newest(facts: Facts, living: tuple[AnimalState, ...]) -> float | None:
    """Return the days since the newest coral, clam or anemone came into this household's water, None without one."""
    kinds = next(group.kinds for group in growth_inhabitants() if group.key == _LIGHT_KEEPERS)
    return min(((facts.now - one.stays[0].since) / _DAY for one in living if one.species in kinds), default=None)


def _levels(facts: Facts, system: str) -> dict[str, float]:
    """Return what fresh readings say, each at its worse end; what is old, or cannot tell, is left out."""
    found = {}
    for constituent in _READ:
        newest = facts.newest_reading(system, constituent)
        if newest is None or is_stale(facts, newest):
            continue
        level = _worse_end(newest.reading)
        if level is not None:
            found[constituent] = level
    return found


def _worse_end(reading: Reading) -> float | None:
    """Return the end of a reading that is worse for the animals; None where it is open on that side."""
    if reading.value is not None:
        return reading.value
    if reading.constituent in _WORSE_WHEN_HIGH:
        # "Below 0.05" may be just under it, which still counts as absent.
        return reading.high if reading.high is not None else reading.below
    if reading.low is not None:
        return reading.low
    return reading.above if reading.above is not None else 0.0


def _since(facts: Facts, case: CaseState) -> dict[str, list[float]]:
    """Return how many days ago each measure was begun, by what was dosed here and the tasks written of the case."""
    tasks = {one.task_words: one.key for one in growth_measures()}
    doses = {substance: one.key for one in growth_measures() for substance in one.substances}
    found: dict[str, list[float]] = {}
    for dose in facts.doses_of(case.system):
        if dose.topic in doses:
            found.setdefault(doses[dose.topic], []).append((facts.now - dose.happened_at) / _DAY)
    for entry in entries_about(f"case/{case.key}", ("task-done",), until=facts.now):
        if isinstance(entry.payload, TaskDone) and entry.payload.task in tasks:
            found.setdefault(tasks[entry.payload.task], []).append((facts.now - entry.happened_at) / _DAY)
    return found
