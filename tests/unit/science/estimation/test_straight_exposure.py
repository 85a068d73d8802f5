"""The clock of a treatment."""

import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.mass_balance import Change, Dose, Reading, Untold, balance
from pratique.science.estimation.reading import Method, Observed
from pratique.science.estimation.straight_exposure import exposure

PHOTOMETER = Method(resolution=0.01, absolute_sd=0.015, relative_sd=0.025)
DAY = 24.0


def course(*events, days, start_day=0.0):
    """The exposure of a course of ionic copper in a hundred litres (band 0.15 to 0.20, hard upper limit 0.25)."""
    track = balance(events, net_volume_l=100, net_volume_sd_l=0, until=days * DAY)
    return exposure(track, lower=0.15, hard_upper=0.25, start=start_day * DAY, end=days * DAY)


def test_an_unbroken_course_is_credited_in_whole_days():
    """Eleven and a half days at 0.18 are eleven days."""
    found = course(Dose(0, 18, "a"), days=11.5)
    assert (found.days_credited, found.days_lost, found.dips) == (11, 0, ())
    assert found.hours_held == pytest.approx(276)


def test_exactly_the_lower_target_counts_as_held():
    """Held means at or above the lower target."""
    assert course(Dose(0, 15, "a"), days=5).days_credited == 5


def test_the_ramp_is_no_dip():
    """Time before the target is first reached is not credited and not lost."""
    found = course(Dose(0, 5, "a"), Dose(DAY, 5, "b"), Dose(2 * DAY, 8, "c"), days=12)
    assert (found.days_credited, found.days_lost, found.dips) == (10, 0, ())
    assert [mark.held for mark in found.day_marks[:3]] == [False, False, True]


def test_a_dip_restarts_the_clock():
    """A large change on day 14 without its make-up, mended a day later: fourteen days are lost, five credited."""
    found = course(Dose(0, 18, "a"), Change(14 * DAY, 40, 0.0, "change"), Dose(15 * DAY, 7, "mend"), days=20)
    assert (found.days_credited, found.days_lost) == (5, 14)
    (dip,) = found.dips
    assert (dip.start, dip.end, dip.entries) == (14 * DAY, 15 * DAY, ("change",))
    assert dip.lowest == pytest.approx(0.108)


def test_a_dip_that_lasts_leaves_nothing_credited():
    """Until the level is back the clock stands at nothing."""
    found = course(Dose(0, 18, "a"), Change(14 * DAY, 40, 0.0, "change"), days=16)
    assert (found.days_credited, found.days_lost) == (0, 14)
    assert found.dips[0].end == 16 * DAY


def test_a_change_made_good_at_the_same_moment_is_no_dip():
    """Water and make-up logged together leave the run unbroken."""
    found = course(Dose(0, 18, "a"), Change(5 * DAY, 40, 0.0, "change"), Dose(5 * DAY, 7.2, "make-up"), days=10)
    assert (found.days_credited, found.dips) == (10, ())


def test_a_reading_that_sees_the_level_below_breaks_the_run_even_if_mended_at_once():
    """What a reading saw happened, though the dose went in at the same moment."""
    low = Reading(5 * DAY, PHOTOMETER, Observed(value=0.12), "low")
    found = course(Dose(0, 18, "a"), low, Dose(5 * DAY, 6, "mend"), days=10)
    assert (found.days_credited, found.days_lost) == (5, 5)
    assert found.dips[0].entries == ("low",)
    assert [mark.held for mark in found.day_marks[4:7]] == [True, False, True]


def test_a_reading_below_at_the_very_end_stops_the_clock():
    """The newest reading counts."""
    found = course(Dose(0, 18, "a"), Reading(8 * DAY, PHOTOMETER, Observed(value=0.10), "low"), days=8)
    assert (found.days_credited, found.days_lost) == (0, 8)
    assert len(found.dips) == 1


def test_every_earlier_run_is_lost():
    """Two dips: the whole days of both runs before them."""
    found = course(
        Dose(0, 18, "a"),
        Change(3.5 * DAY, 40, 0.0, "b"),
        Dose(4 * DAY, 8, "c"),
        Change(6 * DAY, 40, 0.0, "d"),
        Dose(7 * DAY, 9, "e"),
        days=10,
    )
    assert (found.days_credited, found.days_lost, len(found.dips), len(found.runs)) == (3, 5, 2, 3)


def test_hours_above_the_hard_upper_limit_are_counted():
    """The limit itself is not above it."""
    found = course(Dose(0, 18, "a"), Dose(2 * DAY, 12, "too much"), Change(3 * DAY, 40, 0.0, "b"), days=5)
    assert found.hours_above_upper == pytest.approx(24)
    assert course(Dose(0, 25, "a"), days=5).hours_above_upper == 0


def test_a_course_counts_from_its_own_start():
    """Copper that stood before the course began is not credited to it."""
    assert course(Dose(0, 18, "a"), days=10, start_day=4).days_credited == 6


def test_a_low_reading_before_the_start_is_not_held_against_the_course():
    """Read low on day 3, dosed to target on day 4 as the course began: day 0 of the course is held."""
    low = Reading(3 * DAY, PHOTOMETER, Observed(value=0.10), "low")
    found = course(Dose(0, 12, "a"), low, Dose(4 * DAY, 8, "b"), days=10, start_day=4)
    assert (found.days_credited, found.day_marks[0].held) == (6, True)


def test_a_day_shows_its_lowest_level_and_the_part_below():
    """Six hours below on day 2 are a quarter of it."""
    found = course(Dose(0, 18, "a"), Change(2.5 * DAY, 40, 0.0, "b"), Dose(2.75 * DAY, 8, "c"), days=4)
    mark = found.day_marks[2]
    assert (mark.day_index, mark.held, mark.part_of_day_below) == (2, False, pytest.approx(0.25))
    assert mark.lowest == pytest.approx(0.108)


def test_time_the_track_does_not_cover_is_not_held():
    """A course that starts before the first entry has nothing to show for those hours."""
    found = course(Dose(2 * DAY, 18, "a"), days=4)
    assert (found.days_credited, [mark.held for mark in found.day_marks]) == (2, [False, False, True, True])


def test_a_course_never_at_target_has_no_runs_and_no_dips():
    """What was never reached cannot dip."""
    found = course(Dose(0, 5, "a"), days=6)
    assert (found.days_credited, found.days_lost, found.runs, found.dips) == (0, 0, (), ())


def test_a_course_cannot_end_before_it_starts():
    """The two dates are the wrong way round."""
    with pytest.raises(DomainError, match="before it starts"):
        course(Dose(0, 18, "a"), days=4, start_day=5)


def test_credit_ends_where_the_level_is_no_longer_known():
    """Read last on day 2 and trusted for a day and a half more: of twenty days three count, the rest is not known."""
    track = balance([Dose(0, 18, "a")], net_volume_l=100, net_volume_sd_l=0, until=20 * DAY)
    found = exposure(track, lower=0.15, hard_upper=0.25, start=0, end=20 * DAY, known_until=3.5 * DAY)
    assert (found.days_credited, found.days_lost, found.dips) == (3, 0, ())
    assert [mark.held for mark in found.day_marks] == [True] * 3 + [False] * 17
    assert [mark.is_known for mark in found.day_marks] == [True] * 3 + [False] * 17


def test_days_before_the_level_was_known_are_neither_held_nor_a_dip():
    """Nothing was read before day 2."""
    events = [Change(0, 5, 0.0, "a"), Reading(2 * DAY, PHOTOMETER, Observed(value=0.18), "b")]
    track = balance(events, net_volume_l=100, net_volume_sd_l=0, initial_mg_per_l=None, until=5 * DAY)
    found = exposure(track, lower=0.15, hard_upper=0.25, start=0, end=5 * DAY)
    assert (found.days_credited, found.days_lost, found.dips) == (3, 0, ())
    assert [mark.held for mark in found.day_marks] == [False, False, True, True, True]
    assert [mark.is_known for mark in found.day_marks] == [False, False, True, True, True]


def test_an_untold_dose_that_only_adds_breaks_no_run():
    """Copper of unknown amount on day 3: the level is not known, but it did not fall."""
    track = balance([Dose(0, 18, "a"), Untold(3 * DAY, True, "b")], net_volume_l=100, net_volume_sd_l=0, until=6 * DAY)
    found = exposure(track, lower=0.15, hard_upper=0.25, start=0, end=6 * DAY)
    assert (found.days_credited, found.days_lost, found.dips) == (6, 0, ())
