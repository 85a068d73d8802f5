"""Parasites that leave the fish to divide (white spot, velvet), followed one replicate after another in steps of 6 h.

On a fish, off it in the water of the animals, then swimming until one settles again. Two calendars hold how many leave
the fish and how many hatch at each step, so the work grows with the parasites and not with their ages. Within a step:
kills and moves, newcomers, hatching and settling, leaving, then the look at the animals.

Source: an age-dependent branching process (Bellman & Harris 1952, recalled) with the offspring of one hatching negative
binomial, as clumped infections are (Anderson & May 1978, recalled); `generating` gives the same chances without draws.
"""

import numpy as np
from numba import njit
from numpy.typing import NDArray

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]


@njit(cache=True, error_model="numpy")
def duration_of(row: Array, chance: float) -> int:
    """Return the first step at which a cumulative row reaches `chance`; its length where it never does."""
    low, high = 0, row.shape[0]
    while low < high:
        middle = (low + high) // 2
        if row[middle] < chance:
            low = middle + 1
        else:
            high = middle
    return low


@njit(cache=True, error_model="numpy")
def settled(mean: float, clumping: float, hatched: int, normals: np.random.Generator) -> int:
    """Return how many settle out of `hatched` hatchings of this mean; clumping 0 is none (Poisson)."""
    total = mean * hatched
    if total <= 0.0:
        return 0
    if clumping > 0.0:
        total = normals.standard_gamma(hatched / clumping) * mean * clumping
    return int(normals.poisson(total))


@njit(cache=True, error_model="numpy")
def thin(calendar: Indices, after: int, survival: float, normals: np.random.Generator) -> int:
    """Let each of those due at step `after` or later survive with this chance; return how many died."""
    died = 0
    for step in range(after, calendar.shape[0]):
        if calendar[step] > 0:
            left = 0 if survival <= 0.0 else int(normals.binomial(calendar[step], survival))
            died += calendar[step] - left
            calendar[step] = left
    return died


@njit(cache=True, error_model="numpy")
def share_out(calendar: Indices, row: Array, step: int, count: int, normals: np.random.Generator) -> int:
    """Put `count` that begin a stage on the calendar of its end; return how many ever end it.

    Few are drawn one by one, many by one binomial a step, which is the same multinomial draw.
    """
    last = calendar.shape[0] - 1
    if count < row.shape[0]:
        ending = 0
        for _ in range(count):
            wait = duration_of(row, normals.random())
            if wait < row.shape[0]:
                calendar[min(step + max(wait, 1), last)] += 1
                ending += 1
        return ending
    left, before = count, 0.0
    for wait in range(row.shape[0]):
        share = row[wait] - before
        if share > 0.0 and left > 0:
            ends = left if row[wait] >= 1.0 else int(normals.binomial(left, min(share / (1.0 - before), 1.0)))
            calendar[min(step + max(wait, 1), last)] += ends
            left -= ends
            before = row[wait]
    return count - left


@njit(cache=True, error_model="numpy")
def _put_old(calendar: Indices, row: Array, step: int, count: int, normals: np.random.Generator) -> None:
    """Put those that came on a newcomer on the calendar: an evenly drawn share of their stay is over."""
    for _ in range(count):
        stay = int(duration_of(row, normals.random()) * normals.random())
        calendar[min(step + max(stay, 1), calendar.shape[0] - 1)] += 1


@njit(cache=True, error_model="numpy")
def follow(  # noqa: C901, PLR0913, PLR0917 - a compiled loop takes plain arrays
    host_cdf: Array,
    off_cdf: Array,
    viable: Array,
    settling: Array,
    clumping: Array,
    alive_steps: Indices,
    off_survival: Array,
    host_survival: Array,
    came_at: Indices,
    came: Indices,
    cap: Array,
    seeing: Array,
    looks: Array,
    normals: np.random.Generator,
    on_animals: Indices,
    is_living: NDArray[np.bool_],
    log_weights: Array,
) -> None:
    """Fill, per replicate and step, how many are on the animals and whether any stage lives; and each one's weight.

    Replicate r has the isolate r mod the number of rows. `settling` (rows, steps) is the mean number that settle out of
    one hatching at each step; `off_survival` and `host_survival` (rows, steps) the chance of living through it, a
    move's among them; `came` (replicates, groups) how many parasites each group brings at its step of `came_at`.
    `looks` is above 0 where the animals were looked at and clean, below 0 where signs were seen; a look misses each
    parasite with chance exp(-`seeing` |looks|). The last place of a calendar holds all that is due later.
    """
    replicates, steps = is_living.shape
    rows = host_cdf.shape[0]
    leaving, hatching = np.zeros(steps + 1, np.int64), np.zeros(steps + 1, np.int64)
    for r in range(replicates):
        k = r % rows
        for step in range(steps + 1):
            leaving[step], hatching[step] = 0, 0
        on, off, swim_until, weight = 0, 0, -1, 0.0
        for t in range(steps):
            if off_survival[k, t] < 1.0:
                off -= thin(hatching, t, off_survival[k, t], normals)
                if off_survival[k, t] <= 0.0:
                    swim_until = -1
            if host_survival[k, t] < 1.0:
                on -= thin(leaving, t, host_survival[k, t], normals)
            for group in range(came_at.shape[0]):
                if came_at[group] == t:
                    _put_old(leaving, host_cdf[k], t, came[r, group], normals)
                    on += came[r, group]
            if hatching[t] > 0:
                off -= hatching[t]
                swim_until = max(swim_until, t + alive_steps[k])
                new = min(settled(settling[k, t], clumping[k], hatching[t], normals), max(int(cap[t]) - on, 0))
                share_out(leaving, host_cdf[k], t, new, normals)
                on += new
            if leaving[t] > 0:
                on -= leaving[t]
                off += share_out(hatching, off_cdf[k], t, int(normals.binomial(leaving[t], viable[k])), normals)
            on_animals[r, t] = on
            is_living[r, t] = on + off > 0 or swim_until >= t
            if looks[t] > 0.0:
                weight -= looks[t] * seeing[k] * on
            elif looks[t] < 0.0:
                weight += np.log(-np.expm1(looks[t] * seeing[k] * on)) if on > 0 else -np.inf
        log_weights[r] = weight
