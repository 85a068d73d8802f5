"""Simulation-based calibration: over tanks drawn from the prior, the reckoning is as sure as it should be, no more.

The seeds were fixed before the first run and none is left out. With n tanks the part of truths inside a true p interval
has the standard error sqrt(p (1 - p) / n). The bars are about 3.3 of them wide, so that fifteen of them in a row fail a
right reckoning about once in a hundred sets of seeds:

    n = 200     50 %: 3.54 %, bar 12 %     80 %: 2.83 %, bar 9.5 %    95 %: 1.54 %, bar 5 %
    n = 4000    50 %: 0.79 %, bar 2.6 %    80 %: 0.63 %, bar 2.1 %    95 %: 0.34 %, bar 1.1 %
"""

import math
from collections.abc import Iterator, Sequence

import numpy as np
import pytest
from tests.calibration.ranks import Score, paper_levels, randomised_rank, scores
from tests.calibration.tanks import report, tank, walked
from tests.calibration.verdict import (
    DAY_COUNTS,
    INTERVAL_QUANTITIES,
    LEAST_IN_BIN,
    MIDDLE_INTERVALS,
    RIBBONS,
    bins_of,
    brier,
    coverage,
    ranks_of,
    ribbon_coverage,
    uniform_p,
)

from pratique.science.estimation.case import Reading
from pratique.science.estimation.reading import Observed

SMALL_SEEDS = range(20_000, 20_200)
SMALL_BARS = (0.12, 0.095, 0.05)
FULL_SEEDS = range(30_000, 34_000)
FULL_BARS = (0.026, 0.021, 0.011)
LEAST_P = 0.001
MOST_ERRORS_OFF = 3.0
LEAST_EFFECTIVE_SAMPLE = 100.0


def _complaints(scored: Sequence[Score], bars: tuple[float, ...]) -> list[str]:
    """Return a sentence for everything that is not as it should be."""
    return [*_of_intervals(scored, bars), *_of_ranks(scored), *_of_forecasts(scored)]


def _of_intervals(scored: Sequence[Score], bars: tuple[float, ...]) -> Iterator[str]:
    bar_of = dict(zip(MIDDLE_INTERVALS, bars, strict=True))
    covered = {
        (quantity, part): seen
        for quantity in INTERVAL_QUANTITIES
        for part, seen in zip(MIDDLE_INTERVALS, coverage(ranks_of(scored, quantity)), strict=True)
    }
    covered |= {("ribbon", part): seen for part, seen in zip(RIBBONS, ribbon_coverage(scored), strict=True)}
    for (quantity, part), seen in covered.items():
        if abs(seen - part) > bar_of[part]:
            yield f"The {part:.0%} interval of {quantity} covers {seen:.1%}."


def _of_ranks(scored: Sequence[Score]) -> Iterator[str]:
    for quantity in INTERVAL_QUANTITIES + DAY_COUNTS:
        if (p := uniform_p(ranks_of(scored, quantity))) <= LEAST_P:
            yield f"The ranks of {quantity} are uneven: p = {p:.2g}."


def _of_forecasts(scored: Sequence[Score]) -> Iterator[str]:
    for one in bins_of(scored):
        if one.count >= LEAST_IN_BIN and one.errors_off > MOST_ERRORS_OFF:
            yield f"Of {one.count} tanks forecast {one.forecast:.1%}, {one.outcome:.1%} were held."
    marks = brier(scored)
    if marks.reckoning >= min(marks.paper, marks.paper_tuned, marks.base_rate):
        yield f"The forecast is no better than paper: {marks}."


def test_over_two_hundred_tanks_intervals_cover_ranks_are_uniform_and_forecasts_come_true() -> None:
    """Level, volume, loss and day counts keep the bars for 200 tanks, and the forecast beats straight lines."""
    scored = scores(SMALL_SEEDS)
    assert len(scored) == len(SMALL_SEEDS)
    assert min(one.effective_sample for one in scored) >= LEAST_EFFECTIVE_SAMPLE
    assert _complaints(scored, SMALL_BARS) == []


@pytest.mark.prove
def test_over_four_thousand_tanks_intervals_cover_ranks_are_uniform_and_forecasts_come_true() -> None:
    """Level, volume, loss and day counts keep the strict bars, and so does every bin with fifty tanks or more."""
    scored = scores(FULL_SEEDS, processes=2)
    assert len(scored) == len(FULL_SEEDS)
    assert min(one.effective_sample for one in scored) >= LEAST_EFFECTIVE_SAMPLE
    assert _complaints(scored, FULL_BARS) == []


def test_a_reckoning_that_is_too_sure_is_found_out() -> None:
    """Ranks of truths half again as wide as what is claimed break the bars for 200 tanks and the test of evenness."""
    chance = np.random.default_rng(7)
    claimed = chance.standard_normal(1000)
    weights = np.full(1000, 0.001)
    ranks = np.array([randomised_rank(claimed, weights, 1.5 * chance.normal(), chance) for _ in range(200)])
    covered = coverage(ranks)
    assert covered[0] < 0.5 - SMALL_BARS[0]
    assert covered[2] < 0.95 - SMALL_BARS[2]
    assert uniform_p(ranks) < LEAST_P


def test_ranks_of_a_lumpy_count_are_uniform_once_ties_are_broken_by_chance() -> None:
    """A count that is nought six times in ten ranks evenly among its own draws."""
    chance = np.random.default_rng(11)

    def counts(size: int) -> np.ndarray:
        return np.where(chance.random(size) < 0.6, 0.0, chance.integers(1, 15, size)).astype(float)

    weights = np.full(400, 1.0 / 400)
    ranks = np.array([randomised_rank(counts(400), weights, float(counts(1)[0]), chance) for _ in range(2000)])
    assert uniform_p(ranks) > LEAST_P


def test_a_seed_gives_one_tank() -> None:
    """The same seed makes the same case and the same truth."""
    first, again = tank(20_000), tank(20_000)
    assert first.case == again.case
    assert np.array_equal(first.levels, again.levels)


def test_a_simulated_level_spreads_as_the_walk_of_its_source_says() -> None:
    """Without a start or a source, t days of a walk w leave the sd w sqrt(t³/3) where hardly anything is lost.

    The integral of Brownian motion over t has variance t³/3 (textbook result, from memory).
    """
    chance = np.random.default_rng(3)
    ends = np.array([walked(chance, 0.0, 0.0, 4.0, 1e-6) for _ in range(4000)])
    assert ends[:, 0].std() == pytest.approx(0.002 * math.sqrt(4.0**3 / 3.0), rel=0.04)
    assert ends[:, 1].std() == pytest.approx(0.002 * 2.0, rel=0.04)


@pytest.mark.parametrize(
    ("method", "seen", "told"),
    [
        ("photometer", 0.0199, Observed(below=0.02)),
        ("photometer", 0.0201, Observed(value=0.02)),
        ("photometer", 0.1449, Observed(value=0.14)),
        ("photometer", 5.001, Observed(above=5.0)),
        ("drops", 0.13, Observed(value=0.15)),
        ("chart", -0.001, Observed(below=0.0)),
        ("chart", 0.15, Observed(low=0.1, high=0.2)),
        ("chart", 0.2, Observed(low=0.2, high=0.3)),
        ("chart", 1.0, Observed(above=1.0)),
    ],
)
def test_a_limit_is_tested_on_what_is_perceived_and_rounding_comes_after(
    method: str, seen: float, told: Observed
) -> None:
    """Each instrument of the simulation reports as its kind does: rounded, beyond a limit, or between two marks."""
    assert report(method, seen) == told


def test_lines_on_paper_go_from_reading_to_reading_and_are_flat_beyond() -> None:
    """An interval is drawn at its middle and a result below a limit at half of it."""
    readings = (
        Reading(1.0, "chart", Observed(low=0.1, high=0.2)),
        Reading(3.0, "photometer", Observed(value=0.25)),
        Reading(5.0, "photometer", Observed(below=0.02)),
    )
    assert paper_levels(readings, np.array([0.0, 1.0, 2.0, 5.0, 9.0])) == pytest.approx([0.15, 0.15, 0.2, 0.01, 0.01])
