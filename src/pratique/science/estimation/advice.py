"""What to do now: the dose, or the water change, that keeps the time until the next reading likeliest inside the band.

Never beyond the daily step, never where the level might pass the hard upper limit, and only what a syringe can measure.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from pratique.knowledge.thresholds import figure
from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Band, Change, Dose, Event
from pratique.science.estimation.forecast import Ahead, ahead_of
from pratique.science.estimation.running import Running, running_from

type Array = NDArray[np.float64]

_ROUNDING = 1e-9
_SAME_CHANCE = 1e-3
_CANDIDATES = 12
_FINER = 4
_CHANGE_PARTS = (0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5)
_NEGLIGIBLE = 1e-5
_LEAST_WIDTH = 1e-6
_LEAST_PART = 1e-12


@dataclass(frozen=True)
class Means:
    """What a keeper has to act with, and how far it may go.

    `rise_left` is what is left of the daily step, in the level's unit; `most_above_hard` the greatest chance taken of
    passing `hard_upper`; a syringe measures whole steps of `syringe_step_ml`. `above_target_cost` is what an hour
    between the target and the hard limit costs, where an hour outside both costs 1: aim inside the target, yet rather
    a little high than to lose the days held.
    """

    strength_mg_per_ml: float
    syringe_step_ml: float
    dose_relative_sd: float
    rise_left: float
    hard_upper: float
    most_above_hard: float
    above_target_cost: float = field(default_factory=lambda: figure("advice.above_target_cost").value)


@dataclass(frozen=True)
class Deed:
    """One thing to do now, with what it leads to until the next reading.

    `inside` is the part of the time to be expected from the lower target to the hard upper limit, `in_target` from the
    lower to the upper target; `above_hard` the chance of lying above the hard limit when that is greatest.
    """

    dose_ml: float
    dose_mg: float
    change_l: float
    inside: float
    in_target: float
    above_hard: float
    level_after: float
    level_after_sd: float


@dataclass(frozen=True)
class Advice:
    """The best deed, beside doing nothing, and what held it back: nothing, the step, the limit, or the syringe."""

    deed: Deed
    nothing: Deed
    held_back_by: str


def advise(
    running: Running,
    band: Band,
    means: Means,
    *,
    until_day: float,
    may_change_l: float = 0.0,
    planned: Sequence[Event] = (),
) -> Advice:
    """Return what keeps the level likeliest inside the band from now until `until_day`.

    `band` is the target; `may_change_l` the largest water change to think of, where a level is too high. `planned` is
    what is done until then in any case: `nothing` is what comes of that alone, and beyond the daily step a dose may put
    back what a change now takes, as far as that is wanted.
    Raises DomainError for a stock without strength, or an end that lies before now.
    """
    if not (means.strength_mg_per_ml > 0.0 and means.syringe_step_ml > 0.0):
        raise DomainError("The strength of a stock and the step of a syringe must be above 0.")
    outlook = _Outlook(_with_open_volume(running), band, means, until_day, planned)
    nothing = outlook.dosed(0.0)
    most_ml, limit = outlook.most_ml()
    doses = outlook.doses(most_ml)
    safe = [deed for deed in doses if deed.above_hard <= means.most_above_hard]
    changes = [outlook.changed(part * may_change_l) for part in _CHANGE_PARTS if may_change_l > 0.0]
    best = max([nothing, *safe, *changes], key=outlook.worth)
    return Advice(best, nothing, _held_back(best, outlook, doses, most_ml, limit))


class _Outlook:
    """What every dose would lead to: a node's mean is linear in the dose and its variance quadratic, so three
    forecasts tell them all. The first is of the least dose: in new water any dose at all wakes the source.
    """

    def __init__(self, running: Running, band: Band, means: Means, until_day: float, planned: Sequence[Event]) -> None:
        self._running, self._band, self._means = running, band, means
        self._until_day, self._planned = until_day, tuple(planned)
        self._litres = running.volume_mean
        self._unit_mg = max(band.upper - band.lower, _LEAST_WIDTH) * self._litres
        self._none = self._ahead([])
        least, one, two = (self._ahead([self._dose(times * self._unit_mg)]) for times in (_LEAST_PART, 1.0, 2.0))
        self._least = least
        self._slope = one.means - least.means
        self._curve = 0.5 * (two.variances - 2.0 * one.variances + least.variances)
        self._tilt = one.variances - least.variances - self._curve

    @property
    def syringe_step_ml(self) -> float:
        """Return the least that can be measured, mL."""
        return self._means.syringe_step_ml

    def worth(self, deed: Deed) -> tuple[float, float, float, float]:
        """Return what a deed is chosen by: the time inside, less what time above the target costs; then how near the
        band it leads, then how little it is. Where the band lies further than one step, the way there begins with one.
        """
        gap = max(0.0, self._band.lower - deed.level_after, deed.level_after - self._band.upper)
        return round(self._value(deed) / _SAME_CHANCE) * _SAME_CHANCE, -gap, -deed.dose_ml, -deed.change_l

    def is_better(self, deed: Deed, other: Deed) -> bool:
        """Return whether one deed is worth more than another by more than can be told apart."""
        return self._value(deed) > self._value(other) + _SAME_CHANCE

    def _value(self, deed: Deed) -> float:
        return deed.inside - self._means.above_target_cost * (deed.inside - deed.in_target)

    def most_ml(self) -> tuple[float, str]:
        """Return the most that may be thought of: to the top of the band from the least it may hold, or the step."""
        before, _ = self._running.level
        level, sd = float(self._none.mean[0]), float(self._none.sd[0])
        wanted = max(0.0, self._band.upper - (level - 2.0 * sd))
        allowed = max(0.0, self._means.rise_left) + max(0.0, before - level)
        rise = min(wanted, allowed)
        return rise * self._litres / self._means.strength_mg_per_ml, "the daily step" if allowed < wanted else ""

    def doses(self, most_ml: float) -> list[Deed]:
        """Return what the amounts to think of lead to: whole steps of the syringe, ever finer about the best."""
        step = self._means.syringe_step_ml
        steps = math.floor(most_ml / step + _ROUNDING)
        stride = max(1, math.ceil(steps / _CANDIDATES))
        wanted = {*range(stride, steps + 1, stride), steps} - {0}
        found: dict[int, Deed] = {}
        while True:
            found |= {number: self.dosed(number * step) for number in wanted if number not in found}
            safe = [number for number, deed in found.items() if deed.above_hard <= self._means.most_above_hard]
            if stride == 1 or not found:
                return [found[number] for number in sorted(found)]
            near = max(safe, key=lambda number: self.worth(found[number])) if safe else 0
            finer = math.ceil(stride / _FINER)
            wanted = {number for number in range(near - stride, near + stride + 1, finer) if 0 < number <= steps}
            stride = finer

    def dosed(self, dose_ml: float) -> Deed:
        """Return what a dose leads to."""
        milligrams = dose_ml * self._means.strength_mg_per_ml
        part, least = milligrams / self._unit_mg, self._least
        variances = least.variances + part * self._tilt + part * part * self._curve
        ahead = replace(least, means=least.means + part * self._slope, variances=variances) if part else self._none
        return self._deed(ahead, dose_ml=dose_ml, dose_mg=milligrams, change_l=0.0)

    def changed(self, change_l: float) -> Deed:
        """Return what a change with clean water leads to."""
        return self._deed(
            self._ahead([Change(self._running.day, change_l)]), dose_ml=0.0, dose_mg=0.0, change_l=change_l
        )

    def _dose(self, milligrams: float) -> Dose:
        return Dose(self._running.day, milligrams, self._means.dose_relative_sd)

    def _ahead(self, events: Iterable[Event]) -> Ahead:
        return ahead_of(self._running, until_day=self._until_day, events=(*self._planned, *events))

    def _deed(self, ahead: Ahead, *, dose_ml: float, dose_mg: float, change_l: float) -> Deed:
        below = ahead.probability_below(self._band.lower)
        above = 1.0 - ahead.probability_below(self._means.hard_upper)
        return Deed(
            dose_ml,
            dose_mg,
            change_l,
            inside=float(np.mean(np.clip(1.0 - below - above, 0.0, 1.0))),
            in_target=float(np.mean(np.clip(ahead.probability_below(self._band.upper) - below, 0.0, 1.0))),
            above_hard=float(np.max(above)),
            level_after=float(ahead.mean[0]),
            level_after_sd=float(ahead.sd[0]),
        )


def _with_open_volume(running: Running) -> Running:
    """Return the reckoning with its volume as uncertain as it is believed, also where nothing was dosed or changed yet,
    and without nodes that weigh nothing.
    """
    case = running.case
    if not case.needs_volume and case.volume.sd_l > 0.0:
        running = running_from(replace(case, events=(*case.events, Dose(case.span_days, 0.0))))
    held = np.flatnonzero(running.weights > _NEGLIGIBLE * running.weights.max())
    return replace(
        running,
        losses=running.losses[held],
        volumes=running.volumes[held],
        weights=running.weights[held] / running.weights[held].sum(),
        means=running.means[held],
        covariances=running.covariances[held],
    )


def next_reading_day(ahead: Ahead, band: Band, *, least_inside: float, soonest: float, latest: float) -> float:
    """Return the day at which the forecast becomes too wide: the chance of being inside the band falls under a figure.

    `soonest` and `latest` are days between which to read, whatever the forecast says.
    """
    inside = ahead.probability_within(band.lower, band.upper)
    wide = ahead.days[(inside < least_inside) & (ahead.days >= soonest)]
    return float(min(latest, wide[0])) if len(wide) else latest


def _held_back(best: Deed, outlook: _Outlook, doses: Sequence[Deed], most_ml: float, limit: str) -> str:
    step = outlook.syringe_step_ml
    if not doses:
        return "the syringe" if 0.0 < most_ml < step else limit
    if any(outlook.is_better(deed, best) for deed in doses):
        return "the hard limit"
    return limit if limit and best.dose_ml >= doses[-1].dose_ml - _ROUNDING else ""
