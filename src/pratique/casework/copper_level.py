"""How likely a reckoned level lies below or above a figure, and whether it is known at all."""

import math
from datetime import datetime, timedelta

import numpy as np

from pratique.casework.copper_told import Told
from pratique.casework.reckoning.reckoned import Level, Reckoned
from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Dose

_HOUR = timedelta(hours=1)
_ROOT_2 = math.sqrt(2.0)


def level_of(told: Told, reckoned: Reckoned | None, *, until: datetime) -> Level | None:
    """Return the level at the end of what is reckoned; None where that ends earlier or nothing has told the level."""
    if reckoned is None or reckoned.problem or not told.is_level_known:
        return None
    return reckoned.now if reckoned.ledger.end > until - _HOUR else None


def chance_below(reckoned: Reckoned | None, level_mg_per_l: float) -> float:
    """Return how likely the level at the end of what is reckoned lies below a figure; 0 where nothing is reckoned."""
    running = reckoned.running if reckoned is not None and not reckoned.problem else None
    if running is None:
        return 0.0
    spreads = np.sqrt(np.maximum(running.covariances[:, 0, 0], 1e-300))
    distances = (level_mg_per_l - running.means[:, 0]) / (spreads * _ROOT_2)
    below = [0.5 * math.erfc(-one) for one in distances.tolist()]
    return float(running.weights @ np.array(below))


def chance_above(reckoned: Reckoned | None, level_mg_per_l: float) -> float:
    """Return how likely the level at the end of what is reckoned lies above a figure; 0 where nothing is reckoned."""
    if reckoned is None or reckoned.problem or reckoned.running is None:
        return 0.0
    return 1.0 - chance_below(reckoned, level_mg_per_l)
