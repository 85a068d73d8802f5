"""The differential is as sure as it should be, and its next look settles a growth sooner than a fixed list of looks.

Cases are drawn from the shipped table with every cell in doubt, so what is tested is the arithmetic and the ranking,
not whether the table is true. Seeds were fixed before the first run.
"""

import statistics
from collections.abc import Iterable

import numpy as np
import pytest
from tests.calibration.growth_cases import case, in_order_of_first_worth, looks_until_certain, told_chances
from tests.calibration.verdict import LEAST_IN_BIN, binned

from pratique.science.growths.differential import table

FULL = range(40_000, 45_000)
FULL_RACE = range(45_000, 45_300)
SMALL_RACE = range(51_000, 51_025)
BAR = 0.05


def off_bins(seeds: Iterable[int]) -> list[str]:
    """Return a sentence for every bin whose forecast and outcome lie further apart than the bar."""
    pairs = [told_chances(seed) for seed in seeds]
    said = np.concatenate([chances for chances, _ in pairs])
    there = np.concatenate([present for _, present in pairs]).astype(float)
    bins = [one for one in binned(said, there, said) if one.count >= LEAST_IN_BIN]
    for one in bins:
        print(f"said {one.forecast:.3f}, was {one.outcome:.3f}, of {one.count}")
    assert bins[-1].high == 1.0, "Too few sure verdicts to tell anything."
    return [
        f"Of {one.count} chances of {one.forecast:.3f}, {one.outcome:.3f} were there."
        for one in bins
        if abs(one.forecast - one.outcome) > BAR
    ]


def race(seeds: Iterable[int]) -> tuple[float, float, float]:
    """Return the median looks until 90 %: by the next look, by first worth, in the table's order.

    Growths of which nothing is there are left out: there is nothing to be certain of.
    """
    growths = [one for one in map(case, seeds) if one.there.any()]
    by_worth, in_order = in_order_of_first_worth(), list(range(len(table().findings)))
    medians = (
        statistics.median(looks_until_certain(one) for one in growths),
        statistics.median(looks_until_certain(one, by_worth) for one in growths),
        statistics.median(looks_until_certain(one, in_order) for one in growths),
    )
    print(f"looks until 90 %, median of {len(growths)}: next look {medians[0]:g}, ", end="")
    print(f"fixed by first worth {medians[1]:g}, in the table's order {medians[2]:g}")
    return medians


def test_five_thousand_cases_come_true_as_often_as_they_say():
    assert off_bins(FULL) == []


@pytest.mark.parametrize("seeds", [SMALL_RACE, pytest.param(FULL_RACE, marks=pytest.mark.prove)], ids=["few", "many"])
def test_the_next_look_settles_it_sooner(seeds):
    ours, by_first_worth, in_order = race(seeds)
    assert ours < by_first_worth
    assert ours < in_order
