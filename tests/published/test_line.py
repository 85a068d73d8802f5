"""The weighted line and Student's distribution against published values."""

import csv
import math
from pathlib import Path

import pytest

from pratique.science.estimation.line import student_cdf, weighted_line


def test_the_norris_data_give_the_certified_line():
    """NIST StRD Norris, 36 pairs (certified values from memory, data retyped, recomputed elsewhere)."""
    with (Path(__file__).parent / "nist_norris.csv").open(encoding="utf-8") as file:
        rows = [(float(row["x"]), float(row["y"])) for row in csv.DictReader(file)]
    line = weighted_line([x for x, _ in rows], [y for _, y in rows], weights=[1.0] * len(rows))
    assert line.residual_variance is not None
    spread = math.sqrt(line.residual_variance)
    assert line.intercept == pytest.approx(-0.262323073774029, rel=1e-11)
    assert line.slope == pytest.approx(1.00211681802045, rel=1e-13)
    assert spread == pytest.approx(0.884796396144373, rel=1e-12)
    assert line.slope_se_of_weights * spread == pytest.approx(4.29796848199937e-4, rel=1e-12)
    assert line.intercept_se_of_weights * spread == pytest.approx(0.232818234301152, rel=1e-12)


def test_the_weighted_example_of_a_statistics_library_is_met():
    """statsmodels' documented WLS example: 2.91666667, 0.0952381; SE 1.41224801, 0.26688979; mse 5.98333333."""
    line = weighted_line([1, 2, 3, 4, 5, 6, 7], [1, 3, 4, 5, 2, 3, 4], weights=[1, 2, 3, 4, 5, 6, 7])
    assert line.residual_variance == pytest.approx(5.98333333, abs=1e-8)
    spread = math.sqrt(5.98333333)
    assert (line.intercept, line.slope) == pytest.approx((2.91666667, 0.0952381), abs=1e-8)
    assert line.intercept_se_of_weights * spread == pytest.approx(1.41224801, abs=1e-7)
    assert line.slope_se_of_weights * spread == pytest.approx(0.26688979, abs=1e-7)


@pytest.mark.parametrize(
    ("degrees", "t", "probability"),
    [(1, 12.706, 0.975), (2, 4.303, 0.975), (5, 2.571, 0.975), (10, 2.228, 0.975), (30, 1.697, 0.95), (4, 3.747, 0.99)],
)
def test_student_tables_are_met(degrees, t, probability):
    """Three-decimal table of Student's t found in any statistics textbook (from memory)."""
    assert student_cdf(t, degrees) == pytest.approx(probability, abs=5e-5)
    assert student_cdf(-t, degrees) == pytest.approx(1 - probability, abs=5e-5)


def test_one_degree_of_freedom_is_the_cauchy_distribution():
    """Closed form: 1/2 + arctan(t)/pi."""
    for t in (-3.0, -0.2, 0.0, 0.7, 40.0):
        assert student_cdf(t, 1) == pytest.approx(0.5 + math.atan(t) / math.pi, abs=1e-12)
