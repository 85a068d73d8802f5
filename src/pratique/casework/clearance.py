"""How likely an animal is free of each parasite, by its water, its moves, its company and what was looked for."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pratique import knowledge
from pratique.casework.clearance_copper import STEP, CopperLived, copper_lived
from pratique.casework.clearance_looks import Looks, looks_at
from pratique.casework.contacts import contacts_of, is_from_the_start, is_together, size_of_group
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.reckoning.memory import MEMORY
from pratique.casework.words import listed
from pratique.ledger.queries import Point, points
from pratique.ledger.states import AnimalState
from pratique.science.health.parasites.limits import limits_of
from pratique.science.passage.clear import ClearChance

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.passage.clearing import History

type Array = NDArray[np.float64]

_DAY = timedelta(days=1)
_SMALL = 2**10
_BY_THEMSELVES = frozenset({"newcomers", "copper_part", "steady_copper_part", "salinity_psu"})
_SEED = 7
# Warmer or colder by less than this is the same water to the model, and is reckoned once.
_SAME_C = 0.5
_ASLEEP = "in water so cold or so warm, what waits off the fish may live on, and hatch when that changes."


@dataclass(frozen=True)
class Cleared:
    """The chances by parasite, what they were reckoned with in sentences, and the entries behind them.

    `looked` tells by parasite the close looks that count.
    """

    chances: Mapping[str, ClearChance]
    said: tuple[str, ...]
    entries: tuple[str, ...]
    dipped: tuple[str, ...] = ()
    looked: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def cleared(facts: Facts, animal: AnimalState, healths: Mapping[str, AnimalHealth]) -> Cleared:
    """Return how likely an animal is free of each parasite; nothing of one that came too long ago to be followed."""
    return facts.once(("cleared", animal.key), lambda: _cleared(facts, animal, healths))


def _cleared(facts: Facts, animal: AnimalState, healths: Mapping[str, AnimalHealth]) -> Cleared:
    start = _start(facts, animal)
    now_day = _day(facts.now, start)
    longest = 2.0 * knowledge.figure("clearance.settled_days").value
    if not 0.0 < now_day <= longest or animal.place is None:
        return Cleared({}, (), ())
    horizon = now_day + knowledge.figure("clearance.horizon_days").value
    steps = int(np.ceil(horizon / (STEP / _DAY))) + 1
    copper = copper_lived(facts, animal, start=start, steps=steps)
    temperature, temperature_words = _temperature(facts, animal)
    salt = _salinity(facts, animal, start, steps)
    chances, entries, looked = {}, [*copper.entries], {}
    asleep = [one.name for one in knowledge.parasites() if _may_wait(one.key, temperature)]
    for parasite in knowledge.parasites():
        if parasite.name in asleep:
            continue
        looks = looks_at(facts, animal, healths, parasite.key)
        history = _history(facts, animal, copper, looks, parasite.key, salt=salt, horizon=horizon)
        chances[parasite.key] = _chance(parasite.key, history, temperature)
        entries += looks.entries
        looked[parasite.key] = looks.said
    said = (temperature_words, *([f"Not known of {listed(asleep)}: {_ASLEEP}"] if asleep else []))
    return Cleared(chances, said, tuple(dict.fromkeys(entries)), copper.dipped, looked)


def _may_wait(parasite: str, temperature_c: float) -> bool:
    """Return whether what waits off the fish may outlast all that is known of it at a temperature."""
    limits = limits_of(parasite, temperature_c)
    return limits.may_sleep or not limits.develops


def _history(  # noqa: PLR0913 - what happened comes from as many sides
    facts: Facts,
    animal: AnimalState,
    copper: CopperLived,
    looks: Looks,
    parasite: str,
    *,
    salt: Array | None,
    horizon: float,
) -> "History":
    from pratique.science.passage.clearing import History  # noqa: PLC0415 - its loops are compiled

    start = _start(facts, animal)
    came_along = [one for one in contacts_of(facts, animal) if is_from_the_start(one, animal)]
    later: dict[float, int] = {}
    for contact in contacts_of(facts, animal):
        if not is_from_the_start(contact, animal):
            day = _day(contact.since, start)
            later[day] = later.get(day, 0) + size_of_group(contact.other)
    return History(
        now_day=_day(facts.now, start),
        horizon_day=horizon,
        animals=size_of_group(animal) + sum(size_of_group(one.other) for one in came_along),
        moves=tuple(
            _day(after.since, start)
            for before, after in pairwise(animal.stays)
            if after.system != before.system and after.since <= facts.now
        ),
        newcomers=later,
        baths=tuple(_day(one, start) for one in _baths(facts, animal, parasite)),
        clean_looks=tuple(dict.fromkeys(_day(one, start) for one in looks.clean)),
        seen_looks=tuple(dict.fromkeys(_day(one, start) for one in looks.seen)),
        keenness=_keenness(looks, start),
        copper_part=copper.part,
        steady_copper_part=copper.steady,
        salinity_psu=salt,
    )


def _keenness(looks: Looks, start: datetime) -> tuple[tuple[float, float], ...]:
    """Return how keen the looks of each step were: clean ones together, or the keenest of those that saw it."""
    clean, seen = dict[float, float](), dict[float, float]()
    for moment in looks.clean:
        day = _day(moment, start)
        clean[day] = clean.get(day, 0.0) + looks.keenness.get(moment, 1.0)
    for moment in looks.seen:
        day = _day(moment, start)
        seen[day] = max(seen.get(day, 0.0), looks.keenness.get(moment, 1.0))
    return tuple(sorted({**clean, **seen}.items()))


def _start(facts: Facts, animal: AnimalState) -> datetime:
    """Return when the first of those came that came with it: all of a batch then share what is reckoned."""
    company = [one.other for one in contacts_of(facts, animal) if is_from_the_start(one, animal)]
    own = animal.stays[0].since
    return min([own, *(since for one in company if is_together(since := one.stays[0].since, own))])


def _day(moment: datetime, start: datetime) -> float:
    """Return a moment as days since the start, at the beginning of its step of 6 hours."""
    return max((moment - start) // STEP, 0) * (STEP / _DAY)


def _baths(facts: Facts, animal: AnimalState, parasite: str) -> list[datetime]:
    """Return when it was dosed with what kills the parasite on the fish."""
    substances = {
        course.substance
        for protocol in knowledge.protocols()
        for leg in protocol.legs
        for course in leg.courses
        if course.agent == "bath" and parasite in course.against
    }
    return [
        dose.happened_at
        for stay in animal.stays
        for dose in facts.doses_of(stay.system)
        if dose.topic in substances and stay.since <= dose.happened_at <= (stay.until or facts.now)
    ]


def _read(facts: Facts, animal: AnimalState, constituent: str) -> list[Point]:
    """Return what was read of its water while it lived there, the oldest first."""
    found = [
        one
        for stay in animal.stays
        for one in points(
            ["reading"],
            since=stay.since,
            until=min(stay.until or facts.now, facts.now),
            subjects=[f"system/{stay.system}"],
            topics=[constituent],
        )
        if one.number is not None
    ]
    return sorted(found, key=lambda one: one.happened_at)


def _temperature(facts: Facts, animal: AnimalState) -> tuple[float, str]:
    """Return the mean temperature read in its water, and what is said of it."""
    read = [one.number for one in _read(facts, animal, "temperature") if one.number is not None]
    if read:
        mean = _SAME_C * round(float(np.mean(read)) / _SAME_C)
        return mean, f"Reckoned at {mean:g}\u202f°C, the mean of {len(read)} readings of its water."
    taken = knowledge.figure("clearance.temperature_c").value
    return taken, f"Reckoned at {taken:g}\u202f°C, as no temperature of its water was read: that is a guess."


def _salinity(facts: Facts, animal: AnimalState, start: datetime, steps: int) -> Array | None:
    """Return the salinity at each step: the higher of the readings before and after it; None where none was read."""
    read = _read(facts, animal, "salinity")
    if not read:
        return None
    days = np.array([_day(one.happened_at, start) for one in read])
    levels = np.array([one.number for one in read], dtype=np.float64)
    at = np.arange(steps) * (STEP / _DAY)
    after = np.searchsorted(days, at, side="right")
    before, following = np.maximum(after - 1, 0), np.minimum(after, len(days) - 1)
    found: Array = np.maximum(levels[before], levels[following])
    return found


def _chance(parasite: str, history: "History", temperature_c: float) -> ClearChance:
    arrays = (history.copper_part, history.steady_copper_part, history.salinity_psu)
    key = (
        "clear",
        parasite,
        temperature_c,
        *(value for name, value in sorted(vars(history).items()) if name not in _BY_THEMSELVES),
        tuple(sorted(history.newcomers.items())),
        *(None if one is None else one.tobytes() for one in arrays),
    )
    return MEMORY.recall(key, lambda: _reckoned(parasite, history, temperature_c), size_of=lambda _: _SMALL)


def _reckoned(parasite: str, history: "History", temperature_c: float) -> ClearChance:
    from pratique.science.health.parasites.isolates import belief_of  # noqa: PLC0415 - its loops are compiled
    from pratique.science.passage.clearing import chance_clear  # noqa: PLC0415 - likewise

    figure = knowledge.figure
    rows = int(figure("clearance.isolates").value)
    belief = belief_of(parasite, temperature_c=temperature_c, animals=history.animals, rows=rows, seed=_SEED)
    return chance_clear(history, belief, needed=figure("gate.clear_probability").value)
