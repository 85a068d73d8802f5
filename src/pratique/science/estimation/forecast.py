"""What comes next: the level over the days ahead with the doses and changes that are planned, and when it crosses."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Event
from pratique.science.estimation.exposure import Chance
from pratique.science.estimation.many_state import copy_into, predict
from pratique.science.estimation.marginal import PROBABILITIES, mixture_quantiles
from pratique.science.estimation.running import Running
from pratique.science.estimation.script import STEP_WIDTH, script_of, write_steps
from pratique.science.estimation.state import walks_of

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]

_HOURS_PER_DAY = 24.0


@dataclass(frozen=True)
class Ahead:
    """Each node's level over the days ahead (node, day), and the nodes' weights."""

    days: Array
    weights: Array
    means: Array
    variances: Array

    @property
    def mean(self) -> Array:
        """Return the mean level at each day."""
        mean: Array = self.weights @ self.means
        return mean

    @property
    def sd(self) -> Array:
        """Return the sd of the level at each day."""
        variance = self.weights @ (self.variances + (self.means - self.mean) ** 2)
        return np.sqrt(np.maximum(variance, 0.0))

    def quantiles(self) -> Array:
        """Return the quantiles (probability, day) at PROBABILITIES."""
        return mixture_quantiles(self.means, self.variances, self.weights, np.array(PROBABILITIES))

    def probability_below(self, level: float) -> Array:
        """Return P(level below a figure) at each day."""
        from scipy.special import ndtr  # noqa: PLC0415 - a heavy import, used once a forecast

        sds = np.sqrt(np.maximum(self.variances, 1e-300))
        below: Array = self.weights @ ndtr((level - self.means) / sds)
        return below

    def probability_within(self, lower: float, upper: float) -> Array:
        """Return P(lower <= level <= upper) at each day."""
        return np.clip(self.probability_below(upper) - self.probability_below(lower), 0.0, 1.0)


@dataclass(frozen=True)
class Crossing:
    """Whether and when a limit will be crossed: the chance by each day, and the median day where it is likelier
    than not.
    """

    days: Array
    probability_by: Array
    by_the_end: Chance
    median_day: float | None


def ahead_of(running: Running, *, until_day: float, events: Sequence[Event] = (), grid_hours: float = 1.0) -> Ahead:
    """Return the level from where a reckoning stands to `until_day`, with events planned in between.

    Raises DomainError if the end, or an event, lies before where it stands.
    """
    _require_ahead(running, until_day, events)
    step = grid_hours / _HOURS_PER_DAY
    count = max(1, round((until_day - running.day) / step))
    days = np.linspace(running.day, until_day, count + 1)
    planned = replace(running.case, span_days=until_day, events=tuple(events), readings=())
    script = script_of(planned, days, begins=running.day, before=running.case.events)
    means = np.empty((len(running.weights), len(days)))
    variances = np.empty_like(means)
    _project(
        script.code,
        script.what,
        running.losses,
        running.volumes,
        walks_of(planned),
        running.means,
        running.covariances,
        means,
        variances,
    )
    return Ahead(days, running.weights, means, variances)


def _require_ahead(running: Running, until_day: float, events: Sequence[Event]) -> None:
    if until_day <= running.day or any(not running.day <= event.day <= until_day for event in events):
        raise DomainError("A forecast, and what is planned in it, must lie after where the reckoning stands.")


@njit(cache=True, error_model="numpy")
def _project(  # noqa: PLR0913, PLR0917 - a compiled loop takes plain arrays
    code: Indices,
    what: Array,
    losses: Array,
    volumes: Array,
    walks: Array,
    begun_means: Array,
    begun_covariances: Array,
    means: Array,
    variances: Array,
) -> None:
    """Fill each node's level at every stop."""
    stops, size = means.shape[1], begun_means.shape[1]
    steps, mean, covariance = np.empty((stops, STEP_WIDTH)), np.empty(size), np.empty((size, size))
    for node in range(losses.shape[0]):
        write_steps(code, what, losses[node], volumes[node], walks[0], walks[1], steps)
        copy_into(begun_means[node], begun_covariances[node], mean, covariance)
        for n in range(stops):
            predict(steps[n], mean, covariance)
            means[node, n], variances[node, n] = mean[0], covariance[0, 0]


def crossing_of(  # noqa: PLR0913 - a forecast, a limit and how to draw
    running: Running,
    *,
    limit: float,
    upwards: bool,
    until_day: float,
    events: Sequence[Event] = (),
    grid_hours: float = 1.0,
    draws: int = 2000,
    seed: int = 0,
) -> Crossing:
    """Return when a level will cross a limit, by trajectories, so that a crossing between two days counts.

    Raises DomainError as `ahead_of` does.
    """
    _require_ahead(running, until_day, events)
    step = grid_hours / _HOURS_PER_DAY
    count = max(1, round((until_day - running.day) / step))
    days = np.linspace(running.day, until_day, count + 1)
    planned = replace(running.case, span_days=until_day, events=tuple(events), readings=())
    script = script_of(planned, days, begins=running.day, before=running.case.events)
    rng = np.random.default_rng(seed)
    node_of = rng.choice(len(running.weights), size=draws, p=running.weights)
    starts = np.empty((draws, running.means.shape[1]))
    for node in np.unique(node_of):
        which = node_of == node
        starts[which] = rng.multivariate_normal(
            running.means[node], running.covariances[node], size=int(which.sum()), method="eigh", check_valid="ignore"
        )
    levels = np.empty((draws, len(days)))
    order = np.argsort(node_of, kind="stable").astype(np.int64)
    _walk(
        script.code,
        script.what,
        running.losses,
        running.volumes,
        walks_of(planned),
        node_of[order].astype(np.int64),
        starts[order],
        rng,
        levels,
    )
    over = levels > limit if upwards else levels < limit
    crossed = np.logical_or.accumulate(over, axis=1)
    by = crossed.mean(axis=0)
    value = float(by[-1])
    median = float(days[int(np.argmax(by >= 0.5))]) if value >= 0.5 else None
    return Crossing(days, by, Chance(value, float(np.sqrt(value * (1.0 - value) / draws))), median)


@njit(cache=True, error_model="numpy")
def _walk(  # noqa: PLR0913, PLR0917 - a compiled loop takes plain arrays
    code: Indices,
    what: Array,
    losses: Array,
    volumes: Array,
    walks: Array,
    node_of: Indices,
    starts: Array,
    normals: np.random.Generator,
    levels: Array,
) -> None:
    """Fill one path of the level per start; the starts stand in the order of their nodes."""
    stops, size = levels.shape[1], starts.shape[1]
    steps = np.empty((stops, STEP_WIDTH))
    last = -1
    for number in range(node_of.shape[0]):
        node = node_of[number]
        if node != last:
            write_steps(code, what, losses[node], volumes[node], walks[0], walks[1], steps)
            last = node
        level, source = starts[number, 0], starts[number, 1]
        for n in range(stops):
            level = steps[n, 0] * level + steps[n, 1] * source + steps[n, 3]
            if size > 2:
                level += steps[n, 2] * starts[number, 2]
            source = steps[n, 7] * source + steps[n, 8]
            own = np.sqrt(max(steps[n, 4], 0.0))
            shared = steps[n, 5] / own if own > 0.0 else 0.0
            if own > 0.0:
                first = normals.standard_normal()
                level += own * first
                source += shared * first
            rest = steps[n, 6] - shared * shared
            if rest > 0.0:
                source += np.sqrt(rest) * normals.standard_normal()
            levels[number, n] = level
