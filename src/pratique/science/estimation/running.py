"""A reckoning that goes on: one more entry is taken in without going over the year again.

What is carried is each node's filtered state and weight. That is exact where readings are plain; others enter once, at
what was predicted, as in the first pass of a full reckoning. The past is not smoothed anew.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Case, Event, Reading
from pratique.science.estimation.likelihood import NO_VARIANCE, log_likelihood, rows_of, site_of, tilted
from pratique.science.estimation.many_state import predict, seen_of, update
from pratique.science.estimation.marginal import PROBABILITIES, mixture_quantiles
from pratique.science.estimation.quadrature import Nodes, nodes_of
from pratique.science.estimation.script import STEP_WIDTH, script_of, write_steps
from pratique.science.estimation.state import columns_of, prior_of, walks_of
from pratique.science.estimation.validate import require_reckonable

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]

_NEGLIGIBLE = 1e-9


@dataclass(frozen=True)
class Running:
    """What is known at `day`: each node's weight, mean (node, state) and covariance, and the case that led here."""

    case: Case
    day: float
    losses: Array
    volumes: Array
    weights: Array
    means: Array
    covariances: Array

    @property
    def level(self) -> tuple[float, float]:
        """Return mean and sd of the level now."""
        mean = float(self.weights @ self.means[:, 0])
        variance = float(self.weights @ (self.covariances[:, 0, 0] + (self.means[:, 0] - mean) ** 2))
        return mean, float(np.sqrt(max(variance, 0.0)))

    @property
    def volume_mean(self) -> float:
        """Return the mean net volume, L."""
        return float(self.weights @ self.volumes)

    def level_quantiles(self) -> Array:
        """Return the quantiles of the level now, at PROBABILITIES."""
        means, variances = self.means[:, :1].copy(), self.covariances[:, :1, 0].copy()
        return mixture_quantiles(means, variances, self.weights, np.array(PROBABILITIES))[:, 0]


def running_from(case: Case, nodes: Nodes | None = None) -> Running:
    """Return where a whole case has led, at its end; `nodes` are those of the case where they were found already.

    Raises DomainError as `reckon` does.
    """
    if nodes is None:
        require_reckonable(case)
        nodes = nodes_of(case)
    held = np.flatnonzero(nodes.weights > _NEGLIGIBLE * nodes.weights.max())
    mean, covariance = prior_of(case)
    begun = Running(
        case,
        0.0,
        nodes.loss_per_day()[held],
        nodes.volume_l()[held],
        nodes.weights[held] / nodes.weights[held].sum(),
        np.repeat(mean[None], len(held), axis=0),
        np.repeat(covariance[None], len(held), axis=0),
    )
    return _taken(begun, case, columns=columns_of(case), sites=nodes.sites[held])


def append(running: Running, *, day: float, events: Sequence[Event] = (), readings: Sequence[Reading] = ()) -> Running:
    """Return the reckoning at `day` after some more events and readings, none of them before where it stood.

    Raises DomainError if one lies before it, or is by a method with a bias the case had not met.
    """
    if day < running.day or any(one.day < running.day or one.day > day for one in (*events, *readings)):
        raise DomainError("What is added must lie between where the reckoning stands and the new moment.")
    case = running.case
    longer = replace(case, span_days=day, events=(*case.events, *events), readings=(*case.readings, *readings))
    require_reckonable(longer)
    if prior_of(longer)[0].shape != prior_of(case)[0].shape:
        raise DomainError("A method whose bias is not known yet needs a full reckoning.")
    added = replace(longer, events=tuple(events), readings=tuple(readings))
    return replace(_taken(running, added, before=case.events, columns=columns_of(longer, readings)), case=longer)


def _taken(
    running: Running,
    added: Case,
    *,
    columns: Indices,
    before: Sequence[Event] = (),
    sites: Array | None = None,
) -> Running:
    """Return the reckoning taken over what was added, to the end; `sites` where they are known already."""
    script = script_of(added, np.array([added.span_days]), begins=running.day, before=before)
    means, covariances = running.means.copy(), running.covariances.copy()
    gained = np.zeros(len(running.weights))
    known = np.empty((0, 0, 2)) if sites is None else sites
    _take(
        script.code,
        script.what,
        script.reading_of,
        running.losses,
        running.volumes,
        walks_of(added),
        rows_of(added),
        columns,
        known,
        means,
        covariances,
        gained,
    )
    weights = running.weights if sites is not None else running.weights * np.exp(gained - gained.max())
    return replace(running, day=added.span_days, weights=weights / weights.sum(), means=means, covariances=covariances)


@njit(cache=True, error_model="numpy")
def _take(  # noqa: PLR0913, PLR0917 - a compiled loop takes plain arrays
    code: Indices,
    what: Array,
    reading_of: Indices,
    losses: Array,
    volumes: Array,
    walks: Array,
    rows: Array,
    columns: Indices,
    known: Array,
    means: Array,
    covariances: Array,
    gained: Array,
) -> None:
    """Take every node's state over the script, in place; `gained` is the log evidence each adds."""
    steps = np.empty((reading_of.shape[0], STEP_WIDTH))
    for node in range(losses.shape[0]):
        write_steps(code, what, losses[node], volumes[node], walks[0], walks[1], steps)
        mean, covariance = means[node], covariances[node]
        for n in range(reading_of.shape[0]):
            predict(steps[n], mean, covariance)
            number = reading_of[n]
            if number < 0:
                continue
            if known.shape[0] > 0:
                if known[node, number, 1] >= 0.0:
                    update(mean, covariance, columns[number], known[node, number, 0], known[node, number, 1])
                continue
            seen, variance, shared = seen_of(mean, covariance, columns[number])
            if variance <= NO_VARIANCE:
                # A level known exactly cannot learn; the reading is only weighed.
                gained[node] += log_likelihood(rows[number], seen, mean[0])
                continue
            log_z, new_mean, new_variance = tilted(rows[number], seen, variance, mean[0], shared / variance)
            gained[node] += log_z
            place, width = site_of(seen, variance, new_mean, new_variance)
            update(mean, covariance, columns[number], place, width)
