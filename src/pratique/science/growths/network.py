"""The chances of what a growth is: candidates that may be there together, findings by noisy-OR, over all states."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

type Floats = NDArray[np.float64]

_SEED = 1


@dataclass(frozen=True)
class Network:
    """Priors (candidates), links (findings x candidates) and leaks; `group` is -1 or the hidden cause of a finding.

    A hidden cause carries a part of the leak of each of its findings, so the leak told is what is seen on average.
    """

    priors: Floats
    links: Floats
    leaks: Floats
    group: NDArray[np.int64]
    cause_prior: float
    cause_link: float

    def own_leaks(self) -> Floats:
        """Return the part of each leak that is not of the hidden cause."""
        shared = np.where(self.group >= 0, self.cause_prior * self.cause_link, 0.0)
        return np.asarray(1.0 - (1.0 - self.leaks) / (1.0 - shared))


@dataclass(frozen=True)
class Posterior:
    """Weights of all states (bit c of a state: candidate c is there), marginals, and the log of P(evidence)."""

    weights: Floats
    chances: Floats
    log_evidence: float


def states(count: int) -> NDArray[np.float64]:
    """Return all states as rows of noughts and ones."""
    return np.asarray((np.arange(2**count)[:, None] >> np.arange(count)) & 1, dtype=np.float64)


def links_of(chances: Floats, leaks: Floats) -> Floats:
    """Return links so that P(yes | only this candidate) is the chance told; none where it is not above the leak."""
    return np.asarray(np.clip(1.0 - (1.0 - chances) / (1.0 - leaks[:, None]), 0.0, 1.0))


def absent_chances(network: Network, findings: Sequence[int]) -> Floats:
    """Return P(no | state, hidden cause away), findings x states, by doubling."""
    rows = list(findings)
    found = np.empty((len(rows), 2 ** len(network.priors)))
    found[:, 0] = 1.0 - network.own_leaks()[rows]
    for c in range(len(network.priors)):
        np.multiply(found[:, : 2**c], 1.0 - network.links[rows, c][:, None], out=found[:, 2**c : 2 ** (c + 1)])
    return found


def prior_weights(network: Network, odds: Floats | None = None) -> Floats:
    """Return the weight of every state before any finding; `odds` multiplies the odds of each candidate."""
    weights = np.ones(1)
    for c, prior in enumerate(network.priors):
        ratio = 1.0 if odds is None else float(odds[c])
        weights = np.concatenate([weights * (1.0 - prior), weights * prior * ratio])
    return weights


def group_terms(network: Network, evidence: Mapping[int, bool], group: int) -> tuple[Floats, Floats]:
    """Return the likelihood of a group's answers in every state with its hidden cause away, and with it there."""
    chosen = [one for one in evidence if network.group[one] == group]
    away = np.ones(2 ** len(network.priors))
    there = away.copy()
    for one, no in zip(chosen, absent_chances(network, chosen), strict=True):
        with_cause = no * (1.0 - network.cause_link)
        away *= (1.0 - no) if evidence[one] else no
        there *= (1.0 - with_cause) if evidence[one] else with_cause
    return away, there


def posterior(network: Network, evidence: Mapping[int, bool], odds: Floats | None = None) -> Posterior:
    """Return the exact posterior over every state; `evidence` is the answer by the number of the finding."""
    prior = prior_weights(network, odds)
    log = np.zeros(len(prior))
    for group in sorted({int(network.group[one]) for one in evidence}):
        away, there = group_terms(network, evidence, group)
        seen = away if group < 0 else (1.0 - network.cause_prior) * away + network.cause_prior * there
        with np.errstate(divide="ignore"):
            log += np.log(seen)
    top = float(log.max()) if np.isfinite(log.max()) else 0.0
    weights = prior * np.exp(log - top)
    total = float(weights.sum())
    if total <= 0.0:
        raise ValueError("These answers cannot all be true: the network gives them no chance at all.")
    weights /= total
    return Posterior(weights, marginals(weights), top + float(np.log(total)))


def marginals(weights: Floats) -> Floats:
    """Return the chance of each candidate, from the weights of the states in the last axis."""
    count = weights.shape[-1].bit_length() - 1
    folded, found = weights, []
    for _ in range(count):
        half = folded.shape[-1] // 2
        found.append(folded[..., half:].sum(axis=-1))
        folded = folded[..., :half] + folded[..., half:]
    return np.stack(found[::-1], axis=-1)


def redrawn(network: Network, cells: Floats, *, count: float, rng: np.random.Generator) -> Network:
    """Return the network with every cell that has a link drawn anew, from a Beta of so much `count` about its mean."""
    bound = network.links > 0.0
    drawn = np.where(bound, rng.beta(cells * count, (1.0 - cells) * count), cells)
    return replace(network, links=np.where(bound, links_of(drawn, network.leaks), 0.0))


def spread(
    network: Network,
    cells: Floats,
    evidence: Mapping[int, bool],
    *,
    count: float,
    odds: Floats | None = None,
    draws: int = 200,
) -> Floats:
    """Return the 5, 50 and 95 % points of every chance when the table itself is in doubt (3 x candidates).

    Every cell is drawn as `redrawn` does; a draw weighs as much as it foretold the answers.
    """
    rng = np.random.default_rng(_SEED)
    kept = sorted(evidence)
    if not kept:
        return np.tile(posterior(network, {}, odds).chances, (3, 1))
    small = replace(network, links=network.links[kept], leaks=network.leaks[kept], group=network.group[kept])
    answers = {n: evidence[one] for n, one in enumerate(kept)}
    chances, logs = np.empty((draws, len(network.priors))), np.empty(draws)
    for n in range(draws):
        one = posterior(redrawn(small, cells[kept], count=count, rng=rng), answers, odds)
        chances[n], logs[n] = one.chances, one.log_evidence
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()
    found = np.empty((3, len(network.priors)))
    for c in range(len(network.priors)):
        order = np.argsort(chances[:, c])
        steps = np.cumsum(weights[order])
        found[:, c] = chances[order, c][np.minimum(np.searchsorted(steps, (0.05, 0.5, 0.95)), draws - 1)]
    return found
