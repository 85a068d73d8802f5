"""Gill beats against the animal's own baseline."""

import pytest

from pratique.science.health.breathing import BreathingLimits, Count, breathing

LIMITS = BreathingLimits(raised_ratio=1.3, distress_ratio=1.5, raised_per_min=120, distress_per_min=150, stale_days=2)


def counts(*rates, counted_s=30.0):
    """One count a day."""
    return [Count(float(day), rate, counted_s, f"count {day}") for day, rate in enumerate(rates)]


def look(series, now=None):
    """The breathing a few hours after the newest count."""
    return breathing(series, series[-1].at_day + 0.2 if now is None else now, limits=LIMITS)


def test_a_steady_rate_is_normal():
    """Near its own baseline."""
    found = look(counts(80, 82, 78, 80, 80))
    assert (found.state, found.since) == ("normal", None)
    assert found.ratio == pytest.approx(1.0, abs=0.03)


def test_a_fright_on_arrival_does_not_lift_the_baseline():
    """The lower half of the first counts is the animal at rest."""
    found = look(counts(120, 112, 96, 80, 80, 78, 82, 80, 80))
    assert found.baseline == pytest.approx(80, abs=1)
    assert found.baseline_counts == 4


def test_a_third_more_than_baseline_is_raised_since_the_first_such_count():
    """The run that lasts, not an odd count before it."""
    found = look(counts(80, 80, 80, 80, 110, 80, 105, 108))
    assert (found.state, found.since.entry) == ("raised", "count 6")
    assert found.ratio == pytest.approx(1.35)


def test_half_more_than_baseline_is_distress():
    """And the ratio has a range around it."""
    found = look(counts(80, 80, 82, 78, 124))
    assert found.state == "distress"
    assert found.ratio_low < found.ratio < found.ratio_high


def test_fast_breathing_is_raised_even_without_a_baseline():
    """Two counts make no baseline, but 125 a minute speaks for itself."""
    found = look(counts(90, 125))
    assert (found.state, found.baseline, found.ratio) == ("raised", None, None)


def test_without_a_baseline_a_moderate_rate_is_unknown():
    """Ninety may be this animal's rest, or not."""
    assert look(counts(90, 92)).state == "unknown"


def test_an_old_count_says_nothing_of_today():
    """Three days on the state is unknown, the numbers stay visible."""
    found = look(counts(80, 80, 80, 80, 80), now=7.0)
    assert found.state == "unknown"
    assert found.baseline == 80


def test_an_old_alarm_is_remembered_as_what_it_was():
    """Fast breathing three days ago says nothing of today, but it was fast, and since when."""
    found = look(counts(80, 80, 80, 80, 130, 170), now=9.0)
    assert (found.state, found.latest_state, found.since.entry) == ("unknown", "distress", "count 4")


def test_without_counts_nothing_is_known():
    """No count, no state."""
    assert breathing([], 3.0, limits=LIMITS).state == "unknown"


def test_one_beat_either_way_is_the_error_of_a_single_count():
    """±1 beat over 15 s is ±4 a minute: with no other spread the latest count alone gives ±5 % at 80."""
    fifteen = look(counts(80, 80, 80, 80, 80, 80, 80, 80, 80, 80, 80, counted_s=15.0))
    sixty = look(counts(80, 80, 80, 80, 80, 80, 80, 80, 80, 80, 80, counted_s=60.0))
    assert fifteen.baseline_plus_minus == pytest.approx(4 * 1.2533 / 5**0.5)
    assert fifteen.ratio_high - fifteen.ratio == pytest.approx(4 * (sixty.ratio_high - sixty.ratio))
    assert fifteen.ratio_high - fifteen.ratio > 4 / 80


def test_the_animals_own_spread_widens_the_range():
    """An animal that varies from count to count is judged less surely."""
    calm, lively = look(counts(80, 80, 81, 79, 80, 80)), look(counts(70, 90, 76, 84, 95, 80))
    assert lively.ratio_high - lively.ratio_low > calm.ratio_high - calm.ratio_low


def test_the_shipped_limits_come_from_the_figures():
    """Used when none are given."""
    series = counts(80, 80, 80, 80, 106)
    assert breathing(series, 4.2) == breathing(series, 4.2, limits=BreathingLimits.shipped())
