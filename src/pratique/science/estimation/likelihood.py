"""What one reading says about what its method saw: its likelihood, and the Gaussian that stands for it.

A method perceives h = level + its bias, with an error of sd √(absolute² + (relative·level)²), and reports h plainly, or
rounded, or as a bound, or between two marks: all but the plain report are intervals of what was perceived. The moments
of prior × likelihood are taken by quadrature over h alone; the level in the relative error is its mean given h.
"""

import math
from typing import Final

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.estimation.case import Case, Reading
from pratique.science.estimation.reading import Method, smallest_step

type Array = NDArray[np.float64]

PLAIN: Final = 0.0
INTERVAL: Final = 1.0
# A variance no larger is none: its inverse would leave what a number can hold.
NO_VARIANCE: Final = 1e-200
_EYE_PART_OF_STEP = 0.2
_REACH = 8.0
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(32)
_ROOT_2 = math.sqrt(2.0)
_LOG_2PI = math.log(2.0 * math.pi)
_LEAST_PRECISION_PART = 1e-9
_TURNS = 12
_LEAST_PART = 0.15
_LEAST_FILLED = 0.5
_CUT_NATS = 7.0
_LEAST_LOG_MASS = -20.0
_POINT = 1e-6
_LEAST_KEPT = 1e-18
LEAST_SD = 1e-9


def rows_of(case: Case) -> Array:
    """Return one row (plain or interval, low, high, absolute sd, relative sd) per reading; plain repeats its value."""
    rows = [_row(case.methods[reading.method], reading) for reading in case.readings]
    return np.array(rows, dtype=np.float64).reshape(-1, 5)


def eye_sd(method: Method) -> float:
    """Return the absolute sd of a method; a chart's eye error, where none is given, is a fifth of its smallest step."""
    if method.marks and method.absolute_sd == 0.0:
        return _EYE_PART_OF_STEP * smallest_step(method.marks)
    return method.absolute_sd


def _row(method: Method, reading: Reading) -> tuple[float, float, float, float, float]:
    seen, sd = reading.observed, eye_sd(method)
    if seen.low is not None and seen.high is not None:
        return (INTERVAL, seen.low, seen.high, sd, method.relative_sd)
    if seen.below is not None:
        return (INTERVAL, -math.inf, seen.below, sd, method.relative_sd)
    if seen.above is not None:
        return (INTERVAL, seen.above, math.inf, sd, method.relative_sd)
    value = float(seen.value or 0.0)
    if method.resolution == 0.0:
        return (PLAIN, value, value, sd, method.relative_sd)
    low, high = value - method.resolution / 2.0, value + method.resolution / 2.0
    if method.lower_limit is not None:
        low = max(low, method.lower_limit)
    if method.upper_limit is not None:
        high = min(high, method.upper_limit)
    return (INTERVAL, low, high, sd, method.relative_sd)


@njit(cache=True, error_model="numpy")
def log_likelihood(row: Array, seen: float, level: float) -> float:
    """Return the log-likelihood of a reading where the method saw `seen` (level plus bias) at a true `level`."""
    sd = math.sqrt(row[3] * row[3] + (row[4] * level) * (row[4] * level))
    if row[0] == PLAIN:
        # An error that is all relative has none at a level of 0: a floor keeps that finite.
        sd = max(sd, LEAST_SD)
        off = (row[1] - seen) / sd
        return float(-0.5 * (_LOG_2PI + off * off) - math.log(sd))
    if sd == 0.0:
        return 0.0 if row[1] <= seen <= row[2] else -np.inf
    low, high = (row[1] - seen) / sd, (row[2] - seen) / sd
    part = _between(low, high)
    return math.log(part) if part > 0.0 else _far_tail(low, high)


@njit(cache=True, error_model="numpy")
def _between(low: float, high: float) -> float:
    """Return the part of a standard normal between two points."""
    # On the side where both tails are small, the difference of tails keeps its digits.
    if low > 0.0:
        return 0.5 * (math.erfc(low / _ROOT_2) - math.erfc(high / _ROOT_2))
    return 0.5 * (math.erfc(-high / _ROOT_2) - math.erfc(-low / _ROOT_2))


@njit(cache=True, error_model="numpy")
def _far_tail(low: float, high: float) -> float:
    """Return the log-likelihood beyond what a tail can hold: that of the nearest edge, by Mills' ratio."""
    edge = low if low > 0.0 else -high
    return -0.5 * edge * edge - math.log(edge) - 0.5 * _LOG_2PI if edge > 1.0 else -np.inf


@njit(cache=True, error_model="numpy")
def tilted(row: Array, mean: float, variance: float, level: float, slope: float) -> tuple[float, float, float]:
    """Return log Z, mean and variance of N(seen; mean, variance) × likelihood; `level` + `slope`·(seen − mean) is
    the level given what is seen.
    """
    spread = math.sqrt(variance)
    if row[0] == PLAIN and row[4] == 0.0:
        total = variance + row[3] * row[3]
        off = row[1] - mean
        gain = variance / total
        return -0.5 * (_LOG_2PI + math.log(total) + off * off / total), mean + gain * off, variance * (1.0 - gain)
    if row[4] == 0.0:
        log_mass, centre, width = _cut_normal(row, mean, variance)
        if log_mass > _LEAST_LOG_MASS:
            return log_mass, centre, width
    if spread <= _POINT * math.sqrt(row[3] * row[3] + (row[4] * level) * (row[4] * level)):
        # Known so well that the reading cannot move it: it is only weighed.
        return log_likelihood(row, mean, level), mean, variance
    start, end = _reach(row, mean, spread)
    is_sharp = row[3] == 0.0 and row[4] == 0.0
    for _ in range(_TURNS):
        log_mass, centre, width, is_cut = _weighed(row, mean, spread, level, slope, start, end)
        if not log_mass > -np.inf:
            return -np.inf, mean, variance
        half = 0.5 * (end - start)
        new_half = max(_REACH * width, _LEAST_PART * half)
        if new_half > _LEAST_FILLED * half and (is_sharp or not is_cut):
            break
        # The product lives in a small part of the range, or beyond its end: the range moves there.
        start, end = centre - new_half, centre + new_half
        if is_sharp:
            start, end = max(start, row[1]), min(end, row[2])
    return log_mass, centre, width * width


@njit(cache=True, error_model="numpy")
def _cut_normal(row: Array, mean: float, variance: float) -> tuple[float, float, float]:
    """Return log Z, mean and variance of what was seen where the error is the same at every level: a cut normal's."""
    total = variance + row[3] * row[3]
    root = math.sqrt(total)
    low, high = (row[1] - mean) / root, (row[2] - mean) / root
    mass = _between(low, high)
    if not mass > 0.0:
        return -np.inf, mean, variance
    at_low = math.exp(-0.5 * low * low - 0.5 * _LOG_2PI) if low > -np.inf else 0.0
    at_high = math.exp(-0.5 * high * high - 0.5 * _LOG_2PI) if high < np.inf else 0.0
    off = (at_low - at_high) / mass
    bent = ((low * at_low if at_low > 0.0 else 0.0) - (high * at_high if at_high > 0.0 else 0.0)) / mass
    gain = variance / total
    kept = max(1.0 + bent - off * off, 0.0)
    return math.log(mass), mean + gain * root * off, gain * (row[3] * row[3] + variance * kept)


@njit(cache=True, error_model="numpy")
def _weighed(  # noqa: PLR0913, PLR0917
    row: Array, mean: float, spread: float, level: float, slope: float, start: float, end: float
) -> tuple[float, float, float, bool]:
    """Return log mass, mean and sd of prior × likelihood between two ends, and whether an end cuts it."""
    middle, half = 0.5 * (start + end), 0.5 * (end - start)
    logs = np.empty(_NODES.shape[0])
    top = -np.inf
    for i in range(_NODES.shape[0]):
        seen = middle + half * _NODES[i]
        z = (seen - mean) / spread
        logs[i] = log_likelihood(row, seen, level + slope * (seen - mean)) - 0.5 * z * z
        top = max(top, logs[i])
    if not top > -np.inf:
        return -np.inf, mean, spread, False
    mass, first, second = 0.0, 0.0, 0.0
    for i in range(_NODES.shape[0]):
        weight = _WEIGHTS[i] * math.exp(logs[i] - top)
        off = half * _NODES[i]
        mass += weight
        first += weight * off
        second += weight * off * off
    first /= mass
    return (
        top + math.log(mass * half / spread) - 0.5 * _LOG_2PI,
        middle + first,
        math.sqrt(max(second / mass - first * first, 0.0)),
        max(logs[0], logs[_NODES.shape[0] - 1]) > top - _CUT_NATS,
    )


@njit(cache=True, error_model="numpy")
def _reach(row: Array, mean: float, spread: float) -> tuple[float, float]:
    """Return where prior × likelihood lives: eight sds about each, where they meet; all between where they do not."""
    near = min(max(mean, row[1]), row[2])
    sd = math.sqrt(row[3] * row[3] + (row[4] * near) * (row[4] * near))
    start, end = max(mean - _REACH * spread, row[1] - _REACH * sd), min(mean + _REACH * spread, row[2] + _REACH * sd)
    if start < end:
        return start, end
    # They meet nowhere: the product lies somewhere between them.
    return min(mean, near) - spread, max(mean, near) + spread


@njit(cache=True, error_model="numpy")
def site_of(mean: float, variance: float, tilted_mean: float, tilted_variance: float) -> tuple[float, float]:
    """Return the reading and variance of the Gaussian site that turns the one into the other."""
    tilted_variance = max(tilted_variance, _LEAST_KEPT * variance)
    precision = 1.0 / tilted_variance - 1.0 / variance
    least = _LEAST_PRECISION_PART / variance
    if precision < least:
        # A likelihood that widens what was known (a relative error can): kept as a reading that says next to nothing.
        return tilted_mean, 1.0 / least
    return (tilted_mean / tilted_variance - mean / variance) / precision, 1.0 / precision
