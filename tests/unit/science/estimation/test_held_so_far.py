"""By which day a run was held: against the exposure of ever longer stretches, which counts it another way."""

import numpy as np
import pytest

from pratique.science.estimation.case import Band
from pratique.science.estimation.draws import Draws
from pratique.science.estimation.exposure import exposure_of
from pratique.science.estimation.held_so_far import held_by


def draws_of(levels: np.ndarray) -> Draws:
    """Trajectories of uneven weight."""
    weights = np.arange(1.0, len(levels) + 1.0)
    nothing = np.zeros(len(levels))
    return Draws(levels, nothing, nothing, nothing, nothing, weights / weights.sum())


def test_a_run_counts_from_the_day_it_lasted_long_enough():
    """Held from day 1, dipped on day 4, held from day 5: three days in a row only by day 8."""
    levels = np.array([[0.1, 0.2, 0.2, 0.2, 0.1, 0.2, 0.2, 0.2, 0.2, 0.1]])
    by_days = range(10)
    found = held_by(
        draws_of(levels), np.arange(10.0), lower=0.15, start_day=0, end_day=9, required_days=3, by_days=by_days
    )
    assert [one.value for one in found] == [0.0] * 8 + [1.0] * 2


def test_what_lies_outside_the_stretch_does_not_count():
    """Ten days held, of which the course has the last five."""
    levels = np.full((1, 11), 0.2)
    (found,) = held_by(
        draws_of(levels), np.arange(11.0), lower=0.15, start_day=5, end_day=10, required_days=6, by_days=[10]
    )
    assert found.value == 0.0


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_each_day_agrees_with_the_exposure_of_the_stretch_that_ends_there(seed):
    """The longest run of a stretch reaches the required days exactly where a run had been held by its end."""
    rng = np.random.default_rng(seed)
    days = np.arange(0.0, 12.0, 0.25)
    levels = 0.16 + np.cumsum(rng.normal(0.0, 0.01, (200, len(days))), axis=1)
    draws = draws_of(levels)
    by_days = [3.0, 6.5, 9.0, 11.75]
    found = held_by(draws, days, lower=0.15, start_day=0.5, end_day=11.75, required_days=2.5, by_days=by_days)
    for day, one in zip(by_days, found, strict=True):
        stretch = exposure_of(draws, days, Band(0.15, 0.25), start_day=0.5, end_day=day, required_days=2.5)
        assert stretch.held is not None
        assert one.value == pytest.approx(stretch.held.value, abs=1e-12)
        assert one.monte_carlo_error == pytest.approx(stretch.held.monte_carlo_error, abs=1e-12)
