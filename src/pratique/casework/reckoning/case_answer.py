"""The answer to a case: the level hour by hour with its spread, what was learned, the exposure, and what to do."""

import dataclasses
import math
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from pratique.casework.reckoning.case_file import CaseFile, CaseRefused, reckonable
from pratique.science.chemistry.domain import DomainError

_TOO_FAR = (
    "This case cannot be reckoned: its figures lie too far apart for any number to be sure of. Look for a spread, "
    "an amount or a reading in the wrong unit."
)


@dataclass(frozen=True)
class Learned:
    """The posterior of the volume or the loss."""

    mean: float
    sd: float
    quantiles: dict[str, float]


@dataclass(frozen=True)
class Counted:
    """One figure of the exposure, with the Monte Carlo error of its mean."""

    mean: float
    sd: float
    quantiles: dict[str, float]
    monte_carlo_error: float


@dataclass(frozen=True)
class Likely:
    """A probability (`mean`), with its Monte Carlo error."""

    mean: float
    monte_carlo_error: float


@dataclass(frozen=True)
class LikelyDip:
    """A stretch in which the level may have gone below the band after it was reached."""

    start: datetime
    end: datetime
    likeliest: datetime
    probability: Likely


@dataclass(frozen=True)
class ExposureAnswer:
    """How long, and how surely, the band was held.

    `probability_held` is the share of trajectories held as long as required; its quantiles are those of 0 and 1.
    """

    longest_unbroken_days: Counted
    credited_days: Counted
    hours_above_upper: Counted
    probability_held: Counted | None
    dips: tuple[LikelyDip, ...]


@dataclass(frozen=True)
class Surprise:
    """A reading that does not fit the rest, and what may lie behind it, the likeliest first.

    `reading` counts from 0; `causes` is empty for all but the oddest few, which alone are looked into.
    """

    reading: int
    at: datetime
    expected: float
    plus_minus: float
    tail_probability: float
    causes: dict[str, float]


@dataclass(frozen=True)
class CaseAdvice:
    """What to do at the end of the case, until the next reading, in words and numbers; 0 means nothing.

    `dose_mg` is in mg where the level is in mg/L, else in the level's unit times litres.
    """

    words: str
    dose_mg: float
    change_l: float
    probability_inside: float
    probability_inside_without: float
    read_again: datetime
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class CaseAnswer:
    """Everything one case gives; `quantiles` are keyed by their probability."""

    constituent: str
    unit: str
    times: tuple[datetime, ...]
    mean: tuple[float, ...]
    sd: tuple[float, ...]
    quantiles: dict[str, tuple[float, ...]]
    volume_l: Learned
    loss_per_day: Learned
    log_evidence: float
    surprising_readings: tuple[Surprise, ...]
    exposure: ExposureAnswer | None
    advice: CaseAdvice | None
    effective_sample: float
    assumed: tuple[str, ...]


def answer_case(told: CaseFile) -> CaseAnswer:
    """Return the answer to a case; raises CaseRefused in a sentence where there is none."""
    case = reckonable(told)
    # Compiled loops: loaded when something is reckoned, not when a command starts.
    from pratique.casework.reckoning import answering  # noqa: PLC0415

    try:
        found = answering.answer(told, case)
    except DomainError as problem:
        raise CaseRefused(str(problem)) from None
    except (ArithmeticError, ValueError):
        raise CaseRefused(_TOO_FAR) from None
    if not _is_finite(dataclasses.asdict(found)):
        raise CaseRefused(_TOO_FAR)
    return found


def _is_finite(value: Any) -> bool:
    if isinstance(value, dict):
        return all(_is_finite(one) for one in value.values())
    if isinstance(value, tuple):
        return all(_is_finite(one) for one in value)
    return not isinstance(value, float) or math.isfinite(value)
