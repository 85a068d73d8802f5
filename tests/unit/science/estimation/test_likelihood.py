"""What one reading says: its moments against dense sums written out here, for each kind of report, far tails too."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import log_ndtr
from scipy.stats import norm

from pratique.science.estimation.case import Case, Initial, Reading
from pratique.science.estimation.likelihood import eye_sd, log_likelihood, rows_of, site_of, tilted
from pratique.science.estimation.reading import Method, Observed

PHOTOMETER = Method(resolution=0.01, absolute_sd=0.02, relative_sd=0.05, lower_limit=0.02, upper_limit=5.0)
DROPS = Method(resolution=0.05, absolute_sd=0.03, relative_sd=0.0)
PLAIN = Method(resolution=0.0, absolute_sd=0.02, relative_sd=0.0)
STEEP = Method(resolution=0.0, absolute_sd=0.01, relative_sd=0.1)
CHART = Method(resolution=0.0, absolute_sd=0.0, relative_sd=0.0, marks=(0.0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0))
METHODS = {"photometer": PHOTOMETER, "drops": DROPS, "plain": PLAIN, "steep": STEEP, "chart": CHART}

REPORTS = {
    "a plain value": ("plain", Observed(value=0.18)),
    "a value whose error grows with the level": ("steep", Observed(value=0.18)),
    "a rounded value": ("drops", Observed(value=0.2)),
    "a rounded value whose error grows": ("photometer", Observed(value=0.18)),
    "between two marks": ("chart", Observed(low=0.1, high=0.2)),
    "below a limit": ("photometer", Observed(below=0.02)),
    "above a mark": ("chart", Observed(above=1.0)),
}
# Mean and sd of what is believed beforehand: near, wide, sharp, and off to either side.
BELIEFS = [(0.15, 0.05), (0.15, 0.3), (0.18, 0.005), (0.3, 0.03), (0.02, 0.05), (0.5, 0.2)]
FAR = [(0.8, 0.03), (-0.6, 0.05), (1.6, 0.05)]


def row_of(key, observed):
    """The row of one reading by one of the methods above."""
    case = Case("copper", "mg/L", 1.0, Initial(0.0, 1.0), methods=METHODS, readings=(Reading(0.5, key, observed),))
    return rows_of(case)[0]


def dense(row, mean, sd):
    """Log Z, mean and sd of belief × likelihood by a sum over 400,001 points; the likelihood is written again here."""
    near = min(max(mean, row[1]), row[2])
    seen = np.linspace(min(mean, near) - 10 * sd, max(mean, near) + 10 * sd, 400_001)
    error = np.hypot(row[3], row[4] * seen)
    if row[1] == row[2]:
        logs = norm.logpdf(row[1], seen, error)
    else:
        low, high = (row[1] - seen) / error, (row[2] - seen) / error
        flipped = low > 0
        low, high = np.where(flipped, -high, low), np.where(flipped, -low, high)
        logs = log_ndtr(high) + np.log1p(-np.exp(log_ndtr(low) - log_ndtr(high)))
    logs += norm.logpdf(seen, mean, sd)
    weights = np.exp(logs - logs.max())
    total = weights.sum()
    centre = weights @ seen / total
    spread = math.sqrt(weights @ (seen - centre) ** 2 / total)
    return logs.max() + math.log(total * (seen[1] - seen[0])), centre, spread


@pytest.mark.parametrize("belief", BELIEFS)
@pytest.mark.parametrize("report", REPORTS)
def test_the_moments_of_a_reading_are_its_integral(report, belief):
    """Log Z within 0.02, mean within 0.03 sd, sd within 3 %, near and moderately far."""
    row = row_of(*REPORTS[report])
    log_z, centre, spread = dense(row, *belief)
    found = tilted(row, belief[0], belief[1] ** 2, belief[0], 1.0)
    assert found[0] == pytest.approx(log_z, abs=0.02)
    assert found[1] == pytest.approx(centre, abs=0.03 * spread)
    assert math.sqrt(found[2]) == pytest.approx(spread, rel=0.03)


@pytest.mark.parametrize("belief", FAR)
@pytest.mark.parametrize("report", REPORTS)
def test_a_reading_nothing_led_to_expect_still_has_its_moments(report, belief):
    """Ten to fifty sds off: log Z within 0.2 of some hundreds, mean within 0.2 sd, sd within 10 %."""
    row = row_of(*REPORTS[report])
    log_z, centre, spread = dense(row, *belief)
    found = tilted(row, belief[0], belief[1] ** 2, belief[0], 1.0)
    assert found[0] == pytest.approx(log_z, abs=0.2)
    assert found[1] == pytest.approx(centre, abs=0.2 * spread)
    assert math.sqrt(found[2]) == pytest.approx(spread, rel=0.1)


def test_the_moments_of_a_mark_agree_with_adaptive_integration():
    """One of them by scipy's quad as well, so that the sum above is not trusted alone."""
    row, mean, sd = row_of("chart", Observed(low=0.1, high=0.2)), 0.25, 0.04

    def product(seen):
        return (norm.cdf((0.2 - seen) / 0.02) - norm.cdf((0.1 - seen) / 0.02)) * norm.pdf(seen, mean, sd)

    mass = quad(product, -0.2, 0.6, epsabs=1e-13, points=[0.1, 0.2])[0]
    centre = quad(lambda seen: seen * product(seen), -0.2, 0.6, epsabs=1e-13, points=[0.1, 0.2])[0] / mass
    second = quad(lambda seen: (seen - centre) ** 2 * product(seen), -0.2, 0.6, epsabs=1e-13, points=[0.1, 0.2])[0]
    found = tilted(row, mean, sd**2, mean, 1.0)
    assert found == pytest.approx((math.log(mass), centre, second / mass), rel=1e-7)


def test_a_plain_reading_is_the_weighted_mean():
    """Belief 0.10 ± 0.02 and reading 0.18 ± 0.02 meet half-way, with half the variance."""
    log_z, centre, variance = tilted(row_of("plain", Observed(value=0.18)), 0.10, 0.02**2, 0.10, 1.0)
    assert (centre, variance) == pytest.approx((0.14, 0.0002))
    assert log_z == pytest.approx(norm.logpdf(0.18, 0.10, 0.02 * math.sqrt(2)))


def test_a_chart_without_an_eye_error_is_read_to_a_fifth_of_its_smallest_step():
    """The marks 0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0 lie 0.1 apart at the closest; an error given wins."""
    assert eye_sd(CHART) == pytest.approx(0.02)
    assert eye_sd(replace(CHART, absolute_sd=0.05)) == 0.05
    assert eye_sd(PLAIN) == 0.02


def test_a_rounded_value_at_the_limit_was_not_under_it():
    """Rounded to 0.01 with a limit at 0.02, a reading of 0.02 saw 0.02 to 0.025."""
    assert row_of("photometer", Observed(value=0.02))[1:3] == pytest.approx([0.02, 0.025])


def test_all_a_chart_can_report_adds_up_to_one():
    """Below, each pair of marks, above: their likelihoods at any level sum to 1."""
    marks = CHART.marks
    reports = [Observed(below=marks[0]), Observed(above=marks[-1])]
    reports += [Observed(low=low, high=high) for low, high in pairwise(marks)]
    for level in (-0.03, 0.0, 0.14, 0.5, 0.98, 2.0):
        total = sum(math.exp(log_likelihood(row_of("chart", one), level, level)) for one in reports)
        assert total == pytest.approx(1.0)


def test_far_out_the_likelihood_still_falls():
    """Past what a tail can hold (38 sds) the logarithm goes on as that of a normal."""
    row = row_of("chart", Observed(above=1.0))
    for level in (0.4, 0.2, 0.0, -1.0):
        assert log_likelihood(row, level, level) == pytest.approx(log_ndtr((level - 1.0) / 0.02), rel=2e-3)


def test_a_site_turns_the_belief_into_the_moments():
    """Belief times site is the normal that was asked for."""
    mean, variance, wanted_mean, wanted_variance = 0.2, 0.01, 0.15, 0.002
    place, width = site_of(mean, variance, wanted_mean, wanted_variance)
    precision = 1 / variance + 1 / width
    assert 1 / precision == pytest.approx(wanted_variance)
    assert (mean / variance + place / width) / precision == pytest.approx(wanted_mean)


def test_a_reading_that_would_widen_what_was_known_says_next_to_nothing():
    """A site never has a variance below nothing: it becomes a reading a thousand million times wider."""
    place, width = site_of(0.2, 0.01, 0.25, 0.012)
    assert (place, width) == pytest.approx((0.25, 0.01e9))
