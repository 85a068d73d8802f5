"""The adaptive grid over loss and volume: found coarsely, drawn in to where the posterior lives, then refined."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.beliefs import Axis, loss_axis, volume_axis
from pratique.science.estimation.case import Case
from pratique.science.estimation.likelihood import INTERVAL, rows_of
from pratique.science.estimation.nodes import explain
from pratique.science.estimation.script import Script, script_of
from pratique.science.estimation.state import columns_of, prior_of, walks_of

type Array = NDArray[np.float64]

UNEXPLAINED = (
    "Nothing believed beforehand explains these readings: look for a wrong reading, an entry that was never written, "
    "or a volume that is far off."
)
_COARSE = 11
_FINE = 17
_FINE_ALONE = 33
_TURNS = 6
_SDS = 4.8
_SWEEPS = 3
_CLOSE = 0.15


@dataclass(frozen=True)
class Nodes:
    """A grid of loss × volume with each node's posterior weight, its sites, and what those leave out."""

    loss: Axis
    volume: Axis
    loss_x: Array
    volume_x: Array
    weights: Array
    sites: Array
    corrections: Array
    log_evidence: float

    def loss_per_day(self) -> Array:
        """Return the loss at every node, flat."""
        return np.repeat(self.loss.values(self.loss_x), len(self.volume_x))

    def volume_l(self) -> Array:
        """Return the volume at every node, flat."""
        return np.tile(self.volume.values(self.volume_x), len(self.loss_x))


def nodes_of(case: Case) -> Nodes:
    """Return the grid on which the posterior of loss and volume lies.

    Raises DomainError if nothing believed beforehand explains the readings.
    """
    search = _Search(case)
    loss_x, volume_x = _axis_of(search.loss, _COARSE, None), _axis_of(search.volume, _COARSE, None)
    for _ in range(_TURNS):
        joint = search.log_joint(loss_x, volume_x, sweeps=0)
        loss_range = _drawn_in(search.loss, loss_x, _profile(joint, axis=1))
        volume_range = _drawn_in(search.volume, volume_x, _profile(joint, axis=0))
        is_settled = _is_settled(loss_x, loss_range) and _is_settled(volume_x, volume_range)
        loss_x, volume_x = _axis_of(search.loss, _COARSE, loss_range), _axis_of(search.volume, _COARSE, volume_range)
        if is_settled:
            break
    is_single = not (search.loss.is_open and search.volume.is_open)
    count = _FINE_ALONE if is_single else _FINE
    loss_x, volume_x = _axis_of(search.loss, count, _ends(loss_x)), _axis_of(search.volume, count, _ends(volume_x))
    joint = search.log_joint(loss_x, volume_x, sweeps=_SWEEPS)
    top = joint.max()
    weights = np.exp(joint - top)
    cell = _cell(loss_x) * _cell(volume_x)
    return Nodes(
        search.loss,
        search.volume,
        loss_x,
        volume_x,
        (weights / weights.sum()).ravel(),
        search.sites,
        search.corrections,
        float(top + np.log(weights.sum() * cell)),
    )


class _Search:
    """A case made ready to be explained at any set of nodes."""

    def __init__(self, case: Case) -> None:
        self.loss, self.volume = loss_axis(case), volume_axis(case)
        self._script: Script = script_of(case, np.empty(0))
        self._rows, self._columns = rows_of(case), columns_of(case)
        self._prior, self._walks = prior_of(case), walks_of(case)
        self._is_exact = bool(np.all((self._rows[:, 0] != INTERVAL) & (self._rows[:, 4] == 0.0)))
        self.sites: Array = np.empty((0, 0, 2))
        self.corrections: Array = np.empty(0)

    def log_joint(self, loss_x: Array, volume_x: Array, *, sweeps: int) -> Array:
        """Return log prior × evidence (loss, volume); the sites stay with the search."""
        losses = np.repeat(self.loss.values(loss_x), len(volume_x))
        volumes = np.tile(self.volume.values(volume_x), len(loss_x))
        self.sites = np.empty((len(losses), len(self._rows), 2))
        self.corrections = np.zeros(len(losses))
        evidence = explain(
            self._script.code,
            self._script.what,
            losses,
            volumes,
            self._walks,
            self._rows,
            self._columns,
            *self._prior,
            0 if self._is_exact else sweeps,
            self.sites,
            self.corrections,
        )
        prior = self.loss.log_density(loss_x)[:, None] + self.volume.log_density(volume_x)[None, :]
        joint: Array = prior + evidence.reshape(prior.shape)
        if not np.isfinite(joint.max()):
            raise DomainError(UNEXPLAINED)
        return np.where(np.isnan(joint), -np.inf, joint)


def _profile(joint: Array, *, axis: int) -> Array:
    """Return the posterior of one unknown, summed over the other."""
    weights: Array = np.exp(joint - joint.max()).sum(axis=axis)
    return weights / weights.sum()


def _axis_of(axis: Axis, count: int, ends: tuple[float, float] | None) -> Array:
    if not axis.is_open:
        return np.array([axis.mean])
    start, end = ends if ends is not None else axis.span()
    return np.linspace(start, end, count)


def _ends(x: Array) -> tuple[float, float]:
    return float(x[0]), float(x[-1])


def _cell(x: Array) -> float:
    return float(x[1] - x[0]) if len(x) > 1 else 1.0


def _drawn_in(axis: Axis, x: Array, weights: Array) -> tuple[float, float]:
    """Return the range some sds about the mean, never beyond the prior's; a step is the least sd that can be seen."""
    if not axis.is_open:
        return axis.mean, axis.mean
    mean = float(weights @ x)
    sd = max(float(np.sqrt(weights @ (x - mean) ** 2)), 0.5 * _cell(x))
    low, high = axis.span()
    # A long tail keeps its nodes: as far as anything weighs.
    held = x[weights > 1e-7]
    start = min(mean - _SDS * sd, float(held[0]))
    end = max(mean + _SDS * sd, float(held[-1]))
    return max(low, start), min(high, end)


def _is_settled(x: Array, ends: tuple[float, float]) -> bool:
    if len(x) == 1:
        # A known loss of 0 stands at minus infinity of its logarithm: nothing to compare there.
        return True
    width = float(x[-1] - x[0])
    return max(abs(ends[0] - float(x[0])), abs(ends[1] - float(x[-1]))) <= _CLOSE * width
