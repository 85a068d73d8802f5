"""Refuse inputs outside the range a relation was made for."""

import math

import numpy as np
from numpy.typing import NDArray

type Number = float | NDArray[np.float64]


class DomainError(ValueError):
    """An input lies outside the range in which the relation holds; it is never clipped."""


def is_within(value: Number, lower: float, upper: float) -> bool:
    """Say whether every value lies within [lower, upper]; a missing number (NaN) does not."""
    if isinstance(value, float | int):  # the usual single number, many times faster than by way of an array
        return bool(lower <= value <= upper)
    numbers = np.asarray(value, dtype=float)
    return numbers.size == 0 or bool(numbers.min() >= lower and numbers.max() <= upper)


def require_within(name: str, value: Number, *, lower: float, upper: float, unit: str = "") -> None:
    """Raise DomainError unless every value lies within [lower, upper]; a missing number (NaN) is outside."""
    if not is_within(value, lower, upper):
        span = f"{lower:g} to {upper:g}" + (f"\u202f{unit}" if unit else "")
        raise DomainError(f"{name} must lie within {span}; this was {value}.")


def require_at_least(name: str, value: float, *, lower: float) -> None:
    """Raise DomainError unless the value is a number at or above `lower`; an infinite one is none."""
    if not value >= lower:
        raise DomainError(f"{name} must be at least {lower:g}; this was {value}.")
    if value == math.inf:
        raise DomainError(f"{name} is too large to reckon with; check it and its unit.")


def require_finite(name: str, value: float) -> None:
    """Raise DomainError unless the value is a number that can be reckoned with: neither missing (NaN) nor infinite."""
    if not math.isfinite(value):
        raise DomainError(f"{name} must be a number; this was {value}.")


def require_above_zero(name: str, value: float, *, unit: str = "") -> None:
    """Raise DomainError unless the value is a finite number above zero."""
    if not 0.0 < value < math.inf:
        raise DomainError(f"{name} must be above 0" + (f"\u202f{unit}" if unit else "") + f"; this was {value:g}.")


def as_given(result: Number) -> Number:
    """Return a result as its inputs came: an array as it is, a single number as a plain float."""
    return result if isinstance(result, np.ndarray) and result.ndim else float(result)
