"""The level over the grid at every node that still counts, and their mixture."""

from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.estimation.many_state import filter_forward, smooth_backward
from pratique.science.estimation.script import STEP_WIDTH, write_steps
from pratique.science.estimation.two_state import smooth_two_state

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]


@dataclass(frozen=True)
class Ribbon:
    """Smoothed level and source, (node, grid): their means and variances."""

    level_means: Array
    level_variances: Array
    source_means: Array
    source_variances: Array


def ribbon_of(  # noqa: PLR0913, PLR0917 - the arrays of a script and of its nodes
    code: Indices,
    what: Array,
    readings: Indices,
    losses: Array,
    volumes: Array,
    walks: Array,
    sites: Array,
    columns: Indices,
    prior: tuple[Array, Array],
) -> Ribbon:
    """Return the ribbon of some nodes over the stops of the script that are points of the grid."""
    grid = int((readings < 0).sum())
    out = Ribbon(*(np.empty((len(losses), grid)) for _ in range(4)))
    fill = _fill_two if len(prior[0]) == 2 else _fill_many
    fill(code, what, readings, losses, volumes, walks, sites, columns, *prior, *vars(out).values())
    return out


@njit(cache=True, error_model="numpy")
def lay_sites(readings: Indices, node_sites: Array, columns: Indices, sites: Array, places: Indices) -> None:
    """Put a node's sites, and where each finds its bias, at the stops of the readings; -1 at points of the grid."""
    for n in range(readings.shape[0]):
        sites[n, 0], sites[n, 1], places[n] = 0.0, -1.0, 0
        if readings[n] >= 0:
            sites[n, 0], sites[n, 1] = node_sites[readings[n], 0], node_sites[readings[n], 1]
            places[n] = columns[readings[n]]


@njit(cache=True, error_model="numpy")
def _fill_two(  # noqa: PLR0913, PLR0917
    code: Indices,
    what: Array,
    readings: Indices,
    losses: Array,
    volumes: Array,
    walks: Array,
    sites: Array,
    columns: Indices,
    prior_mean: Array,
    prior_covariance: Array,
    level_means: Array,
    level_variances: Array,
    source_means: Array,
    source_variances: Array,
) -> None:
    stops = readings.shape[0]
    steps, laid, places = np.empty((stops, STEP_WIDTH)), np.empty((stops, 2)), np.empty(stops, np.int64)
    means, covariances, gains = np.empty((stops, 2)), np.empty((stops, 3)), np.empty((stops, 2))
    prior = np.array(
        [prior_mean[0], prior_mean[1], prior_covariance[0, 0], prior_covariance[0, 1], prior_covariance[1, 1]]
    )
    for node in range(losses.shape[0]):
        write_steps(code, what, losses[node], volumes[node], walks[0], walks[1], steps)
        lay_sites(readings, sites[node], columns, laid, places)
        smooth_two_state(steps, laid, prior, means, covariances, gains)
        point = 0
        for n in range(stops):
            if readings[n] < 0:
                level_means[node, point], source_means[node, point] = means[n, 0], means[n, 1]
                level_variances[node, point], source_variances[node, point] = covariances[n, 0], covariances[n, 2]
                point += 1


@njit(cache=True, error_model="numpy")
def _fill_many(  # noqa: PLR0913, PLR0917
    code: Indices,
    what: Array,
    readings: Indices,
    losses: Array,
    volumes: Array,
    walks: Array,
    sites: Array,
    columns: Indices,
    prior_mean: Array,
    prior_covariance: Array,
    level_means: Array,
    level_variances: Array,
    source_means: Array,
    source_variances: Array,
) -> None:
    stops, size = readings.shape[0], prior_mean.shape[0]
    steps, laid, places = np.empty((stops, STEP_WIDTH)), np.empty((stops, 2)), np.empty(stops, np.int64)
    means, covariances = np.empty((stops, size)), np.empty((stops, size, size))
    for node in range(losses.shape[0]):
        write_steps(code, what, losses[node], volumes[node], walks[0], walks[1], steps)
        lay_sites(readings, sites[node], columns, laid, places)
        filter_forward(steps, laid, places, prior_mean, prior_covariance, means, covariances)
        smooth_backward(steps, laid, places, means, covariances)
        point = 0
        for n in range(stops):
            if readings[n] < 0:
                level_means[node, point], source_means[node, point] = means[n, 0], means[n, 1]
                level_variances[node, point], source_variances[node, point] = (
                    covariances[n, 0, 0],
                    covariances[n, 1, 1],
                )
                point += 1
