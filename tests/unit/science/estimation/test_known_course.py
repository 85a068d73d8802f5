"""A course in which nothing is unsure: what the reckoning must then find can be worked out by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest

from pratique.science.estimation.case import Band, Case, Change, Dose, Initial, Loss, Reading, Refill, Unlogged, Volume
from pratique.science.estimation.exposure import Exposure, exposure_of
from pratique.science.estimation.posterior import Posterior, reckon
from pratique.science.estimation.reading import Method, Observed, sd_at

PHOTOMETER = Method(resolution=0.01, absolute_sd=0.015, relative_sd=0.025, lower_limit=0.02, upper_limit=5.0)
CHART = Method(resolution=0.0, absolute_sd=0.02, relative_sd=0.0, marks=(0.0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0))
CLEAN = Initial(0.0, 0.0)
METHODS = {"photometer": PHOTOMETER, "chart": CHART}


def case_of(*events, readings=(), days=10.0, volume_sd_l=0.0, initial=CLEAN) -> Case:
    """A hundred litres that lose and gain nothing, known to start without copper unless told otherwise."""
    return Case(
        "copper",
        "mg/L",
        days,
        initial,
        volume=Volume(100.0, volume_sd_l),
        methods=METHODS,
        events=events,
        readings=tuple(readings),
        draws=200,
    )


def level_at(found: Posterior, day: float) -> float:
    """The mean level at a point of the grid."""
    return float(found.mean[int(np.argmin(abs(found.days - day)))])


def course(*events, days: float, start_day: float = 0.0) -> Exposure:
    """The exposure of ionic copper: band from 0.15, hard upper limit 0.25 (the two ends of the shipped figures)."""
    found = reckon(case_of(*events, days=days))
    return exposure_of(
        found.trajectories, found.days, Band(0.15, 0.25), start_day=start_day, end_day=days, required_days=14.0
    )


def test_a_dose_raises_the_level_by_mass_over_volume_and_it_stays():
    """20 mg in 100 L are 0.20 mg/L, forty days on as well where nothing is lost (conservation of mass)."""
    found = reckon(case_of(Dose(0.0, 20.0), days=40.0))
    assert found.mean[[0, -1]] == pytest.approx([0.20, 0.20])
    assert found.sd.max() < 1e-9


def test_a_change_and_its_make_up():
    """30 L of 100 with clean water: 0.14; 6 mg bring back 0.20."""
    found = reckon(case_of(Dose(0.0, 20.0), Change(2.0, 30.0), Dose(3.0, 6.0)))
    assert [level_at(found, day) for day in (1.0, 2.5, 5.0)] == pytest.approx([0.20, 0.14, 0.20])


def test_at_one_moment_the_change_comes_before_the_dose():
    """0.20 thinned to 0.14 and then raised by 0.06: the other way round it would be 0.182."""
    found = reckon(case_of(Dose(0.0, 20.0), Change(1.0, 30.0), Dose(1.0, 6.0)))
    assert level_at(found, 1.0) == pytest.approx(0.20)


def test_a_refill_starts_anew():
    """Emptied and filled with clean water there is no copper, whatever was there and however little that was known."""
    found = reckon(case_of(Dose(0.0, 20.0), Refill(2.0, 0.0, 0.0), initial=Initial(0.2, 0.4)))
    assert (level_at(found, 5.0), float(found.sd[-1])) == pytest.approx((0.0, 0.0), abs=1e-9)


def test_an_unsure_volume_makes_an_unsure_level():
    """100 L ± 5 (one sd): the relative error of the level is that of the volume, to first order (JCGM 100:2008)."""
    found = reckon(case_of(Dose(0.0, 20.0), volume_sd_l=5.0))
    assert float(found.sd[-1] / found.mean[-1]) == pytest.approx(0.05, rel=0.02)


def test_two_doses_share_the_error_of_one_volume():
    """Both went into the same water: their errors add up, where independent ones would add in quadrature."""
    one = reckon(case_of(Dose(0.0, 9.0), volume_sd_l=5.0)).sd[-1]
    two = reckon(case_of(Dose(0.0, 9.0), Dose(1.0, 9.0), volume_sd_l=5.0)).sd[-1]
    assert two == pytest.approx(2.0 * one, rel=1e-6)


def test_a_change_thins_out_the_error_it_finds():
    """A level read with a plain meter keeps seven tenths of its error when three tenths of the water are changed."""
    read = Reading(0.0, "photometer", Observed(value=0.20))
    found = reckon(case_of(Change(2.0, 30.0), readings=[read], initial=Initial(0.2, 40.0)))
    assert float(found.sd[0]) == pytest.approx(sd_at(PHOTOMETER, 0.20), rel=0.02)
    assert float(found.sd[-1] / found.sd[0]) == pytest.approx(0.7, rel=1e-6)


def test_a_chart_says_between_which_marks_the_level_lies_and_no_more():
    """Nothing known before, 0.1 to 0.2 seen: even over the interval, 0.1/√12 wide, but for the eye's own 0.02."""
    seen = Reading(0.0, "chart", Observed(low=0.1, high=0.2))
    found = reckon(case_of(readings=[seen], initial=Initial(0.0, 40.0)))
    assert float(found.mean[-1]) == pytest.approx(0.15, abs=1e-3)
    assert float(found.sd[-1]) == pytest.approx(math.hypot(0.1 / math.sqrt(12.0), 0.02), rel=0.01)


def test_what_was_untold_leaves_the_level_open_until_it_is_read():
    """A dose of unknown amount on day 3 may have moved the level by 0.2; a reading on day 4 closes that again."""
    read = Reading(4.0, "photometer", Observed(value=0.30))
    found = reckon(case_of(Dose(0.0, 20.0), Unlogged(3.0, 0.2), readings=[read]))
    after = int(np.argmin(abs(found.days - 3.5)))
    assert level_at(found, 2.0) == pytest.approx(0.20)
    assert level_at(found, 3.5) == pytest.approx(0.30, abs=0.005)
    assert float(found.sd[after]) == pytest.approx(sd_at(PHOTOMETER, 0.30), rel=0.02)
    without = reckon(case_of(Dose(0.0, 20.0), Unlogged(3.0, 0.2)))
    assert float(without.sd[-1]) == pytest.approx(0.2, rel=1e-6)


def test_an_unbroken_course_is_held_for_sure():
    """Eighteen and a half days at 0.18: that many are credited, and the fourteen asked for were reached."""
    found = course(Dose(0.0, 18.0), days=18.5)
    assert found.credited_days.quantiles == pytest.approx([18.5] * 7)
    assert (found.held.value, found.dips) == (1.0, ())


def test_the_ramp_is_no_dip():
    """Time before the target is first reached is not credited and not lost."""
    found = course(Dose(0.0, 5.0), Dose(1.0, 5.0), Dose(2.0, 8.0), days=12.0)
    assert found.credited_days.mean == pytest.approx(10.0)
    assert found.dips == ()
    assert [day.held.value for day in found.days[:3]] == [0.0, 0.0, 1.0]


def test_a_dip_restarts_the_clock():
    """A large change on day 14 without its make-up, mended a day later: of twenty days five stand, fourteen do not."""
    found = course(Dose(0.0, 18.0), Change(14.0, 40.0), Dose(15.0, 7.3), days=20.0)
    assert found.credited_days.mean == pytest.approx(5.0)
    assert found.longest_unbroken_days.mean == pytest.approx(14.0 - 1.0 / 24.0)
    (dip,) = found.dips
    assert (dip.start_day, dip.end_day) == pytest.approx((14.0, 15.0 - 1.0 / 24.0))
    assert dip.probability.value == 1.0


def test_a_dip_that_lasts_leaves_nothing_credited():
    """Until the level is back the clock stands at nothing."""
    assert course(Dose(0.0, 18.0), Change(14.0, 40.0), days=16.0).credited_days.mean == 0.0


def test_a_change_made_good_at_the_same_moment_is_no_dip():
    """Water and make-up logged together leave the run unbroken."""
    found = course(Dose(0.0, 18.0), Change(5.0, 40.0), Dose(5.0, 7.2), days=10.0)
    assert (found.credited_days.mean, found.dips) == (pytest.approx(10.0), ())


def test_hours_above_the_hard_upper_limit_are_counted():
    """0.30 for a day, then 0.18 again."""
    found = course(Dose(0.0, 18.0), Dose(2.0, 12.0), Change(3.0, 40.0), days=5.0)
    assert found.hours_above_upper.mean == pytest.approx(24.0)


def test_a_course_counts_from_its_own_start():
    """Copper that stood before the course began is not credited to it."""
    assert course(Dose(0.0, 18.0), days=10.0, start_day=4.0).credited_days.mean == pytest.approx(6.0)


def test_a_level_that_falls_of_itself_dips_when_it_should():
    """0.18 mg/L at 5 % a day is 0.15 after ln(1.2)/0.05 = 3.65 days (first-order decay, worked by hand)."""
    falling = replace(case_of(Dose(0.0, 18.0), days=6.0), loss=Loss(0.05, 0.0))
    found = reckon(falling)
    held = exposure_of(found.trajectories, found.days, Band(0.15, 0.25), start_day=0.0, end_day=6.0, required_days=None)
    assert held.longest_unbroken_days.mean == pytest.approx(math.log(1.2) / 0.05, abs=1.0 / 24.0)
    assert held.dips[0].start_day == pytest.approx(math.log(1.2) / 0.05, abs=1.0 / 24.0)
