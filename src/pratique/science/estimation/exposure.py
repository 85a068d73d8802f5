"""How long, and how surely, a level was held: counted on whole trajectories, so that a dip anywhere restarts the clock.

A run of n points of the grid lasts (n - 1) steps. "Held" means at or above the lower target.
"""

import math
from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Band
from pratique.science.estimation.draws import Draws
from pratique.science.estimation.marginal import PROBABILITIES

type Array = NDArray[np.float64]
type Flags = NDArray[np.bool_]

_SAME_MOMENT = 1e-9
_HOURS_PER_DAY = 24.0


@dataclass(frozen=True)
class Spread:
    """A quantity over all trajectories: mean, sd, quantiles at PROBABILITIES, and the Monte Carlo error of the mean."""

    mean: float
    sd: float
    quantiles: tuple[float, ...]
    monte_carlo_error: float


@dataclass(frozen=True)
class Chance:
    """A probability, and its Monte Carlo error (one standard error)."""

    value: float
    monte_carlo_error: float


@dataclass(frozen=True)
class Dip:
    """A stretch of days in which the level may have gone below the target after it was reached.

    `probability` is that it did so at any point of the stretch; `day` is when that is likeliest.
    """

    start_day: float
    end_day: float
    day: float
    probability: Chance


@dataclass(frozen=True)
class HeldDay:
    """One day of 24 hours from the start: how likely it was held throughout, and how likely it still counts."""

    index: int
    held: Chance
    credited: Chance


@dataclass(frozen=True)
class Exposure:
    """The exposure of a stretch of days.

    `held` is P(longest unbroken run >= required days), None where none is asked.
    """

    longest_unbroken_days: Spread
    credited_days: Spread
    hours_above_upper: Spread
    held: Chance | None
    dips: tuple[Dip, ...]
    days: tuple[HeldDay, ...]
    effective_sample: float


def exposure_of(  # noqa: PLR0913 - a stretch, a band and what is asked
    draws: Draws,
    days: Array,
    band: Band,
    *,
    start_day: float,
    end_day: float,
    required_days: float | None,
    least_dip: float = 0.05,
) -> Exposure:
    """Return the exposure between two days of a posterior's grid, both points included.

    `least_dip` is the least probability at which a dip is named. Raises DomainError if the stretch holds no point.
    """
    inside = (days >= start_day - _SAME_MOMENT) & (days <= end_day + _SAME_MOMENT)
    if not inside.any():
        raise DomainError("A course cannot end before it starts.")
    stretch, levels, weights = days[inside], draws.levels[:, inside], draws.weights
    above = levels >= band.lower
    longest, credited, credited_from = runs(above, stretch)
    hours: Array = _hours_per_point(stretch) * (levels > band.upper).sum(axis=1, dtype=np.float64)
    held = None
    if required_days is not None:
        held = chance(longest >= required_days - _SAME_MOMENT, weights)
    return Exposure(
        spread(longest, weights),
        spread(credited, weights),
        spread(hours, weights),
        held,
        _dips(above, stretch, weights, least_dip),
        _held_days(above, credited_from, stretch, weights),
        draws.effective_sample,
    )


def chance(flags: Flags, weights: Array) -> Chance:
    """Return how likely something is over weighted trajectories."""
    value = float(np.clip(weights @ flags, 0.0, 1.0))
    return Chance(value, float(np.sqrt(np.sum(weights**2 * (flags - value) ** 2))))


def spread(values: Array, weights: Array) -> Spread:
    """Return the spread of a quantity over weighted trajectories."""
    mean = float(weights @ values)
    order = np.argsort(values, kind="stable")
    reached = np.cumsum(weights[order])
    places = np.minimum(np.searchsorted(reached, PROBABILITIES), len(values) - 1)
    return Spread(
        mean,
        math.sqrt(max(0.0, float(weights @ (values - mean) ** 2))),
        tuple(float(one) for one in values[order][places]),
        float(np.sqrt(np.sum(weights**2 * (values - mean) ** 2))),
    )


@njit(cache=True)
def runs(above: Flags, days: Array) -> tuple[Array, Array, Array]:
    """Return for each trajectory the longest run in days, the run that stands at the end, and the day that one began.

    A run that does not stand at the end begins nowhere: infinity.
    """
    count, points = above.shape
    longest, standing, begun = np.zeros(count), np.zeros(count), np.full(count, np.inf)
    for i in range(count):
        start = -1
        for n in range(points):
            if not above[i, n]:
                start = -1
                continue
            if start < 0:
                start = n
            longest[i] = max(longest[i], days[n] - days[start])
        if start >= 0:
            standing[i], begun[i] = days[points - 1] - days[start], days[start]
    return longest, standing, begun


def _hours_per_point(days: Array) -> float:
    return float(days[1] - days[0]) * _HOURS_PER_DAY if len(days) > 1 else 0.0


def _dips(above: Flags, days: Array, weights: Array, least: float) -> tuple[Dip, ...]:
    """Return the stretches in which a level once reached was likely enough lost again."""
    reached = np.logical_or.accumulate(above, axis=1)
    below = reached & ~above
    likely = weights @ below
    edges = np.flatnonzero(np.diff(np.concatenate([[False], likely >= least, [False]]).astype(np.int8)))
    found = []
    for first, after in zip(edges[::2], edges[1::2], strict=True):
        peak = first + int(np.argmax(likely[first:after]))
        happened = chance(below[:, first:after].any(axis=1), weights)
        found.append(Dip(float(days[first]), float(days[after - 1]), float(days[peak]), happened))
    return tuple(found)


def _held_days(above: Flags, credited_from: Array, days: Array, weights: Array) -> tuple[HeldDay, ...]:
    """Return each day of 24 hours from the start, the last one perhaps short."""
    start = float(days[0])
    count = max(1, int(np.ceil(float(days[-1]) - start - _SAME_MOMENT)))
    found = []
    for index in range(count):
        opens, closes = start + index, start + index + 1.0
        today = (days >= opens - _SAME_MOMENT) & (days <= closes + _SAME_MOMENT)
        held = chance(above[:, today].all(axis=1), weights)
        found.append(HeldDay(index, held, chance(credited_from <= opens + _SAME_MOMENT, weights)))
    return tuple(found)
