"""Errors of counts and medians: published half-widths and tables, and drawing again and again."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chi2

from pratique.science.chemistry.domain import DomainError
from pratique.science.imaging.counting import count_interval, median_interval, relative_error_of_count


@pytest.mark.parametrize(("count", "percent"), [(25, 40), (100, 20), (400, 10)])
def test_a_count_is_as_sure_as_lund_and_others_say(count, percent):
    """Lund, Kipling & Le Cren 1958 (from memory): 95 % half-widths of 40, 20 and 10 % for 25, 100 and 400 cells."""
    assert 100.0 * relative_error_of_count(count) == pytest.approx(percent)


@pytest.mark.parametrize(
    ("count", "lower", "upper"),
    [(0, 0.0, 3.69), (1, 0.0253, 5.57), (2, 0.242, 7.22), (5, 1.62, 11.67), (10, 4.80, 18.39), (20, 12.22, 30.89)],
)
def test_a_small_count_has_the_limits_of_the_poisson_table(count, lower, upper):
    """Garwood 1936 in the 95 % table of any textbook of statistics (from memory)."""
    interval = count_interval(count)
    assert interval.lower == pytest.approx(lower, rel=3e-3)
    assert interval.upper == pytest.approx(upper, rel=3e-3)


@given(count=st.integers(1, 5000), confidence=st.floats(0.5, 0.999))
def test_the_limits_are_quantiles_of_chi_squared(count, confidence):
    """SciPy's chi-squared: χ²(α/2; 2n)/2 and χ²(1 − α/2; 2n + 2)/2."""
    interval = count_interval(count, confidence=confidence)
    tail = (1.0 - confidence) / 2.0
    assert interval.lower == pytest.approx(float(chi2.ppf(tail, 2 * count)) / 2.0, rel=1e-6)
    assert interval.upper == pytest.approx(float(chi2.isf(tail, 2 * count + 2)) / 2.0, rel=1e-6)
    assert interval.lower < count < interval.upper


def test_no_cell_has_no_error_in_percent():
    """A count of nothing says only how many there could be at most."""
    with pytest.raises(DomainError, match="upper bound"):
        relative_error_of_count(0)
    with pytest.raises(DomainError, match="below 0"):
        count_interval(-1)


@pytest.mark.parametrize(
    ("n", "lower_rank", "upper_rank", "sure"),
    [(6, 1, 6, 0.9688), (10, 2, 9, 0.9785), (15, 4, 12, 0.9648), (20, 6, 15, 0.9586), (25, 8, 18, 0.9567)],
)
def test_the_ranks_around_a_median_are_those_of_the_table(n, lower_rank, upper_rank, sure):
    """Ranks for a 95 % interval of the median, table of the sign test in any textbook of rank methods (from memory)."""
    interval = median_interval([float(rank) for rank in range(n, 0, -1)])
    assert (interval.lower, interval.upper) == (lower_rank, upper_rank)
    assert interval.confidence == pytest.approx(sure, abs=5e-5)
    assert interval.median == (n + 1) / 2


def test_five_cells_are_too_few_for_an_interval():
    """All five lie on one side of the median once in sixteen: 1/16 > 5 %."""
    interval = median_interval([11.0, 14.0, 12.0, 13.0, 15.0])
    assert interval.median == 13.0
    assert (interval.lower, interval.upper, interval.confidence) == (None, None, None)


def test_the_interval_holds_the_median_as_often_as_it_says():
    """Simulated: 4,000 samples of 20 skewed sizes with the median e³; 95.86 % are to hold it, within 1 %."""
    samples = np.exp(np.random.default_rng(11).normal(3.0, 0.5, (4000, 20)))
    intervals = [median_interval(list(sample)) for sample in samples]
    held = np.mean([one.lower <= math.exp(3.0) <= one.upper for one in intervals])
    assert held == pytest.approx(0.9586, abs=0.01)


@pytest.mark.parametrize("sizes", [[], [10.0, math.nan], [10.0, 0.0], [10.0, math.inf]])
def test_a_size_that_is_none_is_refused(sizes):
    """Nothing is dropped in silence."""
    with pytest.raises(DomainError):
        median_interval(sizes)
