"""The posterior of one static unknown from its nodes, and the quantiles of a mixture of normals."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.estimation.beliefs import Axis

type Array = NDArray[np.float64]

PROBABILITIES: Final = (0.025, 0.05, 0.25, 0.5, 0.75, 0.95, 0.975)
_FINE = 2001
_ROOT_2 = math.sqrt(2.0)
_ROOT_2PI = math.sqrt(2.0 * math.pi)
_NEWTON_TURNS = 60
_CLOSE = 1e-10
_MET = 1e-11


@dataclass(frozen=True)
class Marginal:
    """The posterior of a static unknown: mean, sd, quantiles at PROBABILITIES, and its distribution for ranks."""

    mean: float
    sd: float
    quantiles: tuple[float, ...]
    grid: Array
    distribution: Array

    def probability_below(self, value: float) -> float:
        """Return P(unknown < value)."""
        return float(np.interp(value, self.grid, self.distribution))


def marginal_of(axis: Axis, x: Array, weights: Array) -> Marginal:
    """Return the posterior of an unknown from its equally spaced coordinates and their weights.

    Between nodes the ratio of posterior to prior is drawn through by a smooth curve in its logarithm.
    """
    if len(x) == 1 and not axis.is_open:
        value = float(axis.values(x)[0])
        return Marginal(value, 0.0, (value,) * len(PROBABILITIES), np.array([value]), np.array([0.5]))
    fine, density = _fine_density(axis, x, weights)
    steps = np.diff(fine)
    pieces = 0.5 * (density[1:] + density[:-1]) * steps
    distribution = np.concatenate([[0.0], np.cumsum(pieces)])
    density, distribution = density / distribution[-1], distribution / distribution[-1]
    values = axis.values(fine)
    mean = float(np.trapezoid(values * density, fine))
    variance = float(np.trapezoid((values - mean) ** 2 * density, fine))
    quantiles = tuple(float(one) for one in np.interp(PROBABILITIES, distribution, values))
    return Marginal(mean, math.sqrt(max(variance, 0.0)), quantiles, values, distribution)


def _fine_density(axis: Axis, x: Array, weights: Array) -> tuple[Array, Array]:
    from scipy.interpolate import CubicSpline  # noqa: PLC0415 - a heavy import, used once a reckoning

    step = x[1] - x[0]
    fine = np.linspace(max(x[0] - step, axis.least), x[-1] + step, _FINE)
    held = weights > 0.0
    logs = np.log(weights[held])
    if held.sum() < 4:
        return fine, np.interp(fine, x, weights, left=0.0, right=0.0)
    curve = CubicSpline(x[held], logs)(np.clip(fine, x[held][0], x[held][-1]))
    density = np.exp(curve - logs.max())
    density[(fine < x[held][0] - step) | (fine > x[held][-1] + step)] = 0.0
    return fine, density


@njit(cache=True, error_model="numpy")
def mixture_quantiles(means: Array, variances: Array, weights: Array, probabilities: Array) -> Array:
    """Return the quantiles (probability, time) of a mixture of normals at each time.

    `means` and `variances` are (component, time). Newton's steps on the distribution, held between brackets.
    """
    parts, times = means.shape
    found = np.empty((probabilities.shape[0], times))
    sds = np.empty(parts)
    for t in range(times):
        mean = second = 0.0
        low, high = np.inf, -np.inf
        for j in range(parts):
            sds[j] = math.sqrt(max(variances[j, t], 1e-300))
            mean += weights[j] * means[j, t]
            second += weights[j] * (variances[j, t] + means[j, t] * means[j, t])
            low, high = min(low, means[j, t] - 9.0 * sds[j]), max(high, means[j, t] + 9.0 * sds[j])
        spread = math.sqrt(max(second - mean * mean, 1e-300))
        for q in range(probabilities.shape[0]):
            found[q, t] = _quantile(means[:, t], sds, weights, probabilities[q], mean, spread, low, high)
    return found


@njit(cache=True, error_model="numpy")
def _quantile(  # noqa: PLR0913, PLR0917
    means: Array, sds: Array, weights: Array, probability: float, mean: float, spread: float, low: float, high: float
) -> float:
    x = mean + spread * _rough_normal_quantile(probability)
    for _ in range(_NEWTON_TURNS):
        below = density = 0.0
        for j in range(means.shape[0]):
            z = (x - means[j]) / sds[j]
            below += weights[j] * 0.5 * math.erfc(-z / _ROOT_2)
            density += weights[j] * math.exp(-0.5 * z * z) / (sds[j] * _ROOT_2PI)
        if below > probability:
            high = x
        else:
            low = x
        # Before the step is held between the brackets: x is one of them by now, and no step at all would be halved.
        if abs(below - probability) < _MET:
            return x
        step = (below - probability) / density if density > 0.0 else np.inf
        new = x - step
        if not low < new < high:
            new = 0.5 * (low + high)
        if abs(new - x) <= _CLOSE * spread:
            return new
        x = new
    return x


@njit(cache=True, error_model="numpy")
def _rough_normal_quantile(probability: float) -> float:
    """Return a start within 0.005 of the normal quantile (Abramowitz & Stegun 26.2.22, recalled)."""
    tail = min(probability, 1.0 - probability)
    t = math.sqrt(-2.0 * math.log(tail))
    z = t - (2.30753 + 0.27061 * t) / (1.0 + 0.99229 * t + 0.04481 * t * t)
    return -z if probability < 0.5 else z
