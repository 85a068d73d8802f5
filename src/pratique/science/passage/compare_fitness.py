"""How a passage wears an animal: the weight it loses by fasting, moves and medicine, and what recovery gives back.

Of an animal that stays free of disease: what a parasite takes is not in it. Days of little appetite cost weight, days
of full appetite give some back until it is well fed; weight is told against that of a well-fed one of its length.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pratique.knowledge.passages_ahead import expectation
from pratique.science.chemistry.domain import DomainError
from pratique.science.health.parasites.hazard import STEPS_PER_DAY
from pratique.science.passage.compare_days import (
    cleared_on,
    copper_of,
    doses_of,
    handled_on,
    low_salinity_of,
    medicated,
)
from pratique.science.passage.legs import Plan, PlannedCourse

type Array = NDArray[np.float64]

_STEP = 1.0 / STEPS_PER_DAY
_LAG = 1e-6


@dataclass(frozen=True)
class Borne:
    """One kind of animal: its part lost in a day of fasting at rest, and how it takes copper."""

    fasting_loss_per_day: float
    copper_caution: Literal["low", "medium", "high"]


@dataclass(frozen=True)
class Fitness:
    """At the end of each day from day 0 on: weight over a well-fed one's (median, and 90 % range), chance to be fit.

    `appetite` is the mean appetite at the end of each day, `cleared` the place of the day of clearance.
    """

    days: Array
    weight: Array
    low: Array
    high: Array
    appetite: Array
    p_fit: Array
    cleared: int

    @property
    def fit(self) -> float:
        """Return the chance to be fit at clearance."""
        return float(self.p_fit[self.cleared])

    @property
    def weight_then(self) -> tuple[float, float, float]:
        """Return the weight at clearance with its 90 % range."""
        place = self.cleared
        return float(self.weight[place]), float(self.low[place]), float(self.high[place])

    @property
    def lowest(self) -> float:
        """Return the lowest median weight until clearance."""
        return float(self.weight[: self.cleared + 1].min())

    def fit_from(self, chance: float) -> float | None:
        """Return the first day from which on it is fit with a chance; None where that is not within the days."""
        short = np.nonzero(self.p_fit < chance)[0]
        after = 0 if len(short) == 0 else int(short[-1]) + 1
        return float(self.days[after]) if after < len(self.days) else None


class _Draws:
    """Draws of the expectations: triangular between what is believed at the least, the likeliest and the most."""

    def __init__(self, count: int, seed: int) -> None:
        self._count, self._random = count, np.random.default_rng(seed)

    def __call__(self, key: str) -> Array:
        told = expectation(key)
        # The same draws are taken whether or not a figure spreads, so that passages can be compared draw by draw.
        even = self._random.random(self._count)
        span = told.high - told.low
        if span <= 0.0:
            return np.full(self._count, told.value)
        turn = (told.value - told.low) / span
        rising = told.low + span * np.sqrt(even * turn)
        falling = told.high - span * np.sqrt((1.0 - even) * (1.0 - turn))
        return np.where(even < turn, rising, falling)


def fitness_of(plan: Plan, borne: Borne, *, draws: int = 1000, seed: int = 0, more_days: float = 0.0) -> Fitness:
    """Return how an animal comes through a passage, day by day until clearance, and for more days of recovery.

    The same seed gives the same animals in every passage. Raises DomainError for a loss that is no part of the weight.
    """
    if not 0.0 < borne.fasting_loss_per_day < 1.0:
        raise DomainError("What is lost in a day of fasting must be a part of the weight, between 0 and 1.")
    drawn = _Draws(draws, seed)
    cleared = cleared_on(plan)
    end = cleared + more_days
    at = np.arange(int(np.ceil(end * STEPS_PER_DAY - _LAG)) + 1, dtype=np.float64) * _STEP
    appetite = _appetite(plan, borne, at, drawn)
    weight = _weight(plan, borne, at, appetite, drawn)
    is_fit = _is_fit(plan, at, appetite, weight)
    ends = slice(None, None, STEPS_PER_DAY)
    low, middle, high = np.quantile(weight[:, ends], (0.05, 0.5, 0.95), axis=0)
    return Fitness(
        days=at[ends],
        weight=middle,
        low=low,
        high=high,
        appetite=appetite[:, ends].mean(axis=0),
        p_fit=is_fit[:, ends].mean(axis=0),
        cleared=int(cleared + _LAG),
    )


def _appetite(plan: Plan, borne: Borne, at: Array, drawn: _Draws) -> Array:
    """Return (draws, moments) appetite as a part of its own full one; what lowers it at once is multiplied."""
    found = np.where(at[None, :] < drawn("arrival.days_off_food")[:, None], 0.0, 1.0)
    found = found * _under_copper(plan, borne, at, drawn)
    for days, part, lasting in (
        (handled_on(plan), "appetite.moved", "appetite.moved_days"),
        (doses_of(plan), "appetite.bath", "appetite.bath_days"),
    ):
        least, length = drawn(part)[:, None], drawn(lasting)[:, None]
        for day in days:
            is_then = (at[None, :] >= day) & (at[None, :] < day + length)
            found = np.where(is_then, found * least, found)
    least = drawn("appetite.low_salinity")[:, None]
    for begins, until in low_salinity_of(plan):
        found = np.where((at >= begins) & (at < until), found * least, found)
    return np.asarray(found, dtype=np.float64)


def _under_copper(plan: Plan, borne: Borne, at: Array, drawn: _Draws) -> Array:
    """Return appetite under copper and after it: down for two weeks, then back by itself or once it is out."""
    least = drawn(f"appetite.copper.{borne.copper_caution}")[:, None]
    begins, back = drawn("appetite.copper_back_begins")[:, None], drawn("appetite.copper_back")[:, None]
    after = drawn("appetite.after_copper_days")[:, None]
    found = np.ones((len(least), len(at)))
    for one in copper_of(plan):
        day = np.minimum(at, one.ends) - one.starts
        falls = np.clip(day / max(one.at_target_from - one.starts, _STEP), 0.0, 1.0)
        comes_back = np.clip((day - begins) / (back - begins), 0.0, 1.0)
        fading = np.clip(1.0 - (at - one.ends) / after, 0.0, 1.0)
        found = found * (1.0 - (1.0 - least) * falls * (1.0 - comes_back) * fading)
    return found


def _is_in(at: Array, courses: Iterable[PlannedCourse]) -> NDArray[np.bool_]:
    found = np.zeros(len(at), bool)
    for one in courses:
        found |= (at >= one.starts) & (at < one.ends)
    return found


def _weight(plan: Plan, borne: Borne, at: Array, appetite: Array, drawn: _Draws) -> Array:
    """Return (draws, moments) weight over that of a well-fed animal of the same length."""
    loss = borne.fasting_loss_per_day * drawn("fasting.part_of_resting_loss")
    gain, slowed = loss * drawn("regain.part_of_fasting_loss"), drawn("regain.part_under_copper")
    spare = drawn("appetite.full_over_maintenance") - 1.0
    is_copper = _is_in(at, copper_of(plan))
    weight = np.empty_like(appetite)
    weight[:, 0] = np.exp(-loss * drawn("arrival.days_unfed"))
    for step in range(1, len(at)):
        # Food beyond what keeps the weight: below 0 the body is burnt, up to 1 at full appetite some is regained.
        over = appetite[:, step - 1] * (1.0 + spare) - 1.0
        regained = gain * (slowed if is_copper[step - 1] else 1.0) * over / spare
        change = np.where(over < 0.0, loss * over, regained)
        weight[:, step] = np.minimum(weight[:, step - 1] * np.exp(change * _STEP), 1.0)
    return weight


def _is_fit(plan: Plan, at: Array, appetite: Array, weight: Array) -> NDArray[np.bool_]:
    """Return (draws, moments) whether it weighs enough, has eaten for days, and is rested from moves and medicine."""
    days_eating = expectation("fit.days_eating").value
    eats = appetite >= expectation("fit.least_appetite").value
    poor = np.where(eats, -np.inf, at[None, :])
    has_eaten = at[None, :] - np.maximum.accumulate(poor, axis=1) >= days_eating - _LAG
    # Nothing is known of its meals before it came: the days count from arrival.
    has_eaten &= at >= days_eating - _LAG
    return (weight >= expectation("fit.least_weight").value) & has_eaten & _is_rested(plan, at)


def _is_rested(plan: Plan, at: Array) -> NDArray[np.bool_]:
    """Return whether no move and no medicine was in the days before; a release itself does not count against it."""
    rest = expectation("fit.rest_days").value
    found = np.ones(len(at), bool)
    for day in (0.0, *handled_on(plan)):
        found &= ~((at > day) & (at < day + rest - _LAG))
    for begins, until in (*medicated(plan), *low_salinity_of(plan)):
        found &= ~((at >= begins) & (at < until + rest - _LAG))
    return found
