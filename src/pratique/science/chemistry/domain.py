"""Refuse inputs outside the range a relation was made for."""

import numpy as np
from numpy.typing import NDArray

type Number = float | NDArray[np.float64]


class DomainError(ValueError):
    """An input lies outside the range in which the relation holds; it is never clipped."""


def require_within(name: str, value: Number, *, lower: float, upper: float, unit: str = "") -> None:
    """Raise DomainError unless every value lies within [lower, upper]; a missing number (NaN) is outside."""
    numbers = np.asarray(value, dtype=float)
    if not bool(np.all((numbers >= lower) & (numbers <= upper))):
        span = f"{lower:g} to {upper:g}" + (f"\u202f{unit}" if unit else "")
        raise DomainError(f"{name} must lie within {span}; this was {value}.")


def require_at_least(name: str, value: float, *, lower: float) -> None:
    """Raise DomainError unless the value is a number at or above `lower`."""
    if not value >= lower:
        raise DomainError(f"{name} must be at least {lower:g}; this was {value}.")
