"""Parasites whose adults stay on the fish and lay eggs (flukes), followed in steps of 6 hours.

Young ones mature on the fish, adults lay until they die or are killed, eggs wait in the water of the animals, and what
hatches swims until it settles. The order within a step is that of `lineage`; what is laid at a step is laid by the
adults that lived through it.

Source: as `lineage`.
"""

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.health.parasites.lineage import settled, share_out, thin

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]


@njit(cache=True, error_model="numpy")
def follow_laying(  # noqa: C901, PLR0912, PLR0913, PLR0917 - a compiled loop takes plain arrays
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
    came: Indices,
    cap: Array,
    seeing: Array,
    looks: Array,
    normals: np.random.Generator,
    on_animals: Indices,
    is_living: NDArray[np.bool_],
    log_weights: Array,
) -> None:
    """Fill what `lineage.follow` fills; newcomers bring adults, `settling` is the mean that settle out of one egg."""
    replicates, steps = is_living.shape
    rows = host_cdf.shape[0]
    maturing, hatching = np.zeros(steps + 1, np.int64), np.zeros(steps + 1, np.int64)
    for r in range(replicates):
        k = r % rows
        for step in range(steps + 1):
            maturing[step], hatching[step] = 0, 0
        young, adults, eggs, swim_until, weight = 0, 0, 0, -1, 0.0
        for t in range(steps):
            if adults > 0:
                adults = int(normals.binomial(adults, adult_survival[k] * host_survival[k, t]))
            if off_survival[k, t] < 1.0:
                eggs -= thin(hatching, t, off_survival[k, t], normals)
                if off_survival[k, t] <= 0.0:
                    swim_until = -1
            if host_survival[k, t] < 1.0:
                young -= thin(maturing, t, host_survival[k, t], normals)
            for group in range(came_at.shape[0]):
                if came_at[group] == t:
                    adults += came[r, group]
            if hatching[t] > 0:
                eggs -= hatching[t]
                swim_until = max(swim_until, t + alive_steps[k])
                room = max(int(cap[t]) - young - adults, 0)
                new = min(settled(settling[k, t], clumping[k], hatching[t], normals), room)
                share_out(maturing, host_cdf[k], t, new, normals)
                young += new
            if adults > 0:
                laid = int(normals.poisson(adults * eggs_per_step[k] * viable[k]))
                if laid > 0:
                    eggs += share_out(hatching, off_cdf[k], t, laid, normals)
            young -= maturing[t]
            adults += maturing[t]
            on = young + adults
            on_animals[r, t] = on
            is_living[r, t] = on + eggs > 0 or swim_until >= t
            if looks[t] > 0.0:
                weight -= looks[t] * seeing[k] * on
            elif looks[t] < 0.0:
                weight += np.log(-np.expm1(looks[t] * seeing[k] * on)) if on > 0 else -np.inf
        log_weights[r] = weight
