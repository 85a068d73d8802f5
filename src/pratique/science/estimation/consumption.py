"""What a tank takes up of a constituent in a day, how that changes, and how much a day would balance it.

Uptake is everything that leaves the water but for what water changes take: loss × level less the source. Doses, changes
and what recorded food releases are counted apart, so it does not depend on how well the tank was dosed.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pratique.science.estimation.case import Case, Change, Dose, Media, Pulse, Refill, Unlogged
from pratique.science.estimation.exposure import Spread, spread
from pratique.science.estimation.posterior import Posterior

type Array = NDArray[np.float64]

_DAYS_PER_WEEK = 7.0
_HOURS_PER_DAY = 24.0
_LEAST_WINDOW_DAYS = 3.0
_LEAST_VOLUME = 1e-6
_SAME_MOMENT = 1e-9


@dataclass(frozen=True)
class Consumption:
    """Uptake per day at the end of a case, in the level's unit; `amount_per_day` is that times the litres.

    `change_per_week` is how much more is taken up in a day than a week before; None where the case is too short or
    something of unknown size happened in it.
    """

    per_day: Spread
    amount_per_day: Spread
    change_per_week: Spread | None


def plus_minus_of(found: Spread) -> float:
    """Return half the width of the middle 95 %."""
    return 0.5 * (found.quantiles[-1] - found.quantiles[0])


def consumption_of(case: Case, posterior: Posterior, *, window_days: float = 7.0) -> Consumption:
    """Return what is taken up by the posterior of a case, on its trajectories.

    The change compares the last `window_days` with those before; a case shorter than both is halved, down to three
    days each. It leaves out the error of each dose and of new water, which are small beside it.
    """
    draws = posterior.trajectories
    media = sum(event.extra_loss_per_day for event in case.events if isinstance(event, Media))
    per_day: Array = (draws.loss_per_day + media) * draws.levels[:, -1] - draws.source_per_day_end
    amounts: Array = per_day * _litres(case, draws.volume_l) / (1.0 + draws.strength_end)
    change = _change_per_week(case, posterior, per_day, window_days)
    return Consumption(
        spread(per_day, draws.weights),
        spread(amounts, draws.weights),
        spread(change, draws.weights) if change is not None else None,
    )


def _litres(case: Case, drawn: Array) -> Array:
    """Return the volume of each trajectory; where nothing done depended on it, what was believed of it beforehand."""
    if case.needs_volume or case.volume.sd_l == 0.0:
        return drawn
    normals = np.random.default_rng(case.seed).standard_normal(len(drawn))
    if case.volume.is_lognormal:
        return case.volume.mean_l * np.exp(case.volume.sd_l * normals)
    return np.maximum(case.volume.mean_l + case.volume.sd_l * normals, _LEAST_VOLUME)


def _change_per_week(case: Case, posterior: Posterior, per_day: Array, window_days: float) -> Array | None:
    """Return the difference of two windows' mean uptake for each trajectory, a week's worth of it."""
    window = min(window_days, 0.5 * case.span_days)
    if window < _LEAST_WINDOW_DAYS:
        return None
    edges = [_place(posterior.days, case.span_days - times * window) for times in (2.0, 1.0, 0.0)]
    since = float(posterior.days[edges[0]])
    if any(isinstance(event, Refill | Unlogged) and event.day > since for event in case.events):
        return None
    before, after = (_mean_uptake(case, posterior, per_day, first, last) for first, last in pairwise(edges))
    apart = 0.5 * float(posterior.days[edges[2]] - posterior.days[edges[0]])
    return (after - before) * _DAYS_PER_WEEK / apart


def _place(days: Array, day: float) -> int:
    return int(np.abs(days - day).argmin())


def _mean_uptake(case: Case, posterior: Posterior, per_day: Array, first: int, last: int) -> Array:
    """Return the uptake a day between two points of the grid by balance: what went in, less what the level rose by."""
    draws, days = posterior.trajectories, posterior.days
    opens, closes = float(days[first]), float(days[last])
    gained = np.zeros(len(per_day))
    for event in case.events:
        match event:
            case Dose() if opens < event.day <= closes:
                gained += event.amount_mg * (1.0 + draws.strength_end) / draws.volume_l
            case Pulse():
                gained += event.amount_mg * _share(event, opens, closes) / draws.volume_l
            case Change() if opens < event.day <= closes:
                before = _level_before(case, posterior, per_day, event.day)
                gained += event.volume_l / draws.volume_l * (event.incoming - before)
    risen: Array = draws.levels[:, last] - draws.levels[:, first]
    return (gained - risen) / (closes - opens)


def _share(pulse: Pulse, opens: float, closes: float) -> float:
    """Return the part of a pulse that is released between two days."""
    days = pulse.hours / _HOURS_PER_DAY
    return max(0.0, min(closes, pulse.day + days) - max(opens, pulse.day)) / days


def _level_before(case: Case, posterior: Posterior, per_day: Array, day: float) -> Array:
    """Return the level just before a change, carried on from the last point of the grid before it."""
    draws, days = posterior.trajectories, posterior.days
    place = max(0, int(days.searchsorted(day - _SAME_MOMENT)) - 1)
    dosed = sum(one.amount_mg for one in case.events if isinstance(one, Dose) and days[place] < one.day < day)
    level: Array = draws.levels[:, place] + dosed / draws.volume_l - per_day * (day - float(days[place]))
    return level
