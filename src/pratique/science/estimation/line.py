"""A straight line through weighted points, and the Student distribution that judges its slope."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pratique.science.chemistry.domain import DomainError

_TINY = 1e-300
_TERMS = 400


@dataclass(frozen=True)
class Line:
    """Intercept and slope with the spread the weights alone give them (`*_se_of_weights`), and the residual variance.

    `residual_variance` is the weighted sum of squares over the degrees of freedom, or None with two points; the usual
    standard error is `*_se_of_weights` times its square root.
    """

    intercept: float
    slope: float
    intercept_se_of_weights: float
    slope_se_of_weights: float
    residual_variance: float | None
    degrees_of_freedom: int


def weighted_line(xs: Sequence[float], ys: Sequence[float], *, weights: Sequence[float]) -> Line:
    """Return the weighted least-squares line; sums are taken about the mean, so large offsets cost no digits.

    Raises DomainError for fewer than two distinct `xs`.
    """
    total = math.fsum(weights)
    mean_x = math.fsum(w * x for w, x in zip(weights, xs, strict=True)) / total if total else 0.0
    mean_y = math.fsum(w * y for w, y in zip(weights, ys, strict=True)) / total if total else 0.0
    sxx = math.fsum(w * (x - mean_x) ** 2 for w, x in zip(weights, xs, strict=True))
    if not sxx > 0.0:
        raise DomainError("A line needs points at two different times at least.")
    sxy = math.fsum(w * (x - mean_x) * (y - mean_y) for w, x, y in zip(weights, xs, ys, strict=True))
    slope = sxy / sxx
    intercept = mean_y - slope * mean_x
    squares = math.fsum(w * (y - intercept - slope * x) ** 2 for w, x, y in zip(weights, xs, ys, strict=True))
    degrees = len(xs) - 2
    return Line(
        intercept=intercept,
        slope=slope,
        intercept_se_of_weights=math.sqrt(1.0 / total + mean_x**2 / sxx),
        slope_se_of_weights=math.sqrt(1.0 / sxx),
        residual_variance=squares / degrees if degrees > 0 else None,
        degrees_of_freedom=degrees,
    )


def student_cdf(t: float, degrees_of_freedom: int) -> float:
    """Return P(T <= t) of Student's distribution, through the incomplete beta function."""
    tail = 0.5 * _incomplete_beta(degrees_of_freedom / (degrees_of_freedom + t * t), degrees_of_freedom / 2.0, 0.5)
    return 1.0 - tail if t > 0.0 else tail


def _incomplete_beta(x: float, a: float, b: float) -> float:
    """Return the regularised incomplete beta function, from the side where its continued fraction converges."""
    if x <= 0.0 or x >= 1.0:
        return float(x >= 1.0)
    front = math.exp(math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x))
    if x < (a + 1.0) / (a + b + 2.0):
        return front * _fraction(x, a, b) / a
    return 1.0 - front * _fraction(1.0 - x, b, a) / b


def _fraction(x: float, a: float, b: float) -> float:
    """Return the continued fraction of the incomplete beta function by the modified Lentz scheme."""
    c, d = 1.0, 1.0 / _away_from_zero(1.0 - (a + b) * x / (a + 1.0))
    value = d
    for m in range(1, _TERMS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1.0 / _away_from_zero(1.0 + term * d)
            c = _away_from_zero(1.0 + term / c)
            value *= c * d
        if abs(c * d - 1.0) < 1e-15:
            break
    return value


def _away_from_zero(number: float) -> float:
    return number if abs(number) > _TINY else _TINY
