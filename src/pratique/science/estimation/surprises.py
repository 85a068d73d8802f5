"""Readings that do not fit: what all the others expected of each, and what may lie behind one that is far off."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Case, Dose, Refill, Unlogged
from pratique.science.estimation.cavities import cavities
from pratique.science.estimation.likelihood import rows_of
from pratique.science.estimation.quadrature import Nodes, nodes_of
from pratique.science.estimation.script import script_of
from pratique.science.estimation.state import columns_of, prior_of, walks_of

type Array = NDArray[np.float64]

_TENFOLD = 10.0
_STRENGTH_OFF = 0.3
_NORMAL_95 = 1.959963984540054


@dataclass(frozen=True)
class Fit:
    """How one reading fits the rest: what they expected of it (± 95 %), its distance in sds, and the tail it lies in.

    `tail` is two-sided: twice the smaller chance of a report as low, or as high, as this one; at most 1.
    """

    number: int
    expected: float
    plus_minus: float
    residual: float
    tail: float


@dataclass(frozen=True)
class Cause:
    """One thing that may lie behind a reading that does not fit, and how likely it is among those thought of."""

    key: str
    probability: float


@dataclass(frozen=True)
class Explanation:
    """A case as it would be under one thing that may lie behind a reading, and how well that explains all readings."""

    key: str
    log_evidence: float
    case: Case


def fits_of(case: Case, nodes: Nodes) -> tuple[Fit, ...]:
    """Return how each reading of a case fits the others."""
    from scipy.special import ndtr  # noqa: PLC0415 - a heavy import, used once a reckoning

    if not case.readings:
        return ()
    script, rows = script_of(case, np.empty(0)), rows_of(case)
    # A node without weight may have no number at all: a volume of nothing.
    held = nodes.weights > 0.0
    means, variances, log_parts = cavities(
        script.code, script.what, nodes.loss_per_day()[held], nodes.volume_l()[held], walks_of(case), rows,
        columns_of(case), *prior_of(case), nodes.sites[held],
    )  # fmt: skip
    found = []
    for number in range(len(rows)):
        # Without this reading a node weighs its posterior over what the reading said there.
        logs = np.log(nodes.weights[held]) - log_parts[:, number]
        weights = np.exp(logs - logs.max())
        weights /= weights.sum()
        centre, spread = means[:, number], np.sqrt(variances[:, number])
        low, high = rows[number, 1], rows[number, 2]
        as_low = float(weights @ ndtr((high - centre) / spread)) if np.isfinite(high) else 1.0
        as_high = float(weights @ ndtr((centre - low) / spread)) if np.isfinite(low) else 1.0
        expected = float(weights @ centre)
        sd = float(np.sqrt(weights @ (variances[:, number] + (centre - expected) ** 2)))
        nearest = float(min(max(expected, low), high))
        found.append(
            Fit(number, expected, _NORMAL_95 * sd, (nearest - expected) / sd, min(1.0, 2.0 * min(as_low, as_high)))
        )
    return tuple(found)


def causes_of(case: Case, number: int, *, level_spread: float) -> tuple[Cause, ...]:
    """Return what may lie behind a reading that does not fit, the likeliest first; equal odds beforehand."""
    found = explanations_of(case, number, level_spread=level_spread)
    top = max(one.log_evidence for one in found)
    odds = {one.key: float(np.exp(one.log_evidence - top)) for one in found}
    total = sum(odds.values())
    causes = [Cause(key, odd / total) for key, odd in odds.items()]
    return tuple(sorted(causes, key=lambda cause: -cause.probability))


def explanations_of(case: Case, number: int, *, level_spread: float) -> tuple[Explanation, ...]:
    """Return the case reckoned anew under each thing that may lie behind a reading that does not fit.

    That is a wrong reading (its errors tenfold), something unlogged before it that moved the level by about
    `level_spread`, and doses of another strength than was told.
    """
    told = {
        "wrong reading": _with_wrong_reading(case, number),
        "unlogged": with_unlogged(case, number, level_spread),
    }
    if any(isinstance(event, Dose) for event in case.events):
        told["wrong strength"] = replace(
            case, stock_strength_relative_sd=max(_STRENGTH_OFF, case.stock_strength_relative_sd)
        )
    return tuple(Explanation(key, log_evidence(other), other) for key, other in told.items())


def log_evidence(case: Case) -> float:
    """Return the log evidence of a case, very low where nothing believed explains its readings."""
    try:
        return nodes_of(case).log_evidence
    except DomainError:
        return -1e300


def _with_wrong_reading(case: Case, number: int) -> Case:
    reading = case.readings[number]
    method = case.methods[reading.method]
    wide = max(method.absolute_sd, method.resolution, 1e-9) * _TENFOLD
    key = f"{reading.method}, wrong"
    wrong = replace(method, absolute_sd=wide, relative_sd=method.relative_sd * _TENFOLD, bias_sd=0.0)
    readings = list(case.readings)
    readings[number] = replace(reading, method=key)
    return replace(case, methods={**case.methods, key: wrong}, readings=tuple(readings))


def _days_read(case: Case, number: int) -> list[float]:
    """Return the days of the readings before one."""
    return [one.day for one in case.readings[:number]]


def with_unlogged(case: Case, number: int, level_spread: float) -> Case:
    """Return a case with something unlogged half-way between a reading and the one, or the refill, before it."""
    reading = case.readings[number]
    filled = [one.day for one in case.events if isinstance(one, Refill)]
    before = max((day for day in (*_days_read(case, number), *filled) if day < reading.day), default=0.0)
    jolt = Unlogged(0.5 * (before + reading.day), level_spread)
    events = sorted((*case.events, jolt), key=lambda event: event.day)
    return replace(case, events=tuple(events))
