"""The chance that no stage is left, by generating functions: exact for one isolate, without a single draw.

The chance that the line of one parasite has ended by a given step is written by the chances of its offspring, which
begin later: so one pass backwards in time gives it for every beginning. No room on the animals is reckoned with here
(`cap` of the simulation): a line that runs into it does not end by it.

Source: Harris 1963, The Theory of Branching Processes, chapters I and VI (recalled); Bellman & Harris 1952 (recalled).
"""

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.health.parasites.hazard import Hazards
from pratique.science.health.parasites.isolate import Isolates

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]


@njit(cache=True, error_model="numpy")
def offspring(ended: float, mean: float, clumping: float) -> float:
    """Return the generating function of what one hatching gives: Poisson, or negative binomial where it clumps."""
    if clumping > 0.0:
        return float((1.0 + clumping * mean * (1.0 - ended)) ** (-1.0 / clumping))
    return float(np.exp(-mean * (1.0 - ended)))


@njit(cache=True, error_model="numpy")
def _share(row: Array, at: int) -> float:
    """Return the chance of exactly step `at` out of a cumulative row; a stage lasts a step at least."""
    if at == 1:
        return float(row[min(1, row.shape[0] - 1)])
    return float(row[at] - row[at - 1])


@njit(cache=True, error_model="numpy")
def _waited(  # noqa: PLR0913, PLR0917 - a compiled loop takes plain arrays
    row: Array, survival: Array, after: Array, begun: int, horizon: int, unseen: Array, living: float
) -> float:
    """Return the chance that a stage begun at `begun`, and all of `after` it, has ended by the horizon unseen.

    Ended where it is killed, where it passes at step u into what ends with chance after[u], or where it never passes.
    What still waits at the horizon has not ended, and counts as `living`.
    """
    lived, ended, passed = unseen[begun], 0.0, 0.0
    last = row[row.shape[0] - 1]
    for wait in range(1, row.shape[0]):
        step = begun + wait
        if step > horizon:
            break
        share = _share(row, wait)
        still = last - passed
        ended += still * lived * (1.0 - survival[step])
        lived *= survival[step]
        ended += share * lived * after[step]
        lived *= unseen[step]
        passed += share
    return float(ended + living * lived * max(last - passed, 0.0) + 1.0 - last)


@njit(cache=True, error_model="numpy")
def _swum(row_alive: int, off_survival: Array, step: int, horizon: int) -> bool:
    """Return whether what hatched at `step` swims no more at the horizon: too old, or its water left behind."""
    if step + row_alive < horizon:
        return True
    for later in range(step + 1, horizon + 1):  # noqa: SIM110 - generators do not compile
        if off_survival[later] <= 0.0:
            return True
    return False


@njit(cache=True, error_model="numpy")
def ended_by(  # noqa: PLR0913, PLR0917 - a compiled loop takes plain arrays
    horizon: int,
    host_row: Array,
    resident_row: Array,
    off_row: Array,
    viable: float,
    eggs_per_step: float,
    adult_survival: float,
    settling: Array,
    clumping: float,
    alive_steps: int,
    off_survival: Array,
    host_survival: Array,
    unseen: Array,
    living: float,
    hosted: Array,
    resident: Array,
) -> None:
    """Fill, for every step a line may begin at, the chance that it has ended by the horizon and no look saw it.

    `unseen` is the chance at each step that a look misses one on the animals, 1 without a look. With `living` 1 it is
    that of no look seeing it, ended or not; with 0 it must have ended. `hosted` is for one newly settled at that step,
    `resident` for one that was on a newcomer: an adult where eggs are laid, else one that has been on it for some
    of its time. Eggs are laid where `eggs_per_step` is at or above 0.
    """
    hatched, off, left = np.zeros(horizon + 1), np.zeros(horizon + 1), np.zeros(horizon + 1)
    in_water = np.ones(horizon + 1)
    for t in range(horizon, -1, -1):
        off[t] = 1.0 - viable + viable * _waited(off_row, off_survival, hatched, t, horizon, in_water, living)
        if eggs_per_step < 0.0:
            left[t] = off[t]
            hosted[t] = _waited(host_row, host_survival, left, t, horizon, unseen, living)
            resident[t] = _waited(resident_row, host_survival, left, t, horizon, unseen, living)
        else:
            # Adults of now: of the step before, they lay at this one; left[t] is for one that has just matured.
            left[t] = unseen[t] * living
            if t < horizon:
                lives = adult_survival * host_survival[t + 1]
                later = lives * np.exp(-eggs_per_step * (1.0 - off[t + 1])) * left[t + 1]
                left[t] = unseen[t] * (1.0 - lives + later)
            hosted[t] = _waited(host_row, host_survival, left, t, horizon, unseen, living)
            resident[t] = np.exp(-eggs_per_step * (1.0 - off[t])) * left[t]
        hatched[t] = offspring(hosted[t], settling[t], clumping)
        if not _swum(alive_steps, off_survival, t, horizon):
            hatched[t] *= living


@njit(cache=True, error_model="numpy")
def _partly_over(row: Array, resident: Array) -> None:
    """Fill the cumulative row of a stage partly over: a stay s becomes int(s u) for an even u, at least 1."""
    for wait in range(1, row.shape[0]):
        share = 0.0
        for stay in range(wait, row.shape[0]):
            parts = 1.0 if stay == 1 or stay > wait else 0.0
            share += _share(row, stay) * (2.0 if wait == 1 and stay > 1 else parts) / stay
        resident[wait] = resident[wait - 1] + share


@njit(cache=True, error_model="numpy")
def _chances(  # noqa: PLR0913, PLR0917 - a compiled loop takes plain arrays
    horizons: Indices,
    host_cdf: Array,
    off_cdf: Array,
    viable: Array,
    eggs_per_step: Array,
    adult_survival: Array,
    settling: Array,
    clumping: Array,
    alive_steps: Indices,
    off_survival: Array,
    host_survival: Array,
    came_at: Indices,
    came_chances: Array,
    came_means: Array,
    unseen: Array,
    living: float,
    found: Array,
) -> None:
    """Fill `found` (rows, horizons) as `by_generating` tells it; a group brings one, and a Poisson number beside it."""
    resident_row = np.zeros(host_cdf.shape[1])
    for k in range(found.shape[0]):
        _partly_over(host_cdf[k], resident_row)
        for n in range(horizons.shape[0]):
            horizon = horizons[n]
            hosted, resident = np.zeros(horizon + 1), np.zeros(horizon + 1)
            ended_by(
                horizon, host_cdf[k], resident_row, off_cdf[k], viable[k], eggs_per_step[k], adult_survival[k],
                settling[k], clumping[k], alive_steps[k], off_survival[k], host_survival[k], unseen[k], living,
                hosted, resident,
            )  # fmt: skip
            total = 1.0
            for group in range(came_at.shape[0]):
                t = came_at[group]
                if t <= horizon:
                    ended = resident[t] * np.exp(max(came_means[k, group] - 1.0, 0.0) * (resident[t] - 1.0))
                    total *= 1.0 - came_chances[group] + came_chances[group] * ended
            found[k, n] = total


def by_generating(
    hazards: Hazards, isolates: Isolates, ends: Indices, *, unseen: Array | None = None, living: float = 0.0
) -> Array:
    """Return (rows, ends): for each isolate the chance that no stage lives at the end of those steps.

    Whether it came along at all is counted in. With `unseen` (rows, steps), the chance that a look at a step misses one
    parasite, it is the chance of that and of no look having seen a sign; with `living` 1 a stage may live on.
    """
    found = np.empty((len(isolates), len(ends)))
    came = hazards.arrivals
    _chances(
        ends, isolates.host_cdf, isolates.off_cdf, isolates.viable, isolates.eggs_per_step, isolates.adult_survival,
        hazards.settling, isolates.clumping, isolates.alive_steps, hazards.off_survival, hazards.host_survival,
        came.steps, came.chances, came.means,
        np.ones_like(hazards.settling) if unseen is None else unseen, living, found,
    )  # fmt: skip
    return found


def had_it(chance: Array, hazards: Hazards) -> Array:
    """Return chances of being clear as they would be had the parasite surely come along with one group at least."""
    none = hazards.arrivals.none
    found: Array = np.clip((chance - none) / (1.0 - none), 0.0, 1.0) if none < 1.0 else chance
    return found
