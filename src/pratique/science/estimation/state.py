"""What the filter starts from: how many unknowns a case has, and what is believed of them at the start."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pratique.science.estimation.case import Case, Reading

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]

_LEVEL, _SOURCE, _STRENGTH = 0, 1, 2


def biased_methods(case: Case) -> tuple[str, ...]:
    """Return the methods of a case that have a bias and were used, in the order of their names."""
    used = {reading.method for reading in case.readings}
    return tuple(sorted(key for key, method in case.methods.items() if method.bias_sd > 0.0 and key in used))


def is_two_state(case: Case) -> bool:
    """Return whether level and source are all there is."""
    return case.stock_strength_relative_sd == 0.0 and not biased_methods(case)


def columns_of(case: Case, readings: Sequence[Reading] | None = None) -> Indices:
    """Return where in a case's state the bias of each reading stands, 0 for none: of its own readings, or of others."""
    place = {key: _STRENGTH + 1 + number for number, key in enumerate(biased_methods(case))}
    read = case.readings if readings is None else readings
    return np.array([place.get(reading.method, 0) for reading in read], dtype=np.int64)


def prior_of(case: Case) -> tuple[Array, Array]:
    """Return mean and covariance of the state at the start."""
    biases = biased_methods(case)
    size = 2 if is_two_state(case) else 3 + len(biases)
    mean, sds = np.zeros(size), np.zeros(size)
    mean[_LEVEL], sds[_LEVEL] = case.initial.mean, case.initial.sd
    mean[_SOURCE], sds[_SOURCE] = case.source.mean_per_day, case.source.sd_per_day
    if size > _STRENGTH:
        sds[_STRENGTH] = case.stock_strength_relative_sd
        sds[_STRENGTH + 1 :] = [case.methods[key].bias_sd for key in biases]
    return mean, np.diag(sds**2)


def walks_of(case: Case) -> Array:
    """Return the sd per square root of a day of the source's walk and of the level's."""
    return np.array([case.source.walk_sd_per_sqrt_day, case.level_walk_sd_per_sqrt_day])
