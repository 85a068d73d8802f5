"""What to look at next, beside the same question put to a general library of Bayesian networks."""

import warnings
from collections.abc import Callable

import numpy as np
from tests.published.library import library_of

from benchmarks.duels import Duel
from pratique.science.growths.differential import next_looks, table
from pratique.science.growths.looks import doubt, looks
from pratique.science.growths.network import Network, posterior

# The library's tables double in size with every candidate, so it is given few of them.
CANDIDATES, FINDINGS = 8, 6


def _small() -> Network:
    """Return the first candidates and findings of the shipped table, without hidden causes."""
    whole = table().network
    return Network(
        priors=whole.priors[:CANDIDATES],
        links=whole.links[:FINDINGS, :CANDIDATES],
        leaks=whole.leaks[:FINDINGS],
        group=np.full(FINDINGS, -1, dtype=np.int64),
        cause_prior=whole.cause_prior,
        cause_link=whole.cause_link,
    )


def _ours(network: Network) -> list[float]:
    found = looks(network, posterior(network, {}), {}, range(FINDINGS), np.arange(CANDIDATES))
    return [one.bits for one in found]


def _by_library(network: Network) -> Callable[[], list[float]]:
    """Return what asks for the bits of every look: each candidate before it and after either answer."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        asked = library_of(network, range(FINDINGS))

    def yes(name: str, told: dict[str, int]) -> float:
        return float(asked.query([name], told, show_progress=False).values[1])

    def doubt_after(told: dict[str, int]) -> float:
        return float(doubt(np.array([yes(f"c{one}", told) for one in range(CANDIDATES)])))

    def bits(look: str, before: float) -> float:
        chance = yes(look, {})
        return before - (1.0 - chance) * doubt_after({look: 0}) - chance * doubt_after({look: 1})

    def every_look() -> list[float]:
        before = doubt_after({})
        return [bits(f"f{row}", before) for row in range(FINDINGS)]

    return every_look


def ranked() -> Duel:
    """A few looks over a few candidates, ours and the library's."""
    network = _small()
    theirs = _by_library(network)
    return Duel(
        what=f"{FINDINGS} looks ranked over {CANDIDATES} candidates",
        peer="pgmpy, variable elimination",
        bar="at least 100 times",
        ours=lambda: _ours(network),
        theirs=theirs,
        rounds=3,
        calls=50,
        apart=lambda: f"largest difference {np.max(np.abs(np.subtract(_ours(network), theirs()))):.1e} bits",
    )


def whole() -> Duel:
    """Every look of the shipped table over all its candidates, beside the library with the few."""
    count = len(table().findings)
    return Duel(
        what=f"all {count} looks ranked over {len(table().candidates)} candidates, two answers known",
        peer=f"pgmpy with {FINDINGS} looks over {CANDIDATES} candidates only",
        bar="at most 50 ms",
        ours=lambda: next_looks({"brown_or_golden": True, "dust_on_sand": True}),
        theirs=_by_library(_small()),
        rounds=3,
        calls=10,
    )


DUELS = (ranked, whole)
