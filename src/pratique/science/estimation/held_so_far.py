"""By which day a required run was likely held: the chance day by day, counted on whole trajectories."""

from collections.abc import Sequence

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.estimation.draws import Draws
from pratique.science.estimation.exposure import Chance, chance

type Array = NDArray[np.float64]
type Flags = NDArray[np.bool_]

_SAME_MOMENT = 1e-9


def held_by(  # noqa: PLR0913 - a stretch, a level and what is asked
    draws: Draws,
    days: Array,
    *,
    lower: float,
    start_day: float,
    end_day: float,
    required_days: float,
    by_days: Sequence[float],
) -> tuple[Chance, ...]:
    """Return how likely `required_days` in a row at or above `lower` had been held by each of some days.

    Only what lies between the two days of the grid counts; the days asked for are those of the grid, too.
    """
    inside = (days >= start_day - _SAME_MOMENT) & (days <= end_day + _SAME_MOMENT)
    reached = first_reached(draws.levels[:, inside] >= lower, days[inside], required_days - _SAME_MOMENT)
    return tuple(chance(reached <= day + _SAME_MOMENT, draws.weights) for day in by_days)


@njit(cache=True)
def first_reached(above: Flags, days: Array, required_days: float) -> Array:
    """Return for each trajectory the day at which a run first lasted so long: infinity where none did."""
    count, points = above.shape
    reached = np.full(count, np.inf)
    for i in range(count):
        start = -1
        for n in range(points):
            if not above[i, n]:
                start = -1
                continue
            if start < 0:
                start = n
            if days[n] - days[start] >= required_days:
                reached[i] = days[n]
                break
    return reached
