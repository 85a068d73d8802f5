"""The rate of a growth and the shift from one kind to another, on courses made by the textbook's equation."""

import math

import numpy as np
import pytest
from scipy import stats

from pratique.science.growths.course import CoverAt, given_way, growth_rate


def cover(days: float, fraction: float, half: float = 0.01) -> CoverAt:
    """Return a cover with an even interval."""
    return CoverAt(days, fraction, max(0.0, fraction - half), min(1.0, fraction + half))


def logistic(days: float, rate: float, first: float) -> float:
    """Return logistic growth from a first share (Verhulst 1838), room for all of the region."""
    return first * math.exp(rate * days) / (1.0 + first * (math.exp(rate * days) - 1.0))


@pytest.mark.parametrize("rate", [0.59, 0.33, -0.2])
def test_logistic_growth_gives_its_rate_back(rate):
    """0.59 and 0.33 a day are published for Ostreopsis cf. ovata; and a growth that recedes."""
    found = growth_rate([cover(day, logistic(day, rate, 0.2)) for day in range(6)])
    assert found.per_day == pytest.approx(rate, abs=1e-9)
    assert found.low < rate < found.high
    assert found.is_settled
    assert found.doubling_days == pytest.approx(math.log(2) / abs(rate))


def test_two_covers_give_the_rate_between_them():
    """ln of the odds' ratio over the days; the interval is that of the two alone."""
    found = growth_rate([cover(0, 0.2), cover(4, 0.4)])
    assert found.per_day == pytest.approx(math.log((0.4 / 0.6) / (0.2 / 0.8)) / 4)
    assert found.count == 2


def test_scatter_beyond_the_intervals_widens_the_answer_as_a_plain_regression_does():
    """With equal weights and far more scatter than told, slope and half-width are ordinary least squares'."""
    rng = np.random.default_rng(5)
    days = np.arange(8.0)
    odds = -1.0 + 0.1 * days + rng.normal(0, 0.5, 8)
    shares = 1.0 / (1.0 + np.exp(-odds))
    found = growth_rate([CoverAt(*one) for one in zip(days, shares, shares, shares, strict=True)])
    plain = stats.linregress(days, odds)
    assert found.per_day == pytest.approx(plain.slope)
    assert found.high - found.per_day == pytest.approx(stats.t.ppf(0.975, 6) * plain.stderr)


@pytest.mark.parametrize("covers", [[], [cover(1, 0.2)], [cover(1, 0.2), cover(1, 0.3)]])
def test_one_moment_has_no_rate(covers):
    """Nothing, one, and two at once."""
    assert growth_rate(covers) is None


def test_a_rate_is_settled_only_where_its_interval_says_so():
    """From 20 to 21 of a hundred, each give or take 5."""
    assert not growth_rate([cover(0, 0.20, 0.05), cover(3, 0.21, 0.05)]).is_settled


GROUND = frozenset({"sand", "rock"})


def test_brown_gives_way_to_green():
    """Brown falls from 40 to 5, green rises from 2 to 30; the sand is no growth."""
    before = {"sand": cover(0, 0.58), "brown": cover(0, 0.4), "green": cover(0, 0.02)}
    after = {"sand": cover(9, 0.65), "brown": cover(9, 0.05), "green": cover(9, 0.3)}
    assert given_way(before, after, GROUND) == ("brown", "green")


def test_within_the_intervals_nothing_has_given_way():
    """Brown and green change places by less than is known of either."""
    before = {"brown": cover(0, 0.22, 0.05), "green": cover(0, 0.2, 0.05)}
    after = {"brown": cover(9, 0.2, 0.05), "green": cover(9, 0.22, 0.05)}
    assert given_way(before, after, GROUND) is None
    assert given_way({}, after, GROUND) is None
