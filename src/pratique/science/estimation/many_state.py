"""The same filter and smoother with static unknowns beside the level: the stock's strength, and each method's bias.

State: level, source, strength, then one bias per method that has one. Only the level and the source ever move;
a step keeps r of the source and adds e to it. A reading sees the level plus the bias in its `column` (0 for none).

Source: as `two_state`; held to it, and to a dense solve of the same Gaussian.
"""

import numpy as np
from numba import njit
from numpy.typing import NDArray

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]

_LOG_2PI = float(np.log(2.0 * np.pi))


@njit(cache=True, error_model="numpy")
def predict(step: Array, mean: Array, covariance: Array) -> None:
    """Take a mean and covariance over one step (a, f, g, d, q11, q12, q22, r, e), in place."""
    size = mean.shape[0]
    a, f, g, r = step[0], step[1], step[2], step[7]
    mean[0] = a * mean[0] + f * mean[1] + step[3]
    if size > 2:
        mean[0] += g * mean[2]
    mean[1] = r * mean[1] + step[8]
    for j in range(size):
        moved = a * covariance[0, j] + f * covariance[1, j]
        if size > 2:
            moved += g * covariance[2, j]
        covariance[0, j] = moved
    own = a * covariance[0, 0] + f * covariance[0, 1]
    if size > 2:
        own += g * covariance[0, 2]
    covariance[0, 0] = own + step[4]
    covariance[0, 1] = r * covariance[0, 1] + step[5]
    covariance[1, 1] = r * r * covariance[1, 1] + step[6]
    for j in range(2, size):
        covariance[1, j] *= r
        covariance[j, 1] *= r
    for j in range(1, size):
        covariance[j, 0] = covariance[0, j]


@njit(cache=True, error_model="numpy")
def seen_of(mean: Array, covariance: Array, column: int) -> tuple[float, float, float]:
    """Return what a reading sees: its mean and variance, and the covariance of the level with it."""
    if column == 0:
        return mean[0], covariance[0, 0], covariance[0, 0]
    spread = covariance[0, 0] + 2.0 * covariance[0, column] + covariance[column, column]
    return mean[0] + mean[column], spread, covariance[0, 0] + covariance[0, column]


@njit(cache=True, error_model="numpy")
def update(mean: Array, covariance: Array, column: int, reading: float, variance: float) -> float:
    """Take one reading in, in place; return its log-likelihood."""
    size = mean.shape[0]
    expected, spread, _ = seen_of(mean, covariance, column)
    total = spread + variance
    surprise = (reading - expected) / total
    gain = np.empty(size)
    for j in range(size):
        gain[j] = covariance[j, 0] + (covariance[j, column] if column else 0.0)
        mean[j] += gain[j] * surprise
    for i in range(size):
        for j in range(size):
            covariance[i, j] -= gain[i] * gain[j] / total
    return float(-0.5 * (_LOG_2PI + np.log(total) + surprise * surprise * total))


@njit(cache=True, error_model="numpy")
def copy_into(mean: Array, covariance: Array, to_mean: Array, to_covariance: Array) -> None:
    """Copy a mean and a covariance; plain loops compile in a tenth of the time a slice assignment takes."""
    for i in range(mean.shape[0]):
        to_mean[i] = mean[i]
        for j in range(mean.shape[0]):
            to_covariance[i, j] = covariance[i, j]


@njit(cache=True, error_model="numpy")
def filter_forward(  # noqa: PLR0913, PLR0917 - a compiled loop takes plain arrays
    steps: Array,
    sites: Array,
    columns: Indices,
    prior_mean: Array,
    prior_covariance: Array,
    means: Array,
    covariances: Array,
) -> float:
    """Fill the predicted means (n, size) and covariances (n, size, size); return the log-likelihood."""
    size = prior_mean.shape[0]
    mean, covariance = np.empty(size), np.empty((size, size))
    copy_into(prior_mean, prior_covariance, mean, covariance)
    total = 0.0
    for n in range(steps.shape[0]):
        predict(steps[n], mean, covariance)
        copy_into(mean, covariance, means[n], covariances[n])
        if sites[n, 1] >= 0.0:
            total += update(mean, covariance, columns[n], sites[n, 0], sites[n, 1])
    return total


@njit(cache=True, error_model="numpy")
def smooth_backward(steps: Array, sites: Array, columns: Indices, means: Array, covariances: Array) -> None:
    """Turn predicted means and covariances into smoothed ones, in place."""
    size = means.shape[1]
    adjoint = np.zeros(size)
    weight, through, room = np.zeros((size, size)), np.empty((size, size)), np.empty(size)
    for n in range(steps.shape[0] - 1, -1, -1):
        if sites[n, 1] >= 0.0:
            _back_over_reading(adjoint, weight, means[n], covariances[n], columns[n], sites[n, 0], sites[n, 1])
        _smooth(means[n], covariances[n], adjoint, weight, through, room)
        _back_over_step(adjoint, weight, steps[n])


@njit(cache=True, error_model="numpy")
def _smooth(mean: Array, covariance: Array, adjoint: Array, weight: Array, through: Array, room: Array) -> None:
    """Turn a predicted mean m and covariance P into m + Pλ and P - PNP; `through` and `room` are scratch."""
    size = mean.shape[0]
    for i in range(size):
        for j in range(size):
            mean[i] += covariance[i, j] * adjoint[j]
            through[i, j] = 0.0
            for k in range(size):
                through[i, j] += covariance[i, k] * weight[k, j]
    for j in range(size):
        # Column by column, so that nothing still needed is written over.
        for i in range(size):
            room[i] = 0.0
            for k in range(size):
                room[i] += through[i, k] * covariance[k, j]
        for i in range(size):
            covariance[i, j] -= room[i]


@njit(cache=True, error_model="numpy")
def _back_over_reading(  # noqa: PLR0913, PLR0917
    adjoint: Array, weight: Array, mean: Array, covariance: Array, column: int, reading: float, variance: float
) -> None:
    """Take the adjoint and its weight back over one reading: with C = 1 - K H, N becomes H'H/S + C'NC."""
    size = mean.shape[0]
    expected, spread, _ = seen_of(mean, covariance, column)
    inverse = 1.0 / (spread + variance)
    gain = np.empty(size)
    for j in range(size):
        gain[j] = (covariance[j, 0] + (covariance[j, column] if column else 0.0)) * inverse
    pulled = 0.0
    through = np.zeros(size)
    for i in range(size):
        pulled += gain[i] * adjoint[i]
        for j in range(size):
            through[j] += gain[i] * weight[i, j]
    both = 0.0
    for j in range(size):
        both += through[j] * gain[j]
    lift = (reading - expected) * inverse - pulled
    adjoint[0] += lift
    for j in range(size):
        weight[0, j] -= through[j]
        weight[j, 0] -= through[j]
    weight[0, 0] += inverse + both
    if column:
        adjoint[column] += lift
        for j in range(size):
            weight[column, j] -= through[j]
            weight[j, column] -= through[j]
        weight[column, column] += inverse + both
        weight[0, column] += inverse + both
        weight[column, 0] += inverse + both


@njit(cache=True, error_model="numpy")
def _back_over_step(adjoint: Array, weight: Array, step: Array) -> None:
    """Take the adjoint and its weight back over one step: A'λ and A'NA."""
    size = adjoint.shape[0]
    a, f, g, r = step[0], step[1], step[2], step[7]
    first = adjoint[0]
    adjoint[0] = a * first
    adjoint[1] = f * first + r * adjoint[1]
    if size > 2:
        adjoint[2] += g * first
    for j in range(size):
        top = weight[0, j]
        weight[1, j] = f * top + r * weight[1, j]
        if size > 2:
            weight[2, j] += g * top
        weight[0, j] = a * top
    for i in range(size):
        column = weight[i, 0]
        weight[i, 1] = f * column + r * weight[i, 1]
        if size > 2:
            weight[i, 2] += g * column
        weight[i, 0] = a * column
