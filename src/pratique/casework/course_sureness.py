"""How many days of a course are sure, and whether the days it needs are: what a gate, a heading and a concern go by."""

import math
from typing import TYPE_CHECKING

from pratique import knowledge

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.exposure import Exposure

# The place of the quantile 0.05 among those of a spread.
_SURE = 1
_ROUNDING = 1e-9


def is_rough(held: "Exposure") -> bool:
    """Return whether too few courses of the level fit what was written to count any day as sure."""
    return held.effective_sample < knowledge.figure("reckoning.least_effective_sample").value


def sure_days(held: "Exposure") -> float:
    """Return how many days stand at the end of a stretch with the chance a gate asks for."""
    return 0.0 if is_rough(held) else held.credited_days.quantiles[_SURE]


def whole_sure_days(held: "Exposure | None") -> int:
    """Return how many whole days are counted at the end of a stretch: what is told of a course, everywhere."""
    return math.floor(sure_days(held) + _ROUNDING) if held is not None else 0


def sure_longest_days(held: "Exposure") -> float:
    """Return how many days in a row were held at any time with the chance a gate asks for."""
    return 0.0 if is_rough(held) else held.longest_unbroken_days.quantiles[_SURE]


def is_surely_held(held: "Exposure") -> bool:
    """Return whether the days asked for were held with the chance a gate asks for."""
    needed = knowledge.figure("gate.held_probability").value
    return held.held is not None and held.held.value >= needed and not is_rough(held)
