"""Carry the error of each input to the answer, to first order, and say which input dominates.

Every `plus_minus` is half of a 95 % interval, going in and coming out. Inputs are taken as independent.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from pratique.science.chemistry.domain import DomainError, require_at_least

NORMAL_95 = 1.959963984540054
# Small enough that curvature does not show, large enough that rounding does not.
_STEP = 1e-3
# From this part of the slope's share on, what the curve adds is counted (JCGM 100:2008, 5.1.2, note).
_CURVED = 0.25
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

    `dominated_by` is the input with the largest share, or "" where there is none. `low` and `high` are the ends of the
    interval; where they do not lie equally far away, `plus_minus` is the larger side.
    """

    value: float
    plus_minus: float
    shares: Mapping[str, float]
    dominated_by: str
    low: float
    high: float

    def times(self, factor: float) -> "Propagated":
        """Return the same answer in a unit that is larger or smaller by a factor above zero."""
        scaled = {name: getattr(self, name) * factor for name in ("value", "plus_minus", "low", "high")}
        return replace(self, **scaled)


def propagate(function: Callable[..., float], inputs: Mapping[str, Uncertain]) -> Propagated:
    """Return `function` at the inputs, given to it by name, with the error they give it.

    First-order propagation by central differences; one-sided where one side leaves the function's range. Near a peak or
    a valley, where the slope says little, the curve is counted too.
    Raises DomainError as `function` does at the inputs themselves, where both sides of an input leave its range, and
    for an answer too large to be a number.
    Source: JCGM 100:2008, 5.1.2 and its note.
    """
    at = {name: one.value for name, one in inputs.items()}
    value = _finite(function, at)
    moved = {name: _moved(function, at, name, inputs[name]) for name in inputs}
    plus_minus = math.hypot(*moved.values())
    if not math.isfinite(plus_minus):
        raise DomainError(_TOO_LARGE)
    shares = {name: (one / plus_minus) ** 2 if plus_minus > 0.0 else 0.0 for name, one in moved.items()}
    dominated_by = max(shares, key=lambda name: shares[name]) if plus_minus > 0.0 else ""
    return Propagated(value, plus_minus, shares, dominated_by, value - plus_minus, value + plus_minus)


def propagate_skewed(
    function: Callable[..., float], inputs: Mapping[str, Uncertain], *, lowest: float = 0.0
) -> Propagated:
    """Return what `propagate` does, with an interval whose two ends need not lie equally far from the answer.

    For answers that go by factors, as a pH moves them. Each input is taken to both its ends, alone and in pairs, and
    what each adds is put together in squares; where an end leaves the range, the slope stands for it. `lowest` is what
    the answer cannot lie below. Raises DomainError as `propagate`. Check: Monte Carlo (JCGM 101:2008).
    """
    straight = propagate(function, inputs)
    at = {name: one.value for name, one in inputs.items()}
    ends: dict[str, tuple[_End, _End]] = {}
    for name, one in inputs.items():
        answers = {x: _try(function, at, name, x) for x in (one.value - one.plus_minus, one.value + one.plus_minus)}
        found = [_End(x, answer - straight.value) for x, answer in answers.items() if answer is not None]
        ends[name] = _ends(found, straight.plus_minus * math.sqrt(straight.shares[name]))
    down, up = (_together(function, at, {name: one[side] for name, one in ends.items()}, straight) for side in (0, 1))
    low = max(min(lowest, straight.value), straight.value - down)
    return replace(straight, plus_minus=max(straight.value - low, up), low=low, high=straight.value + up)


@dataclass(frozen=True)
class _End:
    """Where one input is taken to, None where that leaves the range, and how far it moves the answer."""

    there: float | None
    change: float


def _ends(found: list[_End], by_slope: float) -> tuple[_End, _End]:
    """Return the end of one input that lowers the answer most, and the one that raises it most.

    Where an end is missing, how far the slope goes stands for it.
    """
    beyond = by_slope if len(found) < 2 else 0.0
    lowering, raising = min(found, key=_change, default=None), max(found, key=_change, default=None)
    return (
        lowering if lowering is not None and lowering.change < 0.0 else _End(None, -beyond),
        raising if raising is not None and raising.change > 0.0 else _End(None, beyond),
    )


def _change(one: _End) -> float:
    return one.change


def _together(
    function: Callable[..., float], at: Mapping[str, float], ends: Mapping[str, _End], straight: Propagated
) -> float:
    """Return how far all inputs move the answer to one side: alone, and two at a time beyond what each does alone."""
    parts = [one.change for one in ends.values()]
    for (name, one), (other, two) in combinations(ends.items(), 2):
        if one.there is not None and two.there is not None:
            both = _try(function, {**at, name: one.there}, other, two.there)
            parts.append(both - straight.value - one.change - two.change if both is not None else 0.0)
    together = math.hypot(*parts)
    if not math.isfinite(together):
        raise DomainError(_TOO_LARGE)
    return together


def _finite(function: Callable[..., float], at: Mapping[str, float]) -> float:
    """Return the answer, or raise DomainError where it is no number that could be shown."""
    try:
        value = function(**at)
    except OverflowError:
        raise DomainError(_TOO_LARGE) from None
    if not math.isfinite(value):
        raise DomainError(_TOO_LARGE)
    return value


def _moved(function: Callable[..., float], at: Mapping[str, float], name: str, given: Uncertain) -> float:
    """Return how far the error of one input moves the answer: by the slope, and by the curve where that matters."""
    straight = abs(_slope(function, at, name, given)) * given.plus_minus
    if given.plus_minus == 0.0:
        return straight
    below, here, above = (_try(function, at, name, given.value + side * given.plus_minus) for side in (-1, 0, 1))
    if below is None or here is None or above is None:
        return straight
    # The variance a parabola adds is half its second derivative squared times the variance squared.
    curved = abs(above - 2.0 * here + below) / (math.sqrt(2.0) * NORMAL_95)
    return math.hypot(straight, curved) if curved > _CURVED * straight else straight


def _slope(function: Callable[..., float], at: Mapping[str, float], name: str, given: Uncertain) -> float:
    """Return the change of the answer per unit of one input; 0 for one that is exact, or as good as."""
    step = _STEP * given.plus_minus
    if given.value - step == given.value + step:
        return 0.0
    tried = ((x, _try(function, at, name, x)) for x in (given.value - step, given.value, given.value + step))
    points = [(x, y) for x, y in tried if y is not None]
    (low, below), (high, above) = (points[0], points[-1]) if points else ((0.0, 0.0), (0.0, 0.0))
    if low == high:
        raise DomainError(f"The error of {name.replace('_', ' ')} cannot be carried: it has no room in the range.")
    return (above - below) / (high - low)


def _try(function: Callable[..., float], at: Mapping[str, float], name: str, value: float) -> float | None:
    try:
        return _finite(function, {**at, name: value})
    except DomainError:
        return None
