"""Whether an animal grows thin: the trend of its depth over length, or of the keeper's scale."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.line import student_cdf, weighted_line


@dataclass(frozen=True)
class DepthRatio:
    """Body depth over body length on one picture, with one standard deviation; both lengths share the scale."""

    at_day: float
    depth_over_length: float
    sd: float
    entry: str


@dataclass(frozen=True)
class ConditionTrend:
    """The line through the points; slope and probability are None where one day is all there is."""

    first: DepthRatio | None
    last: DepthRatio | None
    slope_per_day: float | None
    slope_sd: float | None
    probability_falling: float | None
    days: float
    n: int


@dataclass(frozen=True)
class Scored:
    """The keeper's look at the body: 0 rounded, 1 flat, 2 pinched, 3 pinched with a hollow nape."""

    at_day: float
    score: int
    entry: str


@dataclass(frozen=True)
class ScaleTrend:
    """The best score in the window, the newest one, and the steps towards thin between them."""

    first: Scored | None
    last: Scored | None
    steps: int
    is_thinning: bool


def condition_trend(points: Iterable[DepthRatio]) -> ConditionTrend:
    """Return the weighted trend of depth over length, and the probability that it falls.

    Weights are 1/sd². Where the points scatter more than their errors say, the slope's error grows with the scatter
    and Student's distribution judges it; otherwise the errors are taken as known and the normal one does.
    Raises DomainError for an sd that is not above zero.
    """
    ordered = sorted(points, key=lambda p: p.at_day)
    if any(not p.sd > 0.0 for p in ordered):
        raise DomainError("Every depth over length needs an error above zero.")
    if not ordered or ordered[0].at_day == ordered[-1].at_day:
        ends = (ordered[0], ordered[-1]) if ordered else (None, None)
        return ConditionTrend(ends[0], ends[1], None, None, None, 0.0, len(ordered))
    # Days from the first point keep the intercept small; the slope does not mind.
    days = [p.at_day - ordered[0].at_day for p in ordered]
    line = weighted_line(days, [p.depth_over_length for p in ordered], weights=[p.sd**-2 for p in ordered])
    scatter = math.sqrt(line.residual_variance) if line.residual_variance is not None else 0.0
    slope_sd = line.slope_se_of_weights * max(1.0, scatter)
    score = -line.slope / slope_sd
    falling = student_cdf(score, line.degrees_of_freedom) if scatter > 1.0 else NormalDist().cdf(score)
    return ConditionTrend(ordered[0], ordered[-1], line.slope, slope_sd, falling, days[-1], len(ordered))


def scale_trend(
    points: Iterable[Scored], *, now: float, window_days: float = 21.0, thinning_steps: int = 2
) -> ScaleTrend:
    """Return whether the keeper's scale rose by `thinning_steps` or more within `window_days` before day `now`.

    The newest score is compared with the best (lowest) before it in the window, the latest of equals.
    """
    window = sorted((p for p in points if now - window_days <= p.at_day <= now), key=lambda p: p.at_day)
    if not window:
        return ScaleTrend(None, None, 0, is_thinning=False)
    best = min(window, key=lambda p: (p.score, -p.at_day))
    steps = window[-1].score - best.score
    return ScaleTrend(best, window[-1], steps, is_thinning=steps >= thinning_steps)
