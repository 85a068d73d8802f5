"""How a chance counted on drawn courses of a level is said: in words, and in per cent with the error of the drawing."""

import math
from typing import TYPE_CHECKING

from pratique.casework.words import amount, chance_words, percent
from pratique.science.estimation.reading import NORMAL_95

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.exposure import Chance

_SURE = 0.99


def held_words(probability: float) -> str:
    """Return how sure it is that a day was held: `surely held`, `probably not held`."""
    return f"{chance_words(probability)} held"


def chance_with_error(chance: "Chance") -> str:
    """Return a chance in per cent with the 95 % error of its drawing: `76 ± 2 %`; near certainty without it."""
    if not 1.0 - _SURE <= chance.value <= _SURE:
        return percent(chance.value)
    error = max(1, math.ceil(100.0 * NORMAL_95 * chance.monte_carlo_error))
    return f"{100.0 * chance.value:.0f} ± {amount(error, 0, '%')}"
