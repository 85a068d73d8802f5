"""Appetite as hidden states: eating, hesitant, refusing, seen only through the five steps of each feed.

A day without a feed that was seen says nothing; how another food was taken says less than the usual one. Filter and
smoother are the forward and backward sums of Rabiner (1989), scaled day by day.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pratique.knowledge.appetite import appetite_figure

type Chances = NDArray[np.float64]

STATES = ("eating", "hesitant", "refusing")
EATING, HESITANT, REFUSING = 0, 1, 2
NOT_SEEN = -1


class DayFed(NamedTuple):
    """One feed on a whole day counted from the first; `step` is None where it was not seen."""

    day: int
    step: int | None
    is_other_food: bool = False


@dataclass(frozen=True)
class AppetiteModel:
    """Chances of the states: at the start, from day to day, and of each step in each state."""

    start: Chances
    change: Chances
    steps: Chances
    other_food: float

    @classmethod
    def shipped(cls) -> "AppetiteModel":
        """Return the model that `knowledge` ships."""
        return cls(
            start=np.array(appetite_figure("start").values),
            change=np.array([appetite_figure(f"from_{state}").values for state in STATES]),
            steps=np.array([appetite_figure(f"steps_{state}").values for state in STATES]),
            other_food=appetite_figure("other_food").values[0],
        )

    @property
    def steps_of_other_food(self) -> Chances:
        """Return the chances of each step for another food: partly those of a feed that says nothing."""
        even = np.full_like(self.steps, 1.0 / self.steps.shape[1])
        return np.asarray((1.0 - self.other_food) * self.steps + self.other_food * even, dtype=np.float64)


@dataclass(frozen=True)
class AppetiteStates:
    """What the feeds say, day by day (days × states).

    `began` is the chance that the spell of not eating which still lasts began on each day; it sums to the chance that
    the animal does not eat on the last day. `last_certain_meal` is None where no meal is sure enough.
    """

    filtered: Chances
    smoothed: Chances
    began: Chances
    log_likelihood: float
    last_certain_meal: int | None

    @property
    def now(self) -> dict[str, float]:
        """Return the chance of each state on the last day."""
        return {state: float(chance) for state, chance in zip(STATES, self.filtered[-1], strict=True)}


def appetite_states(
    feeds: Iterable[DayFed], *, days: int, certain_step: int = 3, model: AppetiteModel | None = None
) -> AppetiteStates:
    """Return the states over `days` days from the feeds; ValueError for no days or a feed outside them."""
    model = model or AppetiteModel.shipped()
    fed = list(feeds)
    if days < 1:
        raise ValueError("There must be at least one day to look at.")
    seen = seen_chances(fed, days=days, model=model)
    filtered, scales = filter_states(seen[None], model)
    smoothed = _smoothed(filtered[0], scales[0], seen, model)
    return AppetiteStates(
        filtered=filtered[0],
        smoothed=smoothed,
        began=_began(filtered[0], scales[0], seen, model),
        log_likelihood=float(np.log(scales[0]).sum()),
        last_certain_meal=_last_certain(fed, smoothed, certain_step),
    )


def seen_chances(feeds: Sequence[DayFed], *, days: int, model: AppetiteModel) -> Chances:
    """Return the chance of what was seen on each day in each state, days × states; 1 where nothing was seen."""
    for fed in feeds:
        if not 0 <= fed.day < days:
            raise ValueError(f"A feed on day {fed.day} lies outside the {days} days looked at.")
        if fed.step is not None and not 0 <= fed.step < model.steps.shape[1]:
            raise ValueError(f"A feed has a step from 0 to {model.steps.shape[1] - 1}, not {fed.step}.")
    shown = [(fed.day, fed.step, fed.is_other_food) for fed in feeds if fed.step is not None]
    seen = np.ones((days, len(STATES)))
    if shown:
        day, step, other = np.array(shown).T
        np.multiply.at(seen, day, np.stack([model.steps, model.steps_of_other_food])[other, :, step])
    return seen


def filter_states(seen: Chances, model: AppetiteModel) -> tuple[Chances, Chances]:
    """Return the chance of each state given all up to each day, and each day's likelihood, for many animals.

    `seen` is animals × days × states.
    """
    filtered, scales = np.empty_like(seen), np.empty(seen.shape[:2])
    ahead = np.broadcast_to(model.start, (seen.shape[0], len(STATES)))
    for day in range(seen.shape[1]):
        joint = ahead * seen[:, day]
        scales[:, day] = joint.sum(axis=1)
        filtered[:, day] = joint / scales[:, day, None]
        ahead = filtered[:, day] @ model.change
    return filtered, scales


def _smoothed(filtered: Chances, scales: Chances, seen: Chances, model: AppetiteModel) -> Chances:
    smoothed, back = np.empty_like(filtered), np.ones(len(STATES))
    smoothed[-1] = filtered[-1]
    for day in range(len(filtered) - 2, -1, -1):
        back = model.change @ (seen[day + 1] * back) / scales[day + 1]
        smoothed[day] = filtered[day] * back
    return smoothed


def _began(filtered: Chances, scales: Chances, seen: Chances, model: AppetiteModel) -> Chances:
    """Return the chance that it has not eaten from each day to the last, and ate the day before."""
    began, away = np.empty(len(filtered)), slice(HESITANT, None)
    rest = np.ones(len(STATES) - 1)
    for day in range(len(filtered) - 1, -1, -1):
        onward = seen[day, away] * rest / scales[day]
        before = model.start[away] if day == 0 else filtered[day - 1, EATING] * model.change[EATING, away]
        began[day] = before @ onward
        rest = model.change[away, away] @ onward
    return began


def _last_certain(feeds: Sequence[DayFed], smoothed: Chances, certain_step: int) -> int | None:
    sure = appetite_figure("sure_meal").values[0]
    days = [f.day for f in feeds if f.step is not None and f.step >= certain_step and smoothed[f.day, EATING] >= sure]
    return max(days, default=None)
