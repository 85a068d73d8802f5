"""What to look at next: how much an answer is expected to tell, over any states, and if it changes what is done."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.science.growths.network import Floats, Network, Posterior, absent_chances, group_terms, marginals


def entropy(chances: Floats) -> float:
    """Return the bits of doubt of exclusive chances."""
    kept = chances[chances > 0.0]
    return float(-(kept * np.log2(kept)).sum())


def doubt(chances: Floats) -> Floats:
    """Return the bits of doubt of yes-or-no chances, summed over the last axis."""
    safe = np.clip(chances, 1e-300, 1.0)
    rest = np.clip(1.0 - chances, 1e-300, 1.0)
    return np.asarray(-(chances * np.log2(safe) + (1.0 - chances) * np.log2(rest)).sum(axis=-1))


def expected_information(weights: Floats, outcomes: Floats, read: Floats | None = None) -> float:
    """Return the bits an answer is expected to tell: `outcomes` is P(answer | state), states x answers.

    Without `read` the states exclude each other; with it (states x features of nought and one) the doubt is summed
    over the features. Any state space does.
    """
    weights = weights / weights.sum()
    joint = weights[:, None] * outcomes
    chance = joint.sum(axis=0)
    kept = chance > 0.0
    after = joint[:, kept] / chance[kept]
    if read is None:
        return entropy(weights) - float(sum(p * entropy(col) for p, col in zip(chance[kept], after.T, strict=True)))
    return float(doubt(weights @ read) - chance[kept] @ doubt(after.T @ read))


@dataclass(frozen=True)
class Look:
    """One finding not yet made: the chance of a yes, the bits expected, and the chances after either answer."""

    finding: int
    yes: float
    bits: float
    after_yes: Floats
    after_no: Floats
    settles: float


def looks(
    network: Network, known: Posterior, evidence: Mapping[int, bool], waiting: Sequence[int], actions: NDArray[np.int64]
) -> tuple[Look, ...]:
    """Return every waiting look; `actions` numbers what is done first against each candidate.

    `settles` is by how much the chance that the best first act is a right one is expected to rise.
    """
    rows = list(waiting)
    if not rows:
        return ()
    no = absent_chances(network, rows)
    for group in sorted({int(network.group[one]) for one in rows if network.group[one] >= 0}):
        away, there = group_terms(network, evidence, group)
        away, there = (1.0 - network.cause_prior) * away, network.cause_prior * there
        damped = (away + there * (1.0 - network.cause_link)) / (away + there)
        for n, one in enumerate(rows):
            if network.group[one] == group:
                no[n] *= damped
    weighted = no * known.weights
    said_no = weighted.sum(axis=1)
    with_no = marginals(weighted)
    after_no = with_no / np.maximum(said_no, 1e-300)[:, None]
    after_yes = np.clip((known.chances - with_no) / np.maximum(1.0 - said_no, 1e-300)[:, None], 0.0, 1.0)
    bits = doubt(known.chances) - said_no * doubt(after_no) - (1.0 - said_no) * doubt(after_yes)
    numbers = np.arange(len(known.weights))
    acts = [sum(1 << int(c) for c in np.flatnonzero(actions == act)) for act in np.unique(actions)]
    right = np.stack([(numbers & mask) != 0 for mask in acts], axis=1).astype(np.float64)
    now, when_no = known.weights @ right, weighted @ right
    settles = when_no.max(axis=1) + (now - when_no).max(axis=1) - now.max()
    return tuple(
        Look(one, float(1.0 - said_no[n]), max(float(bits[n]), 0.0), after_yes[n], after_no[n], float(settles[n]))
        for n, one in enumerate(rows)
    )
