"""When to raise the alarm over an animal that stops eating, and what the alarm is worth on simulated animals."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.knowledge.appetite import appetite_figure
from pratique.science.health.appetite_states import (
    EATING,
    NOT_SEEN,
    REFUSING,
    STATES,
    AppetiteModel,
    AppetiteStates,
    Chances,
    filter_states,
)

NEVER = -1


@dataclass(frozen=True)
class Simulated:
    """Many animals fed once a day: the step of each feed (−1 not seen) and whether it was another food."""

    steps: NDArray[np.int64]
    is_other_food: NDArray[np.bool_]


def is_alarming(states: AppetiteStates) -> bool:
    """Return whether refusing is likely enough, on the last day, for the alarm that `knowledge` sets."""
    return bool(states.filtered[-1, REFUSING] >= appetite_figure("alarm").values[0])


def simulated(  # noqa: PLR0913
    model: AppetiteModel,
    *,
    animals: int,
    days: int,
    seed: int,
    stops_on: int | None = None,
    not_seen: float = 0.15,
    other_food: float = 0.20,
) -> Simulated:
    """Return animals that eat or hesitate by the model and, from `stops_on`, refuse for good (never where None)."""
    random = np.random.default_rng(seed)
    change = model.change[:REFUSING, :REFUSING]
    change = change / change.sum(axis=1, keepdims=True)
    state = np.full(animals, EATING)
    steps, other = np.empty((animals, days), dtype=np.int64), random.random((animals, days)) < other_food
    for day in range(days):
        if day:
            state = np.where(random.random(animals) < change[np.minimum(state, 1), EATING], 0, 1)
        if stops_on is not None and day >= stops_on:
            state = np.full(animals, REFUSING)
        chances = np.where(other[:, day, None], model.steps_of_other_food[state], model.steps[state])
        drawn = random.random(animals)[:, None] > chances.cumsum(axis=1)[:, :-1]
        steps[:, day] = np.where(random.random(animals) < not_seen, NOT_SEEN, drawn.sum(axis=1))
    return Simulated(steps, other)


def chance_refusing(fed: Simulated, model: AppetiteModel) -> Chances:
    """Return the chance of refusing given all up to each day, animals × days."""
    usual, other = model.steps.T[fed.steps], model.steps_of_other_food.T[fed.steps]
    seen = np.where(fed.is_other_food[:, :, None], other, usual)
    seen = np.where((fed.steps == NOT_SEEN)[:, :, None], np.ones(len(STATES)), seen)
    return filter_states(seen, model)[0][:, :, REFUSING]


def missed_in_row(fed: Simulated, *, refusing_step: int = 1) -> NDArray[np.int64]:
    """Return how many seen feeds in a row, up to each day, were at or under the step, animals × days."""
    run, runs = np.zeros(len(fed.steps), dtype=np.int64), np.empty_like(fed.steps)
    for day in range(fed.steps.shape[1]):
        step = fed.steps[:, day]
        run = np.where(step == NOT_SEEN, run, np.where(step <= refusing_step, run + 1, 0))
        runs[:, day] = run
    return runs


def first_day(is_over: NDArray[np.bool_], *, after: int = 0) -> NDArray[np.int64]:
    """Return the first day from `after` on which each animal is over the limit, −1 where it never is."""
    late = is_over[:, after:]
    return np.where(late.any(axis=1), late.argmax(axis=1) + after, NEVER)
