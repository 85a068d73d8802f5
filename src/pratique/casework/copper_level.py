"""A reckoned level of copper: whether it is known, how likely it lies below or above a figure, and what a dose adds."""

import math
from datetime import datetime, timedelta

import numpy as np

from pratique import knowledge
from pratique.casework.copper_told import Told
from pratique.casework.reckoning.reckoned import Level, Reckoned
from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Dose

_HOUR = timedelta(hours=1)
_ROOT_2 = math.sqrt(2.0)
_LEAST_VARIANCE = 1e-300


def level_of(told: Told, reckoned: Reckoned | None, *, until: datetime) -> Level | None:
    """Return the level at the end of what is reckoned; None where that ends earlier or nothing has told the level."""
    if reckoned is None or not told.is_level_known or reckoned.ledger.end <= until - _HOUR:
        return None
    return reckoned.now


def chance_below(reckoned: Reckoned | None, level_mg_per_l: float) -> float:
    """Return how likely the level at the end of what is reckoned lies below a figure; 0 where nothing is reckoned."""
    running = reckoned.running if reckoned is not None else None
    if running is None:
        return 0.0
    spreads = np.sqrt(np.maximum(running.covariances[:, 0, 0], _LEAST_VARIANCE))
    distances = (level_mg_per_l - running.means[:, 0]) / (spreads * _ROOT_2)
    below = [0.5 * math.erfc(-one) for one in distances.tolist()]
    return float(running.weights @ np.array(below))


def chance_above(reckoned: Reckoned | None, level_mg_per_l: float) -> float:
    """Return how likely the level at the end of what is reckoned lies above a figure; 0 where nothing is reckoned."""
    if reckoned is None or reckoned.problem:
        return 0.0
    return 1.0 - chance_below(reckoned, level_mg_per_l)


def after_dose(reckoned: Reckoned | None, milligrams: float) -> tuple[float, float] | None:
    """Return the mean and the 97.5 % quantile of the level once so much copper went in; None where not reckoned."""
    running = reckoned.running if reckoned is not None else None
    if running is None:
        return None
    from pratique.science.estimation.running import append  # noqa: PLC0415 - loads the compiled loops

    dose = Dose(running.day, milligrams, knowledge.figure("reckoning.dose_relative_sd").value)
    try:
        after = append(running, day=running.day, events=[dose])
    except DomainError:
        return None
    return after.level[0], float(after.level_quantiles()[-1])
