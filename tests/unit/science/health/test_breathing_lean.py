"""Breathing that leans upward, and the self-starting scores under it.

The scores are Hawkins's (1987): the transformed readings of a process that holds are independent and standard normal
whatever its level and spread. That property is checked here with scipy; the counts are invented.
"""

import numpy as np
import pytest
from scipy.stats import kstest, norm, t

from pratique.knowledge import figure
from pratique.science.health.alarms import cusum, self_starting_scores
from pratique.science.health.breathing import Count
from pratique.science.health.breathing_lean import lean

REST = (62, 60, 63, 61, 60, 62, 61, 63, 60, 62)


def counts(*beats: float) -> list[Count]:
    """Return one count a day over 30 seconds, the first on day 0."""
    return [Count(float(day), one, 30.0, str(day)) for day, one in enumerate(beats)]


def test_a_score_is_the_quantile_of_the_reading_among_those_before_it():
    """The definition, spelt out with scipy's own distributions for the fourth of four readings."""
    first = np.array([10.0, 12.0, 11.0])
    at = np.sqrt(3 / 4) * (13.0 - first.mean()) / first.std(ddof=1)
    expected = norm.ppf(t.cdf(at, df=2))
    assert self_starting_scores([*first, 13.0], least_sd=0.1)[3] == pytest.approx(expected, abs=1e-12)


def test_scores_of_readings_that_hold_are_standard_normal():
    """4,000 short runs about different levels and spreads: by Kolmogorov and Smirnov no sign of another law."""
    random = np.random.default_rng(20261126)
    runs = [random.normal(random.uniform(40, 90), random.uniform(1, 4), 12) for _ in range(4_000)]
    scores = np.array([self_starting_scores(list(run), least_sd=1e-9)[2:] for run in runs])
    assert kstest(scores.ravel(), "norm").pvalue > 0.001
    assert abs(np.corrcoef(scores[:, 3], scores[:, 4])[0, 1]) < 0.06


def test_false_alarms_are_as_seldom_as_stated():
    """Over 1,000 runs of 200 counts at rest, the first alarm comes as often as one in 930 counts."""
    random = np.random.default_rng(20261127)
    alarms, seen = 0, 0
    for _ in range(1_000):
        upper = np.array(
            cusum(self_starting_scores(list(random.normal(60, 2, 200)), least_sd=1e-9), target=0, sd=1).upper
        )
        over = np.flatnonzero(upper > figure("breathing.lean_limit").value)
        alarms += bool(over.size)
        seen += over[0] + 1 if over.size else 200
    expected = seen / figure("breathing.lean_false_alarm_counts").value
    assert alarms == pytest.approx(expected, abs=4 * np.sqrt(expected))


def test_a_small_lasting_rise_is_told_before_any_count_is_raised():
    """Five beats above a rest of 61, well under the 1.3 times that count as raised."""
    found = lean(counts(*REST, 66, 65, 67, 66, 66, 65), now=15.2)
    assert found is not None
    assert found.since.at_day == 10.0
    assert (found.counts, found.before_per_min, found.since_per_min) == (6, 61.5, 66)


def test_one_odd_count_is_no_rise():
    """A single 70 among counts at rest leaves nothing to tell, and so do counts that fall."""
    assert lean(counts(*REST, 70, 61, 62, 60), now=13.2) is None
    assert lean(counts(*(80, 78, 76, 74, 72, 70, 68, 66, 64, 62)), now=9.2) is None


def test_old_counts_say_nothing_of_today():
    """The same rise, not counted since: whether it lasts is not known."""
    assert lean(counts(*REST, 66, 65, 67, 66, 66, 65), now=20.0) is None
    assert lean([], now=0.0) is None


def test_counts_that_never_differ_are_not_surer_than_a_count_can_be():
    """Ten counts of 60 and then 61s: within the error of a count of 30 seconds, so no rise."""
    assert lean(counts(*[60] * 10, 61, 61, 61), now=12.1) is None
