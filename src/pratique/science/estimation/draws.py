"""Whole trajectories of the level drawn from the posterior, and weighed by what each reading really says of them.

A trajectory is made from the prior with readings of its own and then moved by what the real readings say of the
difference (Durbin & Koopman 2002, recalled). The sites stand for the readings only nearly, so each trajectory carries
the ratio of the exact likelihood to the sites', and the effective sample says what that costs.
"""

from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.estimation.likelihood import log_likelihood
from pratique.science.estimation.many_state import copy_into, predict, seen_of
from pratique.science.estimation.ribbon import lay_sites
from pratique.science.estimation.script import STEP_WIDTH, write_steps

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]

_LOG_2PI = float(np.log(2.0 * np.pi))


@dataclass(frozen=True)
class Draws:
    """Trajectories `levels` (draw, grid) with their volume, loss, source at the end, and weights that sum to 1."""

    levels: Array
    volume_l: Array
    loss_per_day: Array
    source_per_day_end: Array
    strength_end: Array
    weights: Array

    @property
    def effective_sample(self) -> float:
        """Return how many equally weighted trajectories these are worth (Kish)."""
        return float(1.0 / np.sum(self.weights**2))


def shares(weights: Array, draws: int, rng: np.random.Generator) -> Indices:
    """Return how many trajectories each node gives: its share, the odd ones by systematic chance."""
    edges = np.cumsum(weights) * draws
    start = rng.random()
    ends = np.floor(edges + start)
    ends[-1] = draws
    return np.diff(np.concatenate([[0.0], ends])).astype(np.int64)


@njit(cache=True, error_model="numpy")
def draw(  # noqa: PLR0913, PLR0917 - a compiled loop takes plain arrays and numbers
    code: Indices,
    what: Array,
    readings: Indices,
    losses: Array,
    volumes: Array,
    counts: Indices,
    walks: Array,
    node_sites: Array,
    rows: Array,
    columns: Indices,
    prior_mean: Array,
    prior_covariance: Array,
    normals: np.random.Generator,
    levels: Array,
    log_ratios: Array,
    ends: Array,
) -> None:
    """Fill levels (draw, grid), each draw's log ratio of exact to site likelihood, and its last source and strength."""
    stops, size = readings.shape[0], prior_mean.shape[0]
    steps, sites, places = np.empty((stops, STEP_WIDTH)), np.empty((stops, 2)), np.empty(stops, np.int64)
    rows_of_covariance, gains, inverse = np.empty((stops, size)), np.empty((stops, size)), np.empty(stops)
    state, moved = np.empty(size), np.empty(size)
    path, shift, lifts = np.empty(stops), np.empty(stops), np.empty(stops)
    factors = np.empty((stops, 3))
    number = 0
    for node in range(losses.shape[0]):
        if counts[node] == 0:
            continue
        write_steps(code, what, losses[node], volumes[node], walks[0], walks[1], steps)
        lay_sites(readings, node_sites[node], columns, sites, places)
        _prepare(steps, sites, places, prior_covariance, rows_of_covariance, gains, inverse, factors)
        for _ in range(counts[node]):
            _from_prior(steps, sites, places, factors, prior_mean, prior_covariance, normals, state, path, lifts)
            _filter_difference(steps, sites, places, gains, inverse, moved, shift, lifts)
            _smooth_difference(steps, sites, places, gains, rows_of_covariance, path, shift, lifts, state, moved)
            log_ratios[number] = _weigh(readings, rows, sites, places, path, state)
            point = 0
            for n in range(stops):
                if readings[n] < 0:
                    levels[number, point] = path[n]
                    point += 1
            ends[number, 0] = state[1]
            ends[number, 1] = state[2] if size > 2 else 0.0
            number += 1


@njit(cache=True, error_model="numpy")
def _prepare(  # noqa: PLR0913, PLR0917
    steps: Array,
    sites: Array,
    places: Indices,
    prior_covariance: Array,
    rows_of_covariance: Array,
    gains: Array,
    inverse: Array,
    factors: Array,
) -> None:
    """Fill what every draw of a node shares: predicted covariances of the level, gains, and roots of the noise."""
    size = prior_covariance.shape[0]
    nothing, covariance = np.zeros(size), np.empty((size, size))
    copy_into(nothing, prior_covariance, nothing, covariance)
    for n in range(steps.shape[0]):
        predict(steps[n], nothing, covariance)
        for j in range(size):
            rows_of_covariance[n, j] = covariance[0, j]
        own = np.sqrt(max(steps[n, 4], 0.0))
        shared = steps[n, 5] / own if own > 0.0 else 0.0
        factors[n, 0], factors[n, 1] = own, shared
        factors[n, 2] = np.sqrt(max(steps[n, 6] - shared * shared, 0.0))
        if sites[n, 1] >= 0.0:
            column = places[n]
            _, spread, _ = seen_of(nothing, covariance, column)
            inverse[n] = 1.0 / (spread + sites[n, 1])
            for j in range(size):
                gains[n, j] = (covariance[j, 0] + (covariance[j, column] if column else 0.0)) * inverse[n]
            total = spread + sites[n, 1]
            for i in range(size):
                for j in range(size):
                    covariance[i, j] -= gains[n, i] * gains[n, j] * total


@njit(cache=True, error_model="numpy")
def _from_prior(  # noqa: PLR0913, PLR0917
    steps: Array,
    sites: Array,
    places: Indices,
    factors: Array,
    prior_mean: Array,
    prior_covariance: Array,
    normals: np.random.Generator,
    state: Array,
    path: Array,
    differences: Array,
) -> None:
    """Draw a state, follow it, and leave site minus what a reading of this path would have been in `differences`."""
    size = state.shape[0]
    for j in range(size):
        state[j] = prior_mean[j] + np.sqrt(prior_covariance[j, j]) * normals.standard_normal()
    for n in range(steps.shape[0]):
        level = steps[n, 0] * state[0] + steps[n, 1] * state[1] + steps[n, 3]
        if size > 2:
            level += steps[n, 2] * state[2]
        state[1] = steps[n, 7] * state[1] + steps[n, 8]
        if factors[n, 0] > 0.0:
            first = normals.standard_normal()
            level += factors[n, 0] * first
            state[1] += factors[n, 1] * first
        if factors[n, 2] > 0.0:
            state[1] += factors[n, 2] * normals.standard_normal()
        state[0] = level
        path[n] = level
        if sites[n, 1] >= 0.0:
            seen = level + (state[places[n]] if places[n] else 0.0)
            differences[n] = sites[n, 0] - seen - np.sqrt(sites[n, 1]) * normals.standard_normal()


@njit(cache=True, error_model="numpy")
def _filter_difference(  # noqa: PLR0913, PLR0917
    steps: Array, sites: Array, places: Indices, gains: Array, inverse: Array, moved: Array, shift: Array, lifts: Array
) -> None:
    """Filter the differences from nothing: predicted shifts of the level, and innovations over their variance."""
    size = moved.shape[0]
    moved[:] = 0.0
    for n in range(steps.shape[0]):
        level = steps[n, 0] * moved[0] + steps[n, 1] * moved[1]
        if size > 2:
            level += steps[n, 2] * moved[2]
        moved[0], moved[1] = level, steps[n, 7] * moved[1]
        shift[n] = level
        if sites[n, 1] >= 0.0:
            off = lifts[n] - level - (moved[places[n]] if places[n] else 0.0)
            for j in range(size):
                moved[j] += gains[n, j] * off
            lifts[n] = off * inverse[n]


@njit(cache=True, error_model="numpy")
def _smooth_difference(  # noqa: PLR0913, PLR0917
    steps: Array,
    sites: Array,
    places: Indices,
    gains: Array,
    rows_of_covariance: Array,
    path: Array,
    shift: Array,
    lifts: Array,
    state: Array,
    moved: Array,
) -> None:
    """Add the smoothed shift to the path, and the filtered one of the end to the last state."""
    size = moved.shape[0]
    for j in range(size):
        state[j] += moved[j]
    adjoint = np.zeros(size)
    for n in range(steps.shape[0] - 1, -1, -1):
        if sites[n, 1] >= 0.0:
            pulled = lifts[n]
            for j in range(size):
                pulled -= gains[n, j] * adjoint[j]
            adjoint[0] += pulled
            if places[n]:
                adjoint[places[n]] += pulled
        added = shift[n]
        for j in range(size):
            added += rows_of_covariance[n, j] * adjoint[j]
        path[n] += added
        first = adjoint[0]
        adjoint[0] = steps[n, 0] * first
        adjoint[1] = steps[n, 1] * first + steps[n, 7] * adjoint[1]
        if size > 2:
            adjoint[2] += steps[n, 2] * first


@njit(cache=True, error_model="numpy")
def _weigh(readings: Indices, rows: Array, sites: Array, places: Indices, path: Array, state: Array) -> float:
    """Return the log ratio of exact to site likelihood of one path; biases stand in its last state."""
    total = 0.0
    for n in range(readings.shape[0]):
        if readings[n] >= 0 and sites[n, 1] >= 0.0:
            seen = path[n] + (state[places[n]] if places[n] else 0.0)
            off = sites[n, 0] - seen
            total += log_likelihood(rows[readings[n]], seen, path[n])
            total += 0.5 * (_LOG_2PI + np.log(sites[n, 1]) + off * off / sites[n, 1])
    return total
