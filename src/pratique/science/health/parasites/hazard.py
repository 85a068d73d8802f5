"""What the animals' days do to the parasites: moves, copper, low salinity, baths, looks and newcomers, step by step."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError
from pratique.science.health.parasites.isolate import Belief, Isolates

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]

HOURS_PER_STEP = 6.0
STEPS_PER_DAY = 4
_NO_MORE_THAN = 1e-12


@dataclass(frozen=True)
class Days:
    """What happens to one batch over `days`, counted from its arrival; each moment in days.

    `animals` come at day 0 and `newcomers` (day, how many) later into the same water. `moves` are into clean tanks that
    hold no stage. `copper_part` (paths, steps) is copper over the lower target of its form; a path is one possible
    course of it. `salinity_psu` is that of each step. `baths` kill what is on the animals. `clean_looks` and
    `seen_looks` are days on which all were looked at, without and with signs; `keenness` is how many times as keen as a
    look by eye one was, by its day, 1 where not told. From `hosts_leave` on what hatches finds nobody.
    """

    days: float
    animals: int
    moves: Sequence[float] = ()
    copper_part: Array | None = None
    salinity_psu: Array | None = None
    baths: Sequence[float] = ()
    clean_looks: Sequence[float] = ()
    seen_looks: Sequence[float] = ()
    keenness: Mapping[float, float] = field(default_factory=dict)
    newcomers: Mapping[float, int] = field(default_factory=dict)
    hosts_leave: float | None = None

    @property
    def steps(self) -> int:
        """Return how many steps of 6 hours the days hold, the last of them ending at or after the end."""
        return int(np.ceil(self.days * STEPS_PER_DAY - _NO_MORE_THAN)) + 1


@dataclass(frozen=True)
class Arrivals:
    """Each group that comes: its step, the chance that it brings the parasite, and how many it then brings.

    `means` (rows, groups) is the mean number on a group that has it, at least one. Groups have it independently.
    """

    steps: Indices
    chances: Array
    means: Array

    @property
    def none(self) -> float:
        """Return the chance that no group brings it."""
        return float(np.prod(1.0 - self.chances))


@dataclass(frozen=True)
class Hazards:
    """The same for the simulation: one row per isolate, one column per step, and who came."""

    settling: Array
    off_survival: Array
    host_survival: Array
    arrivals: Arrivals
    cap: Array
    looks: Array


def step_of(day: float) -> int:
    """Return the step that begins at or before a day."""
    return int(np.floor(day * STEPS_PER_DAY + 1e-6))


def hazards_of(days: Days, belief: Belief) -> Hazards:
    """Return what each isolate meets at each step.

    Raises DomainError for days that end before they begin, no animals, what happens before the first day, and copper or
    salinity of another length.
    """
    _check(days)
    isolates, lethal_below_psu = belief.isolates, belief.lethal_below_psu
    rows, steps = len(isolates), days.steps
    off, host = np.ones((rows, steps)), np.ones((rows, steps))
    for day in days.moves:
        if day * STEPS_PER_DAY < steps:
            off[:, step_of(day)] *= isolates.carried
    for day in days.baths:
        if day * STEPS_PER_DAY < steps:
            host[:, step_of(day)] *= isolates.bath_survival
    if days.hosts_leave is not None:
        host[:, step_of(days.hosts_leave)] = 0.0
    if days.salinity_psu is not None and lethal_below_psu is not None:
        is_lethal = days.salinity_psu <= lethal_below_psu
        off[np.ix_(~isolates.resists_low_salinity, is_lethal)] = 0.0
    return Hazards(
        settling=np.ascontiguousarray(_settling(days, isolates)),
        off_survival=off,
        host_survival=host,
        arrivals=_arrivals(days, belief),
        cap=_present(days) * belief.cap_per_animal,
        looks=_looks(days),
    )


def _check(days: Days) -> None:
    if not days.days > 0.0 or days.animals < 1:
        raise DomainError("A passage needs at least one animal and some days.")
    if days.hosts_leave is not None and not 0.0 <= days.hosts_leave <= days.days:
        raise DomainError("The day the fish leave must lie within the days.")
    if any(day < 0.0 for day in (*days.moves, *days.baths, *days.newcomers)):
        raise DomainError("Moves, baths and newcomers are counted from arrival: none can come before it.")
    if any(count < 1 for count in days.newcomers.values()):
        raise DomainError("Newcomers are one animal or more.")
    for given, words in ((days.copper_part, "copper"), (days.salinity_psu, "salinity")):
        if given is not None and given.shape[-1] != days.steps:
            raise DomainError(f"The {words} must be told for each of the {days.steps} steps of 6 hours.")
        if given is not None and not np.all(np.isfinite(given)):
            raise DomainError(f"The {words} must be a number at every step.")


def _settling(days: Days, isolates: Isolates) -> Array:
    """Return the mean that settle out of one hatching: less by the share the copper of that path kills."""
    plain = np.repeat(isolates.settling[:, None], days.steps, axis=1)
    if days.hosts_leave is not None:
        plain[:, step_of(days.hosts_leave) :] = 0.0
    if days.copper_part is None:
        return plain
    paths = np.maximum(days.copper_part[np.arange(len(isolates)) % len(days.copper_part)], 0.0)
    swimming = _worst_while_swimming(paths, isolates.alive_steps)
    return plain / (1.0 + (swimming / isolates.copper_half_kill[:, None]) ** isolates.copper_slope[:, None])


def _worst_while_swimming(paths: Array, alive_steps: Indices) -> Array:
    """Return the least copper of a step and the next: what hatches is killed only while the level holds."""
    later = np.concatenate([paths[:, 1:], paths[:, -1:]], axis=1)
    return np.where(alive_steps[:, None] > 1, np.minimum(paths, later), paths)


def _arrivals(days: Days, belief: Belief) -> Arrivals:
    """Return the groups that come within the days; each animal has it with the same chance, by itself.

    The burden of the isolates is that of one animal of a first batch that has it, spread over all of them: the fewer of
    a group can have it, the more is on those that do.
    """
    later = [(day, count) for day, count in days.newcomers.items() if day * STEPS_PER_DAY < days.steps]
    groups = [(0.0, days.animals), *later]
    counts = np.array([count for _, count in groups], dtype=np.float64)
    clean = (1.0 - belief.carried_in) ** (1.0 / days.animals)
    chances = 1.0 - clean**counts
    burden = belief.isolates.burden[:, None] * counts * belief.carried_in / np.where(chances > 0.0, chances, 1.0)
    return Arrivals(
        steps=np.array([step_of(day) for day, _ in groups], dtype=np.int64),
        chances=chances,
        means=np.ascontiguousarray(np.maximum(burden, 1.0)),
    )


def _present(days: Days) -> Array:
    """Return how many animals there are at each step."""
    found = np.full(days.steps, float(days.animals))
    for day, count in days.newcomers.items():
        found[step_of(day) :] += count
    return found


def _looks(days: Days) -> Array:
    """Return the keenness of the look at each step: below 0 where signs were seen, 0 where nobody looked."""
    found = np.zeros(days.steps)
    for sign, moments in ((1.0, days.clean_looks), (-1.0, days.seen_looks)):
        for day in moments:
            if 0.0 <= day * STEPS_PER_DAY < days.steps:
                found[step_of(day)] = sign * days.keenness.get(day, 1.0)
    return found
