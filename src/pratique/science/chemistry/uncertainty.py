"""Carry the error of each input to the answer, to first order, and say which input dominates.

Every `plus_minus` is half of a 95 % interval, going in and coming out. Inputs are taken as independent.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from pratique.science.chemistry.domain import DomainError, require_at_least

NORMAL_95 = 1.959963984540054
# Small enough that curvature does not show, large enough that rounding does not.
_STEP = 1e-3
_TOO_LARGE = "These numbers are too large to reckon with; check them and their units."


@dataclass(frozen=True)
class Uncertain:
    """A number with the half-width of its 95 % interval; DomainError for a negative or missing width."""

    value: float
    plus_minus: float = 0.0

    def __post_init__(self) -> None:
        require_at_least("An error", self.plus_minus, lower=0.0)


@dataclass(frozen=True)
class Propagated:
    """An answer with its 95 % error; `shares` of its variance sum to 1, or are all 0 where nothing is uncertain.

    `dominated_by` is the input with the largest share, or "" where there is none.
    """

    value: float
    plus_minus: float
    shares: Mapping[str, float]
    dominated_by: str


def propagate(function: Callable[..., float], inputs: Mapping[str, Uncertain]) -> Propagated:
    """Return `function` at the inputs, given to it by name, with the error they give it.

    First-order propagation by central differences; one-sided where one side leaves the function's range.
    Raises DomainError as `function` does at the inputs themselves, where both sides of an input leave its range, and
    for an answer too large to be a number.
    Source: JCGM 100:2008, 5.1.2.
    """
    at = {name: one.value for name, one in inputs.items()}
    value = _finite(function, at)
    moved = {name: _slope(function, at, name, inputs[name]) * inputs[name].plus_minus for name in inputs}
    plus_minus = math.hypot(*moved.values())
    if not math.isfinite(plus_minus):
        raise DomainError(_TOO_LARGE)
    shares = {name: (one / plus_minus) ** 2 if plus_minus > 0.0 else 0.0 for name, one in moved.items()}
    dominated_by = max(shares, key=lambda name: shares[name]) if plus_minus > 0.0 else ""
    return Propagated(value, plus_minus, shares, dominated_by)


def rounding_plus_minus(step: float) -> float:
    """Return the 95 % error of a reading rounded to `step`: a/√12 is one standard deviation (JCGM 100:2008, 4.3.7)."""
    require_at_least("A step", step, lower=0.0)
    return NORMAL_95 * step / math.sqrt(12.0)


def _finite(function: Callable[..., float], at: Mapping[str, float]) -> float:
    """Return the answer, or raise DomainError where it is no number that could be shown."""
    try:
        value = function(**at)
    except OverflowError:
        raise DomainError(_TOO_LARGE) from None
    if not math.isfinite(value):
        raise DomainError(_TOO_LARGE)
    return value


def _slope(function: Callable[..., float], at: Mapping[str, float], name: str, given: Uncertain) -> float:
    """Return the change of the answer per unit of one input; 0 for one that is exact."""
    step = _STEP * given.plus_minus
    if step == 0.0:
        return 0.0
    tried = ((x, _try(function, at, name, x)) for x in (given.value - step, given.value, given.value + step))
    points = [(x, y) for x, y in tried if y is not None]
    if len(points) < 2:
        raise DomainError(f"The error of {name.replace('_', ' ')} cannot be carried: it has no room in the range.")
    (low, below), (high, above) = points[0], points[-1]
    return (above - below) / (high - low)


def _try(function: Callable[..., float], at: Mapping[str, float], name: str, value: float) -> float | None:
    try:
        return _finite(function, {**at, name: value})
    except DomainError:
        return None
