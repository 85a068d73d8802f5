"""Which unknown of the parasites matters most for the chance of being clear."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

type Array = NDArray[np.float64]


def sensitivities(chance: Array, parameters: Sequence[tuple[str, Array]], *, bins: int = 8) -> dict[str, float]:
    """Return the share of the variance of P(clear) between isolates that each unknown explains by itself.

    The correlation ratio: variance of the means within `bins` of equal count over the whole variance, less what chance
    alone gives. Source: Pearson's η² with the adjustment of Kelley 1935 (recalled).
    """
    total = float(chance.var())
    found: dict[str, float] = {}
    for name, values in parameters:
        # With no more isolates than bins, nothing is left to tell an effect from chance.
        if total <= 0.0 or len(chance) <= bins or float(np.ptp(values)) == 0.0:
            found[name] = 0.0
            continue
        within = sum(float(part.var()) * len(part) for part in np.array_split(chance[np.argsort(values)], bins))
        free, count = len(chance) - bins, len(chance)
        found[name] = max(0.0, 1.0 - (within / free) / (total * count / (count - 1)))
    return found
