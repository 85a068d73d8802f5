"""Filter and smoother of a level and its source at irregular times, in one compiled pass each way.

The smoother runs backwards on adjoints, so no covariance is inverted: a source without noise, or a level known
exactly, is no special case. Scalar readings of the level; a negative variance marks a stop without one.

Source: Kalman 1960 for the filter; Bryson & Frazier 1963 for the smoother (recalled; held to statsmodels to 1e-8).
"""

import numpy as np
from numba import njit
from numpy.typing import NDArray

type Array = NDArray[np.float64]

_LOG_2PI = float(np.log(2.0 * np.pi))


@njit(cache=True, error_model="numpy")
def smooth_two_state(steps: Array, sites: Array, prior: Array, means: Array, covariances: Array, gains: Array) -> float:
    """Fill smoothed means (n, 2) and covariances (n, 3) in place; return the log-likelihood of the readings.

    `steps` are rows (a, f, g, d, q11, q12, q22, r, e) into each stop, `sites` rows (reading, variance), `prior` is
    (level, source, var level, covariance, var source) before the first step. `gains` (n, 2) is room for the way back.
    """
    log_likelihood = _forward(steps, sites, prior, means, covariances, gains)
    _backward(steps, sites, means, covariances, gains)
    return log_likelihood


@njit(cache=True, error_model="numpy")
def _forward(steps: Array, sites: Array, prior: Array, means: Array, covariances: Array, gains: Array) -> float:
    """Fill predicted means and covariances, innovation/S and 1/S; return the log-likelihood."""
    level, source, p11, p12, p22 = prior[0], prior[1], prior[2], prior[3], prior[4]
    total, product, count = 0.0, 1.0, 0
    for n in range(steps.shape[0]):
        a, f, r = steps[n, 0], steps[n, 1], steps[n, 7]
        level, source = a * level + f * source + steps[n, 3], r * source + steps[n, 8]
        t1, t2 = a * p11 + f * p12, a * p12 + f * p22
        p11, p12, p22 = a * t1 + f * t2 + steps[n, 4], r * t2 + steps[n, 5], r * r * p22 + steps[n, 6]
        means[n, 0], means[n, 1] = level, source
        covariances[n, 0], covariances[n, 1], covariances[n, 2] = p11, p12, p22
        if sites[n, 1] >= 0.0:
            spread = p11 + sites[n, 1]
            inverse = 1.0 / spread
            surprise = (sites[n, 0] - level) * inverse
            total += surprise * surprise * spread
            level, source = level + p11 * surprise, source + p12 * surprise
            p22 -= p12 * p12 * inverse
            keep = sites[n, 1] * inverse
            p12, p11 = p12 * keep, p11 * keep
            gains[n, 0], gains[n, 1] = surprise, inverse
            count += 1
            # One logarithm for many readings: the product of spreads is kept within range.
            product *= spread
            if product > 1e200 or product < 1e-200:
                total += np.log(product)
                product = 1.0
    return float(-0.5 * (total + np.log(product) + count * _LOG_2PI))


@njit(cache=True, error_model="numpy")
def _backward(steps: Array, sites: Array, means: Array, covariances: Array, gains: Array) -> None:
    """Turn predicted means and covariances into smoothed ones."""
    l1, l2, n11, n12, n22 = 0.0, 0.0, 0.0, 0.0, 0.0
    for n in range(steps.shape[0] - 1, -1, -1):
        p11, p12, p22 = covariances[n, 0], covariances[n, 1], covariances[n, 2]
        if sites[n, 1] >= 0.0:
            inverse = gains[n, 1]
            c1, c2 = 1.0 - p11 * inverse, -p12 * inverse
            l1 = gains[n, 0] + c1 * l1 + c2 * l2
            t1, t2 = n11 * c1 + n12 * c2, n12 * c1 + n22 * c2
            n11, n12 = inverse + c1 * t1 + c2 * t2, t2
        means[n, 0] += p11 * l1 + p12 * l2
        means[n, 1] += p12 * l1 + p22 * l2
        u1, u2 = p11 * n11 + p12 * n12, p11 * n12 + p12 * n22
        w1, w2 = p12 * n11 + p22 * n12, p12 * n12 + p22 * n22
        covariances[n, 0] = p11 - (u1 * p11 + u2 * p12)
        covariances[n, 1] = p12 - (u1 * p12 + u2 * p22)
        covariances[n, 2] = p22 - (w1 * p12 + w2 * p22)
        a, f, r = steps[n, 0], steps[n, 1], steps[n, 7]
        l1, l2 = a * l1, f * l1 + r * l2
        t1, t2 = n11 * f + n12 * r, n12 * f + n22 * r
        n11, n12, n22 = a * a * n11, a * t1, f * t1 + r * t2
