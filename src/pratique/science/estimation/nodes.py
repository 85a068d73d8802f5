"""For each pair of loss and volume: the Gaussian sites of its readings, and how well it explains them.

Readings that are not plain enter by expectation propagation (Minka 2001): a first pass matches each against what was
predicted, later ones against everything else. Where all readings are plain and without relative error the first pass
is exact.
"""

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.estimation.likelihood import LEAST_SD, NO_VARIANCE, PLAIN, log_likelihood, site_of, tilted
from pratique.science.estimation.many_state import copy_into, filter_forward, predict, seen_of, smooth_backward, update
from pratique.science.estimation.script import STEP_WIDTH, write_steps

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]

_SETTLED = 1e-3


@njit(cache=True, error_model="numpy")
def explain(  # noqa: PLR0913, PLR0917 - a compiled loop takes plain arrays and numbers
    code: Indices,
    what: Array,
    losses: Array,
    volumes: Array,
    walks: Array,
    rows: Array,
    columns: Indices,
    prior_mean: Array,
    prior_covariance: Array,
    sweeps: int,
    sites: Array,
    corrections: Array,
) -> Array:
    """Return the log evidence of every node; fill its sites (nodes, readings, 2) and what the sites leave out.

    `walks` is (source, level); the script stops at the readings only. A correction is log evidence minus the
    log-likelihood of the sites taken as plain readings.
    """
    evidence = np.empty(losses.shape[0])
    readings, size = rows.shape[0], prior_mean.shape[0]
    steps = np.empty((readings, STEP_WIDTH))
    means, covariances = np.empty((readings, size)), np.empty((readings, size, size))
    most = _most_evidence(rows)
    for node in range(losses.shape[0]):
        write_steps(code, what, losses[node], volumes[node], walks[0], walks[1], steps)
        own = sites[node]
        if node == 0 or sweeps == 0:
            evidence[node] = _first_pass(steps, rows, columns, prior_mean, prior_covariance, own)
            corrections[node] = 0.0
        else:
            # Sites hardly differ from node to node: the neighbour's save the first pass and most sweeps.
            for n in range(readings):
                own[n, 0], own[n, 1] = sites[node - 1, n, 0], sites[node - 1, n, 1]
        if sweeps > 0:
            evidence[node], corrections[node] = _sweep(
                steps, rows, columns, prior_mean, prior_covariance, sweeps, own, means, covariances
            )
            if not -np.inf < evidence[node] <= most:
                # Readings that contradict each other can drive the sweeps apart: the first pass always stands.
                evidence[node] = _first_pass(steps, rows, columns, prior_mean, prior_covariance, own)
                corrections[node] = evidence[node] - filter_forward(
                    steps, own, columns, prior_mean, prior_covariance, means, covariances
                )
    return evidence


@njit(cache=True, error_model="numpy")
def _most_evidence(rows: Array) -> float:
    """Return what no log evidence can exceed: every interval certain, every plain reading met exactly."""
    most = 1e-6
    for n in range(rows.shape[0]):
        if rows[n, 0] == PLAIN:
            most -= np.log(max(rows[n, 3], LEAST_SD) * np.sqrt(2.0 * np.pi))
    return most


@njit(cache=True, error_model="numpy")
def _first_pass(
    steps: Array, rows: Array, columns: Indices, prior_mean: Array, prior_covariance: Array, sites: Array
) -> float:
    """Match each reading against what was predicted; return the log evidence."""
    size = prior_mean.shape[0]
    mean, covariance = np.empty(size), np.empty((size, size))
    copy_into(prior_mean, prior_covariance, mean, covariance)
    total = 0.0
    for n in range(rows.shape[0]):
        predict(steps[n], mean, covariance)
        seen, variance, shared = seen_of(mean, covariance, columns[n])
        if variance <= NO_VARIANCE:
            # A level known exactly cannot learn; the reading is only weighed.
            sites[n, 0], sites[n, 1] = seen, -1.0
            total += log_likelihood(rows[n], seen, mean[0])
            continue
        log_z, new_mean, new_variance = tilted(rows[n], seen, variance, mean[0], shared / variance)
        total += log_z
        sites[n, 0], sites[n, 1] = site_of(seen, variance, new_mean, new_variance)
        update(mean, covariance, columns[n], sites[n, 0], sites[n, 1])
    return total


@njit(cache=True, error_model="numpy")
def _sweep(  # noqa: PLR0913, PLR0917
    steps: Array,
    rows: Array,
    columns: Indices,
    prior_mean: Array,
    prior_covariance: Array,
    sweeps: int,
    sites: Array,
    means: Array,
    covariances: Array,
) -> tuple[float, float]:
    """Match each reading against all the others, again and again; return the log evidence and the correction."""
    plain = correction = 0.0
    for turn in range(sweeps + 1):
        plain = filter_forward(steps, sites, columns, prior_mean, prior_covariance, means, covariances)
        smooth_backward(steps, sites, columns, means, covariances)
        correction, moved = 0.0, 0.0
        for n in range(rows.shape[0]):
            if sites[n, 1] < 0.0:
                continue
            seen, variance, shared = seen_of(means[n], covariances[n], columns[n])
            if variance <= NO_VARIANCE:
                off = sites[n, 0] - seen
                correction += log_likelihood(rows[n], seen, means[n, 0])
                correction += 0.5 * (np.log(2.0 * np.pi * sites[n, 1]) + off * off / sites[n, 1])
                continue
            rest = 1.0 / variance - 1.0 / sites[n, 1]
            if rest <= 0.0:
                continue
            cavity = 1.0 / rest
            centre = cavity * (seen / variance - sites[n, 0] / sites[n, 1])
            slope = shared / variance
            log_z, new_mean, new_variance = tilted(
                rows[n], centre, cavity, means[n, 0] + slope * (centre - seen), slope
            )
            off, spread = sites[n, 0] - centre, cavity + sites[n, 1]
            correction += log_z + 0.5 * (np.log(2.0 * np.pi * spread) + off * off / spread)
            if turn < sweeps:
                moved = max(moved, abs(new_mean - seen) / np.sqrt(variance), abs(new_variance / variance - 1.0))
                sites[n, 0], sites[n, 1] = site_of(centre, cavity, new_mean, new_variance)
        if turn < sweeps and moved < _SETTLED:
            break
    return plain + correction, correction
