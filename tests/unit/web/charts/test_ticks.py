"""Where the ticks of an axis stand."""

from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pratique.web.charts.ticks import decimals_of, nice_range, time_ticks

LISBON = ZoneInfo("Europe/Lisbon")


@given(low=st.floats(-1e4, 1e4), span=st.floats(1e-6, 1e5), at_most=st.integers(3, 12))
def test_ticks_are_few_even_and_hold_the_range(low, span, at_most):
    """Whatever the figures, the ticks enclose them, stand evenly, and are no more than asked for."""
    high = low + span
    first, last, ticks = nice_range(low, high, at_most=at_most)
    step = ticks[1] - ticks[0]
    slack = 1e-6 * step + 1e-9 * abs(low)
    assert 2 <= len(ticks) <= at_most
    assert first <= low + slack
    assert last >= high - slack
    assert all(abs((after - before) - step) <= slack for before, after in pairwise(ticks))


@given(low=st.floats(-1e4, 1e4), span=st.floats(1e-3, 1e5))
def test_no_two_ticks_read_alike(low, span):
    """The decimals shown tell every tick from its neighbour."""
    _, _, ticks = nice_range(low, low + span, at_most=6)
    shown = [f"{tick:.{decimals_of(ticks)}f}" for tick in ticks]
    assert len(set(shown)) == len(shown)


def test_copper_gets_round_ticks():
    """0 to 0.25 mg/L is ticked every 0.05."""
    assert nice_range(0, 0.25, at_most=6)[2] == (0.0, 0.05, 0.10, 0.15, 0.20, 0.25)


def test_a_range_without_width_is_given_one():
    """One reading alone still has an axis."""
    low, high, ticks = nice_range(8.1, 8.1, at_most=6)
    assert low <= 8.1 <= high
    assert len(ticks) >= 2


def test_days_are_ticked_at_the_keepers_midnight_through_a_change_of_clocks():
    """Clocks went back on 25 October 2026 in Lisbon: the ticks stay at midnight, 25 hours apart that day."""
    start = datetime(2026, 10, 23, 18, 0, tzinfo=LISBON)
    ticks = time_ticks(start, start + timedelta(days=4), LISBON, at_most=6)
    assert [words for _, words in ticks] == ["24 Oct", "25 Oct", "26 Oct", "27 Oct"]
    assert {moment.hour for moment, _ in ticks} == {0}
    assert ticks[2][0].timestamp() - ticks[1][0].timestamp() == 25 * 3600


def test_a_month_has_few_labels():
    """Thirty days at phone width are labelled about once a week."""
    start = datetime(2026, 11, 1, 12, 0, tzinfo=LISBON)
    ticks = time_ticks(start, start + timedelta(days=30), LISBON, at_most=5)
    assert 3 <= len(ticks) <= 5


@pytest.mark.parametrize("hours", [3, 12, 40])
def test_within_two_days_clock_times_are_ticked(hours):
    """A short chart says the hour."""
    start = datetime(2026, 11, 1, 12, 0, tzinfo=LISBON)
    ticks = time_ticks(start, start + timedelta(hours=hours), LISBON, at_most=6)
    assert ticks
    assert all(":" in words for _, words in ticks)
    assert len(ticks) <= 7


@pytest.mark.parametrize("minutes", [0.5, 4, 20, 45, 59])
def test_readings_within_one_hour_still_have_a_time_under_them(minutes):
    """The first readings of a new tank are minutes apart; no whole hour need lie between them."""
    start = datetime(2026, 11, 1, 15, 0, 30, tzinfo=LISBON)
    ticks = time_ticks(start, start + timedelta(minutes=minutes), LISBON, at_most=5)
    assert 1 <= len(ticks) <= 6
    assert all("15:00" <= words <= "16:00" for _, words in ticks)
    assert len({words for _, words in ticks}) == len(ticks)


def test_years_of_readings_still_get_labels():
    """A very long chart is ticked sparsely, not without end."""
    start = datetime(2020, 1, 1, tzinfo=LISBON)
    ticks = time_ticks(start, start + timedelta(days=3650), LISBON, at_most=5)
    assert 1 <= len(ticks) <= 5
