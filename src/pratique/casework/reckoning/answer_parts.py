"""What the science gives, as the members of an answer."""

from collections.abc import Callable
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from pratique import knowledge
from pratique.casework.reckoning.case_answer import Counted, ExposureAnswer, Learned, Likely, LikelyDip
from pratique.science.estimation.exposure import Chance, Exposure, Spread
from pratique.science.estimation.marginal import PROBABILITIES, Marginal

type Array = NDArray[np.float64]

KEYS = tuple(f"{one:g}" for one in PROBABILITIES)


def numbers(values: Array) -> tuple[float, ...]:
    """Return an array as plain numbers."""
    return tuple(float(one) for one in values)


def learned(found: Marginal) -> Learned:
    """Return the posterior of a static unknown."""
    return Learned(found.mean, found.sd, dict(zip(KEYS, found.quantiles, strict=True)))


def exposure_answer(found: Exposure, moment: Callable[[float], datetime]) -> ExposureAnswer:
    """Return an exposure whose days `moment` turns into moments."""
    return ExposureAnswer(
        _counted(found.longest_unbroken_days),
        _counted(found.credited_days),
        _counted(found.hours_above_upper),
        _held(found.held) if found.held is not None else None,
        tuple(
            LikelyDip(moment(dip.start_day), moment(dip.end_day), moment(dip.day), _likely(dip.probability))
            for dip in found.dips
        ),
    )


def few_words(effective_sample: float) -> tuple[str, ...]:
    """Return a warning where so few trajectories weigh that their own error cannot be told from them."""
    if effective_sample >= knowledge.figure("reckoning.least_effective_sample").value:
        return ()
    return (
        f"Few trajectories fit these readings ({effective_sample:.0f} count): what is said of days, dips and hours is "
        "rough, rougher than its Monte Carlo error tells. Look for a wrong reading or an entry nobody wrote down.",
    )


def _counted(found: Spread) -> Counted:
    return Counted(found.mean, found.sd, dict(zip(KEYS, found.quantiles, strict=True)), found.monte_carlo_error)


def _likely(found: Chance) -> Likely:
    return Likely(found.value, found.monte_carlo_error)


def _held(found: Chance) -> Counted:
    """Return a probability as what is 1 in some trajectories and 0 in the others."""
    p = found.value
    return Counted(
        p,
        float(np.sqrt(p * (1.0 - p))),
        {key: float(one > 1.0 - p) for key, one in zip(KEYS, PROBABILITIES, strict=True)},
        found.monte_carlo_error,
    )
