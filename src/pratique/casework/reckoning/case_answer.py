"""The answer to a case: the level hour by hour with its spread, what was learned, the exposure, and what to do."""

from dataclasses import dataclass
from datetime import datetime

from pratique.casework.reckoning.case_file import CaseFile, CaseRefused, reckonable
from pratique.science.chemistry.domain import DomainError


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
    """A probability, with its Monte Carlo error."""

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
    """How long, and how surely, the band was held."""

    longest_unbroken_days: Counted
    credited_days: Counted
    hours_above_upper: Counted
    probability_held: Likely | None
    dips: tuple[LikelyDip, ...]


@dataclass(frozen=True)
class Surprise:
    """A reading that does not fit the rest, and what may lie behind it, the likeliest first."""

    reading: int
    at: datetime
    expected: float
    plus_minus: float
    tail_probability: float
    causes: dict[str, float]


@dataclass(frozen=True)
class CaseAdvice:
    """What to do at the end of the case, until the next reading, in words and numbers; `dose_mg` 0 means nothing."""

    words: str
    dose_mg: float
    probability_inside: float
    probability_inside_without: float
    read_again: datetime


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
        return answering.answer(told, case)
    except DomainError as problem:
        raise CaseRefused(str(problem)) from None
