"""What to do now: the dose, or the water change, that keeps the time until the next reading likeliest inside the band.

Never beyond the daily step, never where the level might pass the hard upper limit, and only what a syringe can measure.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Band, Change, Dose, Event
from pratique.science.estimation.forecast import Ahead, ahead_of
from pratique.science.estimation.running import Running

type Array = NDArray[np.float64]

_ROUNDING = 1e-9
_SAME_CHANCE = 1e-3
_CANDIDATES = 41
_CHANGE_PARTS = (0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5)


@dataclass(frozen=True)
class Means:
    """What a keeper has to act with, and how far it may go.

    `rise_left` is what is left of the daily step, in the level's unit; `most_above_hard` the greatest chance taken of
    passing `hard_upper`; a syringe measures whole steps of `syringe_step_ml`.
    """

    strength_mg_per_ml: float
    syringe_step_ml: float
    dose_relative_sd: float
    rise_left: float
    hard_upper: float
    most_above_hard: float


@dataclass(frozen=True)
class Deed:
    """One thing to do now, with what it leads to until the next reading."""

    dose_ml: float
    dose_mg: float
    change_l: float
    inside: float
    above_hard: float
    level_after: float
    level_after_sd: float


@dataclass(frozen=True)
class Advice:
    """The best deed, beside doing nothing, and what held it back: nothing, the step, the limit, or the syringe."""

    deed: Deed
    nothing: Deed
    held_back_by: str


def advise(running: Running, band: Band, means: Means, *, until_day: float, may_change_l: float = 0.0) -> Advice:
    """Return what keeps the level likeliest inside the band from now until `until_day`.

    `band` is the target; `may_change_l` the largest water change to think of, where a level is too high. Raises
    DomainError for a stock without strength, or an end that lies before now.
    """
    if not (means.strength_mg_per_ml > 0.0 and means.syringe_step_ml > 0.0):
        raise DomainError("The strength of a stock and the step of a syringe must be above 0.")
    nothing = _deed(running, band, means, until_day, 0.0, 0.0)
    most_ml, limit = _most_ml(running, band, means)
    doses = [_deed(running, band, means, until_day, ml, 0.0) for ml in _amounts(most_ml, means.syringe_step_ml)]
    safe = [deed for deed in doses if deed.above_hard <= means.most_above_hard]
    changes = [
        _deed(running, band, means, until_day, 0.0, part * may_change_l) for part in _CHANGE_PARTS if may_change_l > 0.0
    ]
    best = max([nothing, *safe, *changes], key=lambda deed: _worth(deed, band))
    return Advice(best, nothing, _held_back(best, doses, most_ml, limit, means))


def _worth(deed: Deed, band: Band) -> tuple[float, float, float, float]:
    """Return what one deed is chosen by: the chance of being inside, then how near the band it leads, then how little.

    Where the band lies further than one step, the way there still begins with a step.
    """
    gap = max(0.0, band.lower - deed.level_after, deed.level_after - band.upper)
    return round(deed.inside / _SAME_CHANCE) * _SAME_CHANCE, -gap, -deed.dose_ml, -deed.change_l


def make_up(running: Running, means: Means, *, change_l: float) -> tuple[Deed, float]:
    """Return what a change of `change_l` with clean water does at once, and the mL that put back what it takes."""
    level, _ = running.level
    step = means.syringe_step_ml
    ml = math.floor(max(0.0, level) * change_l / means.strength_mg_per_ml / step + _ROUNDING) * step
    soon = running.day + 1.0 / 24.0
    band = Band(-math.inf, math.inf)
    return _deed(running, band, means, soon, 0.0, change_l), ml


def next_reading_day(ahead: Ahead, band: Band, *, least_inside: float, soonest: float, latest: float) -> float:
    """Return the day at which the forecast becomes too wide: the chance of being inside the band falls under a figure.

    `soonest` and `latest` are days between which to read, whatever the forecast says.
    """
    inside = ahead.probability_within(band.lower, band.upper)
    wide = ahead.days[(inside < least_inside) & (ahead.days >= soonest)]
    return float(min(latest, wide[0])) if len(wide) else latest


def _most_ml(running: Running, band: Band, means: Means) -> tuple[float, str]:
    """Return the most that may be thought of: to the top of the band from the least it may hold, or the daily step."""
    level, sd = running.level
    litres = float(running.weights @ running.volumes)
    wanted = max(0.0, band.upper - (level - 2.0 * sd))
    rise = min(wanted, max(0.0, means.rise_left))
    return rise * litres / means.strength_mg_per_ml, "the daily step" if rise < wanted else ""


def _amounts(most_ml: float, step_ml: float) -> Sequence[float]:
    """Return the amounts to think of, in whole steps of the syringe, none above the most."""
    steps = math.floor(most_ml / step_ml + _ROUNDING)
    stride = max(1, math.ceil(steps / _CANDIDATES))
    return [number * step_ml for number in sorted({*range(stride, steps + 1, stride), steps} - {0})]


def _deed(running: Running, band: Band, means: Means, until_day: float, dose_ml: float, change_l: float) -> Deed:
    events: list[Event] = []
    milligrams = dose_ml * means.strength_mg_per_ml
    if change_l > 0.0:
        events.append(Change(running.day, change_l))
    if milligrams > 0.0:
        events.append(Dose(running.day, milligrams, means.dose_relative_sd))
    ahead = ahead_of(running, until_day=until_day, events=events)
    above = 1.0 - ahead.probability_below(means.hard_upper)
    return Deed(
        dose_ml,
        milligrams,
        change_l,
        inside=float(np.mean(ahead.probability_within(band.lower, band.upper))),
        above_hard=float(np.max(above)),
        level_after=float(ahead.mean[0]),
        level_after_sd=float(ahead.sd[0]),
    )


def _held_back(best: Deed, doses: Sequence[Deed], most_ml: float, limit: str, means: Means) -> str:
    if not doses:
        return "the syringe" if 0.0 < most_ml < means.syringe_step_ml else limit
    better = [deed for deed in doses if deed.inside > best.inside + _SAME_CHANCE]
    if better:
        return "the hard limit"
    return limit if limit and best.dose_ml >= doses[-1].dose_ml - _ROUNDING else ""
