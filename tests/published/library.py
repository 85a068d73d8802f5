"""A network of candidates and findings as a general library holds it, to be asked the same questions."""

from collections.abc import Iterable
from itertools import product
from typing import Any

import numpy as np

from pratique.science.growths.network import Network


def library_of(network: Network, findings: Iterable[int]) -> Any:
    """Return pgmpy's variable elimination over candidates c0, c1, ..., the hidden cause and findings f0, f1, ...."""
    # It warns of its own future while it loads.
    from pgmpy.factors.discrete import TabularCPD  # noqa: PLC0415
    from pgmpy.inference import VariableElimination  # noqa: PLC0415
    from pgmpy.models import DiscreteBayesianNetwork  # noqa: PLC0415

    rows = list(findings)
    names, own = [f"c{one}" for one in range(len(network.priors))], network.own_leaks()
    model = DiscreteBayesianNetwork([(name, f"f{finding}") for finding in rows for name in names])
    model.add_node("hidden")
    cpds = [TabularCPD(n, 2, [[1 - p], [p]]) for n, p in zip(names, network.priors, strict=True)]
    cpds.append(TabularCPD("hidden", 2, [[1 - network.cause_prior], [network.cause_prior]]))
    for finding in rows:
        has_cause = network.group[finding] >= 0
        parents = [*names, *(["hidden"] if has_cause else [])]
        if has_cause:
            model.add_edge("hidden", f"f{finding}")
        chances = [*network.links[finding], *([network.cause_link] if has_cause else [])]
        no = [
            (1 - own[finding]) * float(np.prod([1 - link * one for link, one in zip(chances, state, strict=True)]))
            for state in product((0, 1), repeat=len(parents))
        ]
        cpds.append(TabularCPD(f"f{finding}", 2, [no, [1 - one for one in no]], parents, [2] * len(parents)))
    model.add_cpds(*cpds)
    return VariableElimination(model)
