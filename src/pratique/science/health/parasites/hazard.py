"""What the animals' days do to the parasites: moves, copper, low salinity, baths, looks and newcomers, step by step."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError
from pratique.science.health.parasites.isolate import Isolates

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
    `seen_looks` are days on which all were looked at, without and with signs. `no_hosts` marks a tank left fallow: what
    hatches then finds nobody.
    """

    days: float
    animals: int
    moves: Sequence[float] = ()
    copper_part: Array | None = None
    salinity_psu: Array | None = None
    baths: Sequence[float] = ()
    clean_looks: Sequence[float] = ()
    seen_looks: Sequence[float] = ()
    newcomers: Mapping[float, int] = field(default_factory=dict)
    hosts_leave: float | None = None

    @property
    def steps(self) -> int:
        """Return how many steps of 6 hours the days hold, the last of them ending at or after the end."""
        return int(np.ceil(self.days * STEPS_PER_DAY - _NO_MORE_THAN)) + 1


@dataclass(frozen=True)
class Hazards:
    """The same for the simulation: one row per isolate, one column per step."""

    settling: Array
    off_survival: Array
    host_survival: Array
    arriving: Array
    cap: Array
    looks: Indices


def step_of(day: float) -> int:
    """Return the step that begins at or before a day."""
    return int(np.floor(day * STEPS_PER_DAY + 1e-6))


def hazards_of(days: Days, isolates: Isolates, *, lethal_below_psu: float | None, cap_per_animal: float) -> Hazards:
    """Return what each isolate meets at each step.

    Raises DomainError for days that end before they begin, no animals, and copper or salinity of another length.
    """
    _check(days)
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
        arriving=_arriving(days, isolates),
        cap=_present(days) * cap_per_animal,
        looks=_looks(days),
    )


def _check(days: Days) -> None:
    if not days.days > 0.0 or days.animals < 1:
        raise DomainError("A passage needs at least one animal and some days.")
    if days.hosts_leave is not None and not 0.0 <= days.hosts_leave <= days.days:
        raise DomainError("The day the fish leave must lie within the days.")
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


def _arriving(days: Days, isolates: Isolates) -> Array:
    found = np.zeros((len(isolates), days.steps))
    for day, count in {0.0: days.animals, **days.newcomers}.items():
        if day * STEPS_PER_DAY < days.steps:
            found[:, step_of(day)] += isolates.burden * count
    return np.where(found > 0.0, np.maximum(found, 1.0), 0.0)


def _present(days: Days) -> Array:
    """Return how many animals there are at each step."""
    found = np.full(days.steps, float(days.animals))
    for day, count in days.newcomers.items():
        found[step_of(day) :] += count
    return found


def _looks(days: Days) -> Indices:
    found = np.zeros(days.steps, np.int64)
    for code, moments in ((1, days.clean_looks), (2, days.seen_looks)):
        for day in moments:
            if day >= 0.0 and day * STEPS_PER_DAY < days.steps:
                found[step_of(day)] = code
    return found
