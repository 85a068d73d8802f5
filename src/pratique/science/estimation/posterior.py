"""The reckoning of one case: what is in the water at every hour, and how sure that is."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Case
from pratique.science.estimation.draws import Draws, draw, shares
from pratique.science.estimation.likelihood import rows_of
from pratique.science.estimation.marginal import PROBABILITIES, Marginal, marginal_of, mixture_quantiles
from pratique.science.estimation.quadrature import UNEXPLAINED, Nodes, nodes_of
from pratique.science.estimation.ribbon import ribbon_of
from pratique.science.estimation.script import Script, grid_days, script_of
from pratique.science.estimation.state import columns_of, prior_of, walks_of
from pratique.science.estimation.validate import require_reckonable

type Array = NDArray[np.float64]

_NEGLIGIBLE = 1e-5


@dataclass(frozen=True)
class Posterior:
    """Level over the grid (`days`): mean, sd and quantiles at PROBABILITIES; loss, volume, source, and trajectories.

    `quantiles` is (probability, time); `log_evidence` is that of all readings.
    """

    days: Array
    mean: Array
    sd: Array
    quantiles: Array
    source_mean: Array
    source_sd: Array
    volume_l: Marginal
    loss_per_day: Marginal
    log_evidence: float
    trajectories: Draws
    nodes: Nodes


def reckon(case: Case) -> Posterior:
    """Return the posterior of a case.

    Raises DomainError in one sentence if the case cannot be reckoned or nothing believed explains its readings.
    """
    require_reckonable(case)
    nodes = nodes_of(case)
    days = grid_days(case)
    script = script_of(case, days)
    held = np.flatnonzero(nodes.weights > _NEGLIGIBLE * nodes.weights.max())
    weights = nodes.weights[held] / nodes.weights[held].sum()
    ribbon = ribbon_of(
        script.code,
        script.what,
        script.reading_of,
        nodes.loss_per_day()[held],
        nodes.volume_l()[held],
        walks_of(case),
        nodes.sites[held],
        columns_of(case),
        prior_of(case),
    )
    mean, sd = _mixed(weights, ribbon.level_means, ribbon.level_variances)
    source_mean, source_sd = _mixed(weights, ribbon.source_means, ribbon.source_variances)
    quantiles = mixture_quantiles(ribbon.level_means, ribbon.level_variances, weights, np.array(PROBABILITIES))
    if not (np.isfinite(mean).all() and np.isfinite(quantiles).all()):
        raise DomainError("This case cannot be reckoned: its numbers run out of what a computer can hold.")
    grid = nodes.weights.reshape(len(nodes.loss_x), len(nodes.volume_x))
    return Posterior(
        days,
        mean,
        sd,
        quantiles,
        source_mean,
        source_sd,
        marginal_of(nodes.volume, nodes.volume_x, grid.sum(axis=0)),
        marginal_of(nodes.loss, nodes.loss_x, grid.sum(axis=1)),
        nodes.log_evidence,
        _trajectories(case, script, nodes, held, weights),
        nodes,
    )


def _mixed(weights: Array, means: Array, variances: Array) -> tuple[Array, Array]:
    """Return mean and sd of a mixture at each time."""
    mean: Array = weights @ means
    variance: Array = weights @ (variances + (means - mean) ** 2)
    return mean, np.sqrt(np.maximum(variance, 0.0))


def _trajectories(case: Case, script: Script, nodes: Nodes, held: NDArray[np.int64], weights: Array) -> Draws:
    rng = np.random.default_rng(case.seed)
    counts = shares(weights, case.draws, rng)
    losses, volumes = nodes.loss_per_day()[held], nodes.volume_l()[held]
    levels = np.empty((case.draws, int(script.is_grid.sum())))
    log_ratios, ends = np.empty(case.draws), np.empty((case.draws, 2))
    draw(
        script.code,
        script.what,
        script.reading_of,
        losses,
        volumes,
        counts,
        walks_of(case),
        nodes.sites[held],
        rows_of(case),
        columns_of(case),
        *prior_of(case),
        rng,
        levels,
        log_ratios,
        ends,
    )
    log_ratios -= np.repeat(nodes.corrections[held], counts)
    if not log_ratios.max() > -np.inf:
        raise DomainError(UNEXPLAINED)
    ratios = np.exp(log_ratios - log_ratios.max())
    return Draws(
        levels,
        np.repeat(volumes, counts),
        np.repeat(losses, counts),
        ends[:, 0],
        ends[:, 1],
        ratios / ratios.sum(),
    )
