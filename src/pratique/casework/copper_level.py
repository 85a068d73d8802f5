"""A reckoned level of copper: whether it is known, how likely it lies below or above a figure, and what a dose adds."""

import math
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import numpy as np

from pratique import knowledge
from pratique.casework.copper_told import Told
from pratique.casework.reckoning.memory import running_of
from pratique.casework.reckoning.reckoned import Level, Reckoned
from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Dose, Initial, Unlogged

if TYPE_CHECKING:
    from pratique.science.estimation.running import Running

_HOUR = timedelta(hours=1)
_ROOT_2 = math.sqrt(2.0)
_LEAST_VARIANCE = 1e-300


def level_of(told: Told, reckoned: Reckoned | None, *, until: datetime) -> Level | None:
    """Return the level at the end of what is reckoned; None where that ends earlier or nothing has told the level."""
    if reckoned is None or not told.is_level_known or reckoned.ledger.end <= until - _HOUR:
        return None
    return reckoned.now


def running_with(told: Told, reckoned: Reckoned | None) -> "Running | None":
    """Return where the reckoning stands; where nothing has told the level, that of what was dosed for certain alone.

    Unread water may hold anything, and a dose of unknown amount may be any: neither by itself is an alarm.
    """
    if reckoned is None or reckoned.problem:
        return None
    if told.is_level_known:
        return reckoned.running
    case = reckoned.ledger.case
    share = knowledge.figure("reckoning.new_water_share").value
    initial = case.initial if case.readings else Initial(0.0, case.initial.sd * share)
    certain = tuple(one for one in case.events if not isinstance(one, Unlogged))
    try:
        return running_of(replace(case, initial=initial, events=certain))
    except DomainError:
        return None


def chance_below(running: "Running | None", level_mg_per_l: float) -> float:
    """Return how likely the level lies below a figure where the reckoning stands; 0 where nothing is reckoned."""
    if running is None:
        return 0.0
    spreads = np.sqrt(np.maximum(running.covariances[:, 0, 0], _LEAST_VARIANCE))
    distances = (level_mg_per_l - running.means[:, 0]) / (spreads * _ROOT_2)
    below = [0.5 * math.erfc(-one) for one in distances.tolist()]
    return float(running.weights @ np.array(below))


def chance_above(running: "Running | None", level_mg_per_l: float) -> float:
    """Return how likely the level lies above a figure where the reckoning stands; 0 where nothing is reckoned."""
    return 1.0 - chance_below(running, level_mg_per_l) if running is not None else 0.0


def after_dose(running: "Running", milligrams: float) -> tuple[float, float] | None:
    """Return the mean and the 97.5 % quantile of the level once so much copper went in; None where that is beyond all.

    It cannot be reckoned where a case is already at the limits of what it can hold.
    """
    from pratique.science.estimation.running import append  # noqa: PLC0415 - loads the compiled loops

    dose = Dose(running.day, milligrams, knowledge.figure("reckoning.dose_relative_sd").value)
    try:
        after = append(running, day=running.day, events=[dose])
    except DomainError:
        return None
    return after.level[0], float(after.level_quantiles()[-1])
