"""The hydrogen ions that make an alkalinity come out right: Newton's step, with halving wherever it would stray."""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError, Number
from pratique.science.chemistry.elementwise import LN10, exp
from pratique.science.chemistry.ph_scales import PH_BOUNDS

# Logarithms of hydrogen: pH 12, pH 3 and where tanks are.
_LOWEST, _HIGHEST = -LN10 * PH_BOUNDS[1], -LN10 * PH_BOUNDS[0]
_START = -LN10 * 8.0
_NEAR_ENOUGH = 1e-13
# Halving alone would be done by then.
_MOST_STEPS = 60

type Excess = Callable[[Number], tuple[Number, Number]]


def hydrogen_where_none_is_left(excess: Excess, *, shape: tuple[int, ...] | None) -> Number:
    """Return the hydrogen ions in mol/kg at which `excess` is nothing; pH 3 to 12.

    `excess` takes hydrogen and returns how much alkalinity is too much, which must fall as hydrogen rises, and its
    change per unit of the logarithm of hydrogen. `shape` None is a single number.

    Raises DomainError where there is no such pH.
    """
    found = exp(_single(excess) if shape is None else _many(excess, shape))
    lowest, highest = math.exp(_LOWEST) * (1.0 + 1e-9), math.exp(_HIGHEST) * (1.0 - 1e-9)
    if not bool(np.all((np.asarray(found) > lowest) & (np.asarray(found) < highest))):
        raise DomainError(
            f"There is no pH between {PH_BOUNDS[0]:g} and {PH_BOUNDS[1]:g} at which these two belong to one water; one "
            "of them must be wrong, or its unit."
        )
    return found


def _single(excess: Excess) -> float:
    low, high, at = _LOWEST, _HIGHEST, _START
    for _ in range(_MOST_STEPS):
        value, slope = excess(math.exp(at))
        if value > 0.0:
            low = at
        else:
            high = at
        step = at - float(value / slope)
        there = step if low <= step <= high else 0.5 * (low + high)
        if abs(there - at) < _NEAR_ENOUGH * abs(at):
            return there
        at = there
    return at


def _many(excess: Excess, shape: tuple[int, ...]) -> NDArray[np.float64]:
    low, high, at = np.full(shape, _LOWEST), np.full(shape, _HIGHEST), np.full(shape, _START)
    for _ in range(_MOST_STEPS):
        value, slope = excess(np.exp(at))
        too_much = value > 0.0
        low, high = np.where(too_much, at, low), np.where(too_much, high, at)
        step = at - value / slope
        there = np.where((low <= step) & (step <= high), step, 0.5 * (low + high))
        moved = np.max(np.abs(there - at), initial=0.0)
        at = there
        if moved < _NEAR_ENOUGH * -_START:
            break
    return at
