"""Days without loss: how long, up to the newest picture, a body has held its depth over length."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pratique.science.chemistry.domain import require_above_zero
from pratique.science.health.condition import DepthRatio, condition_trend

_WEEK_DAYS = 7.0


@dataclass(frozen=True)
class Holding:
    """The stretch up to the newest picture over which no loss is likely enough, and what is likely over it.

    `probability_not_losing` is that the body does not fall at all, `probability_within` that it falls no faster than
    what is let pass. Where no stretch holds, both speak of the newest two days with pictures and `days` is 0.
    """

    days: float
    probability_not_losing: float
    probability_within: float
    first: DepthRatio
    last: DepthRatio


def holding(
    points: Iterable[DepthRatio], *, loss_per_week: float, required: float, fall_probability: float
) -> Holding | None:
    """Return for how many days a body has held, or None where fewer than two days have a picture.

    The longest stretch ending in the newest picture counts in which a fall faster than `loss_per_week` (a part of the
    ratio) has a probability of at most 1 − `required`, so long as neither it nor any shorter one shows a fall of any
    pace with `fall_probability`: an old level stretch must not hide a new fall. Raises DomainError for an sd or a pace
    that is not above zero.
    """
    require_above_zero("The loss let pass", loss_per_week)
    ordered = sorted(points, key=lambda one: one.at_day)
    found: Holding | None = None
    newest: Holding | None = None
    for start in range(len(ordered) - 2, -1, -1):
        stretch = ordered[start:]
        over = _over(stretch, loss_per_week)
        if over is None:
            continue
        newest = newest or replace(over, days=0.0)
        if 1.0 - over.probability_not_losing >= fall_probability:
            break
        if over.probability_within >= required:
            found = over
    return found or newest


def _over(stretch: Sequence[DepthRatio], loss_per_week: float) -> Holding | None:
    trend = condition_trend(stretch)
    if trend.probability_falling is None:
        return None
    first, last = stretch[0], stretch[-1]
    pace = loss_per_week * first.depth_over_length / _WEEK_DAYS
    # Tilted by the pace that is let pass, a body that falls at just that pace is level.
    tilted = (
        replace(one, depth_over_length=one.depth_over_length + pace * (one.at_day - first.at_day)) for one in stretch
    )
    faster = condition_trend(tilted).probability_falling
    within = 1.0 - (faster if faster is not None else 1.0)
    return Holding(trend.days, 1.0 - trend.probability_falling, within, first, last)
