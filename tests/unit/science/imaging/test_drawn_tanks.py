"""Cover of drawn tanks, known to the pixel: uneven light, waves' net, blue cast, noise, JPEG, a camera that moves.

The seeds are not those the figures of `imaging.` were fitted on.
"""

import json
from functools import cache

import numpy as np
import pytest
from tests.builders.drawn_tanks import DrawnTank, drawn_tank, true_cover

from pratique.casework.measuring.cover import MeasuredCover, measure_cover
from pratique.casework.measuring.cover_marks import read_marks

SEEDS = range(1000, 1040)


@cache
def tank(seed: int) -> DrawnTank:
    """Return a drawn tank, every other one after a camera's move."""
    return drawn_tank(seed, moved=seed % 2 == 1)


@cache
def measured(seed: int) -> MeasuredCover:
    """Measure a drawn tank by its own marks."""
    return measure_cover(tank(seed).jpeg, read_marks(json.dumps(tank(seed).marks())))


def test_forty_tanks_are_right_within_two_points_and_their_intervals_hold():
    """Mean absolute error at most 2 percentage points, and at least 90 % of the intervals hold the truth."""
    errors, held = [], []
    for seed in SEEDS:
        found = measured(seed).found.shares
        for name, truth in true_cover(tank(seed)).items():
            if name not in found:  # so little of it that nothing could be dabbed: all of it is missed
                errors.append(truth)
                held.append(False)
                continue
            errors.append(abs(found[name].fraction - truth))
            held.append(found[name].low <= truth <= found[name].high)
    assert np.mean(errors) <= 0.02, f"mean error {np.mean(errors):.4f}"
    assert np.mean(held) >= 0.90, f"held {np.mean(held):.3f}"


def test_intervals_are_no_wider_than_they_are_useful():
    """An interval of everything would hold every truth: on average ours spans under 8 points."""
    spans = [one.high - one.low for seed in list(SEEDS)[:10] for one in measured(seed).found.shares.values()]
    assert np.mean(spans) < 0.08


def _laid_over(seed: int, day: int) -> tuple[MeasuredCover, DrawnTank]:
    first, later = drawn_tank(seed), drawn_tank(seed, day=day, moved=True)
    return measure_cover(later.jpeg, read_marks(json.dumps(first.marks())), first.jpeg), later


def test_a_later_picture_is_measured_by_the_marks_of_the_first():
    """Region, dabs and white of one day; another light, another cover and another place of the camera on the next."""
    found, later = _laid_over(0, day=3)
    for name, truth in true_cover(later).items():
        assert found.found.shares[name].fraction == pytest.approx(truth, abs=0.03), name
    assert found.agreeing is not None
    assert found.agreeing >= 25
