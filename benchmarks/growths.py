"""What to look at next, beside the same question put to a general library of Bayesian networks."""

import warnings
from itertools import product

import numpy as np

from benchmarks.duels import Duel
from pratique.science.growths.differential import next_looks, table
from pratique.science.growths.looks import looks
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


def _by_library(network: Network) -> list[float]:
    """Return the bits of every look by asking for each candidate before it and after either answer."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from pgmpy.factors.discrete import TabularCPD  # noqa: PLC0415 - slow to load
        from pgmpy.inference import VariableElimination  # noqa: PLC0415
        from pgmpy.models import DiscreteBayesianNetwork  # noqa: PLC0415

        names = [f"c{one}" for one in range(CANDIDATES)]
        found = []
        for row in range(FINDINGS):
            model = DiscreteBayesianNetwork([(name, "look") for name in names])
            model.add_cpds(*[TabularCPD(n, 2, [[1 - p], [p]]) for n, p in zip(names, network.priors, strict=True)])
            no = [
                float((1 - network.leaks[row]) * np.prod(1 - network.links[row] * np.array(state)))
                for state in product((0, 1), repeat=CANDIDATES)
            ]
            model.add_cpds(TabularCPD("look", 2, [no, [1 - one for one in no]], names, [2] * CANDIDATES))
            asked = VariableElimination(model)
            before = sum(_bits(p) for p in network.priors)
            yes = float(asked.query(["look"], show_progress=False).values[1])
            after = [
                sum(
                    _bits(float(asked.query([name], {"look": answer}, show_progress=False).values[1])) for name in names
                )
                for answer in (0, 1)
            ]
            found.append(before - (1 - yes) * after[0] - yes * after[1])
    return found


def _bits(chance: float) -> float:
    return float(-(chance * np.log2(chance) + (1 - chance) * np.log2(1 - chance)))


def ranked() -> Duel:
    """A few looks over a few candidates, ours and the library's."""
    network = _small()

    def apart() -> str:
        off = np.max(np.abs(np.array(_ours(network)) - np.array(_by_library(network))))
        return f"largest difference {off:.1e} bits"

    return Duel(
        what=f"{FINDINGS} looks ranked over {CANDIDATES} candidates",
        peer="pgmpy, variable elimination",
        bar="at least 100 times",
        ours=lambda: _ours(network),
        theirs=lambda: _by_library(network),
        rounds=3,
        calls=50,
        apart=apart,
    )


def whole() -> Duel:
    """Every look of the shipped table over all its candidates, beside the library with the few."""
    network = _small()
    count = len(table().findings)
    return Duel(
        what=f"all {count} looks ranked over {len(table().candidates)} candidates, two answers known",
        peer=f"pgmpy with {FINDINGS} looks over {CANDIDATES} candidates only",
        bar="at most 50 ms",
        ours=lambda: next_looks({"brown_or_golden": True, "dust_on_sand": True}),
        theirs=lambda: _by_library(network),
        rounds=3,
        calls=10,
    )


DUELS = (ranked, whole)
