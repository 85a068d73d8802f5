"""What a reading says: a value with its error, or an interval, or a bound."""

import math
from bisect import bisect_left
from dataclasses import dataclass
from itertools import pairwise

NORMAL_95 = 1.959963984540054
_ON_MARK = 1e-9


@dataclass(frozen=True)
class Method:
    """How a reading is taken; every figure in the unit of the constituent, `relative_sd` as a fraction."""

    resolution: float
    absolute_sd: float
    relative_sd: float
    lower_limit: float | None = None
    upper_limit: float | None = None
    marks: tuple[float, ...] | None = None
    bias_sd: float = 0.0


@dataclass(frozen=True)
class Observed:
    """What was seen: exactly one of a value, an interval (`low` and `high`), `below` a limit, or `above` one."""

    value: float | None = None
    low: float | None = None
    high: float | None = None
    below: float | None = None
    above: float | None = None

    def __post_init__(self) -> None:
        """Raise ValueError unless exactly one kind of result is given."""
        interval = self.low is not None and self.high is not None
        if (self.low is None) != (self.high is None):
            raise ValueError("An interval needs both its lower and its upper end.")
        if sum((self.value is not None, interval, self.below is not None, self.above is not None)) != 1:
            raise ValueError("A reading is one value, one interval, or one bound.")
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ValueError("The lower end of an interval cannot lie above the upper end.")


@dataclass(frozen=True)
class Range:
    """Where the true level lies with 95 %; `high` is infinite for a reading above the method's reach."""

    low: float
    centre: float
    high: float


def sd_at(method: Method, level: float) -> float:
    """Return one standard deviation of a plain reading at `level`, its last digit's rounding included."""
    return math.sqrt(method.absolute_sd**2 + (method.relative_sd * level) ** 2 + method.resolution**2 / 12.0)


def is_plain(method: Method, observed: Observed) -> bool:
    """Return whether the reading is one number within the reach of a method without marks."""
    if observed.value is None or method.marks:
        return False
    below = method.lower_limit is not None and observed.value < method.lower_limit
    above = method.upper_limit is not None and observed.value > method.upper_limit
    return not below and not above


def reading_range(method: Method, observed: Observed) -> Range:
    """Return the 95 % range of a reading; no constituent here can be negative, so `low` stops at 0."""
    if observed.low is not None and observed.high is not None:
        return Range(observed.low, (observed.low + observed.high) / 2.0, observed.high)
    if observed.below is not None:
        return _below(observed.below)
    if observed.above is not None:
        return Range(observed.above, observed.above, math.inf)
    if observed.value is None:
        raise ValueError("A reading without a result has no range.")
    if method.marks:
        return _chart_range(method.marks, observed.value)
    return _plain_range(method, observed.value)


def _plain_range(method: Method, value: float) -> Range:
    """Return value ± 95 %, or the bound the method's reach leaves."""
    if method.lower_limit is not None and value < method.lower_limit:
        return _below(method.lower_limit)
    if method.upper_limit is not None and value > method.upper_limit:
        return Range(method.upper_limit, method.upper_limit, math.inf)
    half = NORMAL_95 * sd_at(method, value)
    return Range(max(0.0, value - half), value, value + half)


def _below(limit: float) -> Range:
    """Return the range of a result under a limit."""
    return Range(0.0, limit / 2.0, limit)


def _chart_range(marks: tuple[float, ...], value: float) -> Range:
    """Return half-way to each neighbour for a value on a mark, or the two marks around a value between them."""
    last = len(marks) - 1
    if value > marks[last] + _ON_MARK:
        return Range(marks[last], value, math.inf)
    index = bisect_left(marks, value - _ON_MARK)
    if abs(marks[index] - value) > _ON_MARK:
        low = marks[index - 1] if index else 0.0
        return Range(low, value, marks[index])
    step_down = marks[index] - marks[index - 1] if index else marks[1] - marks[0]
    step_up = marks[index + 1] - marks[index] if index < last else step_down
    return Range(max(0.0, value - step_down / 2.0), value, value + step_up / 2.0)


def smallest_step(marks: tuple[float, ...]) -> float:
    """Return the least distance between two neighbouring marks of a chart."""
    return min(high - low for low, high in pairwise(marks))
