"""For each node and reading: what all the other readings say of what its method saw."""

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.estimation.likelihood import NO_VARIANCE, log_likelihood, tilted
from pratique.science.estimation.many_state import filter_forward, seen_of, smooth_backward
from pratique.science.estimation.script import STEP_WIDTH, write_steps

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]

_LEAST = 1e-12


@njit(cache=True, error_model="numpy")
def cavities(  # noqa: PLR0913, PLR0917 - a compiled loop takes plain arrays
    code: Indices,
    what: Array,
    losses: Array,
    volumes: Array,
    walks: Array,
    rows: Array,
    columns: Indices,
    prior_mean: Array,
    prior_covariance: Array,
    sites: Array,
) -> tuple[Array, Array, Array]:
    """Return mean and variance (node, reading) of what would be perceived, and the log of what the reading said."""
    nodes, readings, size = losses.shape[0], rows.shape[0], prior_mean.shape[0]
    centres, spreads, parts = np.empty((nodes, readings)), np.empty((nodes, readings)), np.empty((nodes, readings))
    steps = np.empty((readings, STEP_WIDTH))
    means, covariances = np.empty((readings, size)), np.empty((readings, size, size))
    for node in range(nodes):
        write_steps(code, what, losses[node], volumes[node], walks[0], walks[1], steps)
        filter_forward(steps, sites[node], columns, prior_mean, prior_covariance, means, covariances)
        smooth_backward(steps, sites[node], columns, means, covariances)
        for n in range(readings):
            seen, variance, shared = seen_of(means[n], covariances[n], columns[n])
            slope = shared / variance if variance > NO_VARIANCE else 1.0
            centre, cavity = seen, variance
            if sites[node, n, 1] >= 0.0 and variance > NO_VARIANCE:
                rest = max(1.0 / variance - 1.0 / sites[node, n, 1], _LEAST / variance)
                cavity = 1.0 / rest
                centre = cavity * (seen / variance - sites[node, n, 0] / sites[node, n, 1])
            level = means[n, 0] + slope * (centre - seen)
            sd = np.sqrt(rows[n, 3] * rows[n, 3] + (rows[n, 4] * level) * (rows[n, 4] * level))
            centres[node, n], spreads[node, n] = centre, cavity + sd * sd
            if cavity <= NO_VARIANCE:
                parts[node, n] = log_likelihood(rows[n], centre, level)
            else:
                parts[node, n], _, _ = tilted(rows[n], centre, cavity, level, slope)
    return centres, spreads, parts
