"""Days held, counted on whole trajectories: against a slow plain count, and a walk whose chances are known."""

import math

import numpy as np
import pytest
from scipy.stats import norm

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Band
from pratique.science.estimation.draws import Draws
from pratique.science.estimation.exposure import chance, exposure_of, runs, spread

BAND = Band(0.15, 0.25)


def draws_of(levels, weights=None):
    """Trajectories with the given levels, equally weighted unless told."""
    levels = np.array(levels, dtype=float)
    count = len(levels)
    nothing = np.zeros(count)
    shares = np.full(count, 1.0 / count) if weights is None else np.array(weights)
    return Draws(levels, nothing, nothing, nothing, nothing, shares)


def exposure(levels, *, hours=24.0, required=None, weights=None):
    """The exposure of the whole of some trajectories on an even grid."""
    days = np.arange(len(levels[0])) * hours / 24.0
    return exposure_of(
        draws_of(levels, weights), days, BAND, start_day=0.0, end_day=float(days[-1]), required_days=required
    )


def slow_runs(row, days):
    """Longest and standing run of one trajectory, by looking at every pair of points."""
    longest, standing, begun = 0.0, 0.0, math.inf
    for first in range(len(row)):
        for last in range(first, len(row)):
            if all(row[first : last + 1]):
                longest = max(longest, days[last] - days[first])
                if last == len(row) - 1 and days[last] - days[first] >= standing and begun == math.inf:
                    standing, begun = days[last] - days[first], days[first]
    return longest, standing, begun


def test_a_run_of_points_lasts_one_step_less():
    """Fifteen daily points are fourteen days; one point alone is none."""
    assert exposure([[0.2] * 15]).longest_unbroken_days.mean == 14.0
    assert exposure([[0.1, 0.2, 0.1]]).longest_unbroken_days.mean == 0.0


def test_a_dip_restarts_the_clock():
    """Eight days held, one point under, then five: eight is the longest and five still count."""
    found = exposure([[0.2] * 9 + [0.14] + [0.2] * 6])
    assert found.longest_unbroken_days.mean == 8.0
    assert found.credited_days.mean == 5.0


def test_a_level_at_the_lower_end_is_held_and_one_at_the_upper_end_is_not_above():
    """Both ends belong to the band."""
    found = exposure([[0.15, 0.25, 0.15]])
    assert found.longest_unbroken_days.mean == 2.0
    assert found.hours_above_upper.mean == 0.0


def test_nothing_is_credited_where_the_end_lies_under():
    """Held for six days and lost at the last point."""
    found = exposure([[0.2] * 7 + [0.1]])
    assert (found.longest_unbroken_days.mean, found.credited_days.mean) == (6.0, 0.0)


def test_the_count_is_that_of_a_slow_one_on_three_hundred_random_trajectories():
    """Uneven days, every pair of points looked at in plain Python."""
    chance_of = np.random.default_rng(5)
    days = np.cumsum(chance_of.uniform(0.1, 1.0, 18))
    above = chance_of.random((300, 18)) < 0.8
    longest, standing, begun = runs(above, days)
    for number in range(300):
        expected = slow_runs(above[number], days)
        assert (longest[number], standing[number], begun[number]) == pytest.approx(expected)


def test_a_walk_looked_at_once_a_day_stays_above_for_ten_days_as_often_as_it_should():
    """Start 2, drift −0.1 and sd 0.5 a day: 0.6661006 by quadrature over ten daily looks (/reference, feeding
    statistics; Brownian motion watched all the time gives 0.593); the quadrature is done again here.
    """
    grid = np.linspace(0.0, 14.0, 2801)
    step = grid[1] - grid[0]
    kernel = norm.pdf(grid[None, :], grid[:, None] - 0.1, 0.5)
    density = norm.pdf(grid, 1.9, 0.5)
    for _ in range(9):
        weights = np.full(len(grid), step)
        weights[0] = weights[-1] = step / 2
        density = (density * weights) @ kernel
    exact = float(np.trapezoid(density, grid))
    assert exact == pytest.approx(0.6661006133, abs=2e-6)

    steps = np.random.default_rng(20).normal(-0.1, 0.5, (100_000, 10))
    above = np.concatenate([np.full((100_000, 1), 2.0), 2.0 + np.cumsum(steps, axis=1)], axis=1) >= 0.0
    longest, _, _ = runs(above, np.arange(11.0))
    held = chance(longest >= 10.0, np.full(100_000, 1e-5))
    assert held.value == pytest.approx(0.6661006133, abs=3.5 * held.monte_carlo_error)
    assert held.monte_carlo_error == pytest.approx(0.00149, abs=0.00002)


def test_held_is_the_share_of_trajectories_long_enough():
    """One of four trajectories dips on day 2 of 4: three quarters held four days, all of them one."""
    levels = [[0.2] * 5] * 3 + [[0.2, 0.2, 0.1, 0.2, 0.2]]
    assert exposure(levels, required=4.0).held.value == pytest.approx(0.75)
    assert exposure(levels, required=1.0).held.value == 1.0
    assert exposure(levels).held is None


def test_weights_count_in_place_of_numbers():
    """A trajectory with a tenth of the weight is a tenth of the answer."""
    found = exposure([[0.2] * 5, [0.1] * 5], required=4.0, weights=[0.9, 0.1])
    assert found.held.value == pytest.approx(0.9)
    assert found.longest_unbroken_days.mean == pytest.approx(3.6)
    assert found.longest_unbroken_days.monte_carlo_error == pytest.approx(
        math.sqrt((0.9 * 0.4) ** 2 + (0.1 * 3.6) ** 2)
    )


def test_hours_above_the_upper_end_are_points_times_the_step():
    """Three points of a six-hour grid above 0.25: eighteen hours."""
    assert exposure([[0.2, 0.26, 0.27, 0.2, 0.3]], hours=6.0).hours_above_upper.mean == 18.0


def test_the_likeliest_dip_is_named_with_its_stretch_and_its_day():
    """Half the trajectories under on day 3, one of ten on day 4; before the band was reached nothing is a dip."""
    levels = [[0.0, 0.2, 0.2, 0.1, 0.2, 0.2]] * 5 + [[0.0, 0.2, 0.2, 0.2, 0.1, 0.2]] + [[0.0] + [0.2] * 5] * 4
    (dip,) = exposure(levels).dips
    assert (dip.start_day, dip.end_day, dip.day) == (3.0, 4.0, 3.0)
    assert dip.probability.value == pytest.approx(0.6)


def test_two_dips_apart_are_two():
    """Under on day 1 and again on day 4."""
    assert [dip.day for dip in exposure([[0.2, 0.1, 0.2, 0.2, 0.1, 0.2]]).dips] == [1.0, 4.0]


def test_a_dip_less_likely_than_one_in_twenty_is_not_named():
    """Two of a hundred trajectories under."""
    assert exposure([[0.2, 0.1, 0.2]] * 2 + [[0.2] * 3] * 98).dips == ()


def test_each_day_tells_whether_it_was_held_and_whether_it_still_counts():
    """Half the trajectories dip at the middle of day 1: that day is held by half, and day 0 counts for half."""
    steady, dipped = [0.2] * 7, [0.2, 0.2, 0.2, 0.1, 0.2, 0.2, 0.2]
    days = exposure([steady, dipped], hours=12.0).days
    assert [day.held.value for day in days] == pytest.approx([1.0, 0.5, 1.0])
    assert [day.credited.value for day in days] == pytest.approx([0.5, 0.5, 1.0])


def test_quantiles_stand_where_the_weight_is_reached():
    """Of the numbers 1 to 100 the middle is 50 and the outer ones 3 and 98."""
    found = spread(np.arange(1.0, 101.0), np.full(100, 0.01))
    assert found.mean == pytest.approx(50.5)
    assert found.sd == pytest.approx(math.sqrt((100**2 - 1) / 12))
    assert [found.quantiles[place] for place in (0, 3, 6)] == pytest.approx([3.0, 50.0, 98.0], abs=1.0)


def test_a_stretch_without_a_point_is_refused_in_words():
    """The end lies before the start."""
    with pytest.raises(DomainError, match="before it starts"):
        exposure_of(draws_of([[0.2, 0.2]]), np.arange(2.0), BAND, start_day=1.5, end_day=0.5, required_days=None)
