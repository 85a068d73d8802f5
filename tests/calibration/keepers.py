"""Keepers of the same tank: one follows the advice, one doses by the last reading alone, and a third lets the advice
change water besides.

All read with a photometer every morning, may dose once, right after it, and change 20 L every week. The tank is drawn
from the prior; what the keepers do is carried out on the true water, with the errors of stock, syringe and instrument.
"""

import math
import multiprocessing
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray
from tests.calibration.tanks import Truth, Water, untreated_tank

from pratique import knowledge
from pratique.science.estimation.advice import Means, advise
from pratique.science.estimation.case import Band, Case, Change, Dose, Reading
from pratique.science.estimation.reading import Observed
from pratique.science.estimation.running import Running, append, running_from

type Array = NDArray[np.float64]

DAYS, COUNTED_FROM = 30, 5
TARGET, HARD_UPPER = Band(0.15, 0.20), 0.25
CHANGE_L, CHANGE_EVERY = 20.0, 7
MOST_EXTRA_L = 40.0
METHOD = "photometer"
STOCK_MG_PER_ML = 1.0
_DOSE_RELATIVE_SD = 0.03
_ROUNDING = 1e-9
# What a keeper's hands and instrument do is chance of its own, the same stream for both.
_OWN_CHANCE = 4_000_000_000


@dataclass(frozen=True)
class Kept:
    """One tank kept by one keeper, over the hours counted.

    `inside` is the part of hours from the lower target to the hard upper, `in_target` from the lower to the upper
    target.
    """

    inside: float
    in_target: float
    hours_below: float
    hours_above_hard: float


@dataclass(frozen=True)
class Pair:
    """The same tank kept each way; `with_changes` is None where nobody asked for the third."""

    seed: int
    advised: Kept
    by_last_reading: Kept
    with_changes: Kept | None = None


@dataclass(frozen=True)
class Done:
    """What a keeper does after the morning's reading: a dose, and water changed besides that of the week."""

    dose_ml: float
    extra_change_l: float = 0.0


type Keeper = Callable[[float, Observed, float], Done]


def pairs(seeds: Iterable[int], *, processes: int = 1, has_third: bool = False) -> list[Pair]:
    """Return every seed's tank kept both ways, or all three, none left out, in order."""
    keep = partial(pair, has_third=has_third)
    if processes == 1:
        return [keep(seed) for seed in seeds]
    with ProcessPoolExecutor(processes, multiprocessing.get_context("spawn")) as pool:
        return list(pool.map(keep, seeds, chunksize=5))


def pair(seed: int, *, has_third: bool = False) -> Pair:
    """Keep one tank each way."""
    case, truth = untreated_tank(seed)
    return Pair(
        seed,
        _kept(case, truth, FollowsAdvice(case), seed),
        _kept(case, truth, DosesByTheLastReading(case.volume.mean_l), seed),
        _kept(case, truth, FollowsAdvice(case, may_change_l=MOST_EXTRA_L), seed) if has_third else None,
    )


def _kept(case: Case, truth: Truth, keeper: Keeper, seed: int) -> Kept:
    """Return what comes of one keeper's month; `keeper` tells what to do after a reading."""
    water, levels = Water(np.random.default_rng(_OWN_CHANCE + seed), case, truth), []
    for day in range(DAYS):
        change_l = CHANGE_L if day and day % CHANGE_EVERY == 0 else 0.0
        water.wait_until(float(day))
        done = keeper(float(day), water.read_by(METHOD), change_l)
        for litres in (change_l, done.extra_change_l):
            if litres:
                water.take(Change(float(day), litres))
        water.take(_dose(float(day), done.dose_ml))
        for hour in range(24):
            water.wait_until(day + hour / 24.0)
            levels.append(water.level)
    return hours_judged(np.array(levels))


def hours_judged(levels: Array) -> Kept:
    """Return how the hours after the first days lie to the band."""
    levels = levels[COUNTED_FROM * 24 :]
    below, above = levels < TARGET.lower, levels > HARD_UPPER
    return Kept(
        float(np.mean(~below & ~above)),
        float(np.mean(~below & (levels <= TARGET.upper))),
        float(below.sum()),
        float(above.sum()),
    )


def _dose(day: float, dose_ml: float) -> Dose:
    return Dose(day, dose_ml * STOCK_MG_PER_ML, _DOSE_RELATIVE_SD)


class FollowsAdvice:
    """Takes in each reading, puts back what a change takes, and doses what is advised on top of it."""

    def __init__(self, case: Case, *, may_change_l: float = 0.0) -> None:
        self._begun, self._may_change_l = case, may_change_l
        self._running: Running | None = None
        self._step = knowledge.figure("copper.ramp_step_mg_per_l_per_day.ionic").value
        self._means = Means(
            strength_mg_per_ml=STOCK_MG_PER_ML,
            syringe_step_ml=knowledge.figure("dose.syringe_step_ml").value,
            dose_relative_sd=_DOSE_RELATIVE_SD,
            rise_left=self._step,
            hard_upper=HARD_UPPER,
            most_above_hard=knowledge.figure("reckoning.most_above_hard").value,
        )

    def __call__(self, day: float, seen: Observed, change_l: float) -> Done:
        """Return what is advised, a change of the week counted in."""
        now = self._read(day, seen)
        change = [Change(now.day, change_l)] if change_l else []
        deed = advise(
            now, TARGET, self._means, until_day=day + 1.0, may_change_l=self._may_change_l, planned=change
        ).deed
        extra = [Change(now.day, deed.change_l)] if deed.change_l else []
        self._running = append(now, day=now.day, events=[*change, *extra, _dose(now.day, deed.dose_ml)])
        return Done(deed.dose_ml, deed.change_l)

    def _read(self, day: float, seen: Observed) -> Running:
        if self._running is not None:
            return append(self._running, day=day, readings=[Reading(day, METHOD, seen)])
        # The volume counts from the first dose on: a case with one, of nothing, holds it open.
        return running_from(replace(self._begun, readings=(Reading(0.0, METHOD, seen),), events=(Dose(0.0, 0.0),)))


class DosesByTheLastReading:
    """Takes the last reading at its word and the volume as written: to the middle of the target within the step, and
    with a change what that takes by the same reading.
    """

    def __init__(self, volume_l: float) -> None:
        self._volume_l = volume_l
        self._step = knowledge.figure("copper.ramp_step_mg_per_l_per_day.ionic").value
        self._syringe_ml = knowledge.figure("dose.syringe_step_ml").value

    def __call__(self, _: float, seen: Observed, change_l: float) -> Done:
        """Return the dose."""
        level = seen.value if seen.value is not None else 0.5 * (seen.below or 0.0)
        rise = min(max(0.0, 0.5 * (TARGET.lower + TARGET.upper) - level), self._step)
        milligrams = rise * self._volume_l + level * change_l
        return Done(math.floor(milligrams / STOCK_MG_PER_ML / self._syringe_ml + _ROUNDING) * self._syringe_ml)
