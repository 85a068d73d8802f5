"""Cumulative sums, held against Montgomery's worked table and the run lengths of his table of k and h.

The series and its sums are recalled from Montgomery, *Introduction to Statistical Quality Control* (tabular CUSUM,
target 10, sd 1, k 0.5, h 5); the run lengths are recalled from the same book and recomputed here from Page's equation.
"""

import numpy as np
import pytest
from scipy.stats import norm

from pratique.science.health.alarms import cusum

SERIES = (
    *(9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.20, 10.34),
    *(9.03, 11.47, 10.51, 9.40, 10.08, 9.37, 10.62, 10.31, 8.52, 10.84),
    *(10.90, 9.33, 12.29, 11.50, 10.60, 11.08, 10.38, 11.62, 11.31, 10.52),
)
UPPER = (
    *(0.0, 0.0, 0.0, 1.16, 2.82, 2.50, 0.04, 1.00, 0.0, 0.0),
    *(0.0, 0.97, 0.98, 0.0, 0.0, 0.0, 0.12, 0.0, 0.0, 0.34),
    *(0.74, 0.0, 1.79, 2.79, 2.89, 3.47, 3.35, 4.47, 5.28, 5.30),
)


def run_length(shift: float, h: float, k: float = 0.5) -> float:
    """Return the average run length of a two-sided sum by Gauss–Legendre quadrature of Page's equation."""
    one_sided = [_one_sided(sign * shift, h, k) for sign in (1.0, -1.0)]
    return 1.0 / sum(1.0 / one for one in one_sided)


def _one_sided(shift: float, h: float, k: float) -> float:
    nodes, weights = np.polynomial.legendre.leggauss(120)
    at, share = h * (nodes + 1.0) / 2.0, h * weights / 2.0
    at_all = np.append(0.0, at)
    kernel = norm.pdf(at[None, :] - at_all[:, None] + k - shift) * share[None, :]
    stays = norm.cdf(k - shift - at_all)[:, None]
    lengths = np.linalg.solve(np.eye(len(at_all)) - np.hstack([stays, kernel]), np.ones(len(at_all)))
    return float(lengths[0])


def test_the_sums_are_those_of_the_worked_table() -> None:
    """Signal at the 29th reading, the change from the 23rd, new mean 11.25."""
    found = cusum(SERIES, target=10.0, sd=1.0)
    assert found.upper == pytest.approx(UPPER, abs=0.005)
    assert (found.signal, found.change_from) == (28, 22)
    assert found.shifted_mean == pytest.approx(11.254, abs=0.001)


def test_a_fall_is_found_as_a_rise_is() -> None:
    """The mirrored series signals at the same reading, with the mirrored mean."""
    found = cusum([20.0 - one for one in SERIES], target=10.0, sd=1.0)
    assert (found.signal, found.change_from) == (28, 22)
    assert found.shifted_mean == pytest.approx(20.0 - 11.254, abs=0.001)


def test_steady_readings_give_no_signal() -> None:
    """At the target there is nothing to find, and a spread of nought is refused."""
    assert cusum([10.0] * 50, target=10.0, sd=1.0).signal is None
    with pytest.raises(ValueError, match="above nought"):
        cusum([10.0], target=10.0, sd=0.0)


@pytest.mark.parametrize(
    ("shift", "h", "published", "digit"),
    [(0.0, 4.0, 168, 1), (1.0, 4.0, 8.38, 0.01), (0.0, 5.0, 465, 1), (1.0, 5.0, 10.4, 0.1), (2.0, 5.0, 4.01, 0.01)],
)
def test_run_lengths_are_those_of_the_published_table(shift: float, h: float, published: float, digit: float) -> None:
    """Lucas and Crosier's run lengths, recalled from Montgomery, come out of Page's equation to the printed digit."""
    assert run_length(shift, h) == pytest.approx(published, abs=digit / 2)


def test_simulated_run_lengths_agree_with_pages_equation() -> None:
    """The shipped sums, run on drawn readings shifted by one sd, signal as late as the equation says."""
    random = np.random.default_rng(20261126)
    signals = [cusum(random.normal(1.0, 1.0, 80).tolist(), target=0.0, sd=1.0).signal for _ in range(2_000)]
    lengths = np.array([80 if one is None else one + 1 for one in signals])
    assert lengths.mean() == pytest.approx(run_length(1.0, 5.0), abs=4.0 * lengths.std() / np.sqrt(len(lengths)))
