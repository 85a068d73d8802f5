"""Growths drawn from the shipped table with its cells in doubt: what is there, what each look shows, what it makes."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.knowledge.candidates import model_figure
from pratique.science.growths.differential import table
from pratique.science.growths.looks import looks
from pratique.science.growths.network import posterior, redrawn

type Array = NDArray[np.float64]

FEWEST_LOOKS, MOST_LOOKS = 3, 12
CERTAIN = 0.9


@dataclass(frozen=True)
class Case:
    """Which candidates are there, and the answer every look of the table would give."""

    there: NDArray[np.bool_]
    answers: NDArray[np.bool_]


def case(seed: int) -> Case:
    """Return one growth: causes drawn from the priors, looks by noisy-OR with the hidden cause of each group."""
    rng, shipped = np.random.default_rng(seed), table()
    network = redrawn(shipped.network, shipped.cells, count=model_figure("cell_count"), rng=rng)
    there = rng.random(len(network.priors)) < network.priors
    caused = rng.random(int(network.group.max()) + 1) < network.cause_prior
    no = (1.0 - network.own_leaks()) * np.prod(1.0 - network.links * there, axis=1)
    no = np.where((network.group >= 0) & caused[network.group], no * (1.0 - network.cause_link), no)
    return Case(there, rng.random(len(no)) >= no)


def told_chances(seed: int) -> tuple[Array, NDArray[np.bool_]]:
    """Return what a handful of looks at a case makes of every candidate, and whether it is there."""
    one, rng = case(seed), np.random.default_rng([seed, 1])
    some = rng.choice(len(one.answers), int(rng.integers(FEWEST_LOOKS, MOST_LOOKS + 1)), replace=False)
    return posterior(table().network, {int(row): bool(one.answers[row]) for row in some}).chances, one.there


def looks_until_certain(one: Case, checklist: list[int] | None = None) -> int:
    """Return after how many looks some candidate is 90 % likely, by the ranker or down a fixed list.

    All and one more where none ever is.
    """
    shipped, evidence = table(), dict[int, bool]()
    for made in range(len(one.answers)):
        known = posterior(shipped.network, evidence)
        if known.chances.max() >= CERTAIN:
            return made
        if checklist is None:
            waiting = [row for row in range(len(one.answers)) if row not in evidence]
            ranked = looks(shipped.network, known, evidence, waiting, shipped.actions)
            row = max(ranked, key=lambda look: look.bits).finding
        else:
            row = checklist[made]
        evidence[row] = bool(one.answers[row])
    return len(one.answers) + 1


def in_order_of_first_worth() -> list[int]:
    """Return a fixed list made with care: by the bits each look tells before any is made."""
    network = table().network
    ranked = looks(network, posterior(network, {}), {}, range(len(network.leaks)), table().actions)
    return [one.finding for one in sorted(ranked, key=lambda look: -look.bits)]
