"""What to do now: never beyond a limit, only what a syringe measures, and nothing where nothing is best."""

from dataclasses import replace

import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.advice import Means, advise, make_up, next_reading_day
from pratique.science.estimation.case import Band, Case, Dose, Initial, Loss, Reading, Source, Volume
from pratique.science.estimation.forecast import ahead_of
from pratique.science.estimation.reading import Method, Observed
from pratique.science.estimation.running import running_from

BAND = Band(0.15, 0.20)
MEANS = Means(
    strength_mg_per_ml=1.0,
    syringe_step_ml=0.5,
    dose_relative_sd=0.03,
    rise_left=0.1,
    hard_upper=0.25,
    most_above_hard=0.01,
)


def standing_at(level, *, sd=0.008, volume_sd=3.0, loss=0.04):
    """A tank of 80 L in which the level is now about `level`."""
    return running_from(
        Case(
            constituent="copper",
            unit="mg/L",
            span_days=1.0,
            initial=Initial(level, 0.2),
            volume=Volume(80.0, volume_sd),
            loss=Loss(loss, 0.3) if loss else Loss(),
            source=Source(0.0, 0.002, 0.001),
            methods={"sharp": Method(resolution=0.0, absolute_sd=sd, relative_sd=0.0)},
            events=(Dose(0.0, 0.001),),
            readings=(Reading(1.0, "sharp", Observed(value=level)),),
            draws=2,
        )
    )


def test_a_level_too_low_is_dosed_to_the_middle_of_the_band():
    """From 0.12 in 80 L about 5 mg bring it near 0.18; the day after it is likelier inside than with nothing."""
    found = advise(standing_at(0.12), BAND, MEANS, until_day=2.0)
    assert found.deed.dose_mg == pytest.approx(5.0, abs=1.0)
    assert found.deed.level_after == pytest.approx(0.12 + found.deed.dose_mg / 80.0, abs=0.002)
    assert found.deed.inside > 0.95
    assert found.nothing.inside < 0.1
    assert found.held_back_by == ""


def test_nothing_is_advised_where_the_level_is_well_inside():
    """At 0.178 without loss any dose makes it worse."""
    found = advise(standing_at(0.178, loss=0.0), BAND, MEANS, until_day=2.0)
    assert found.deed == found.nothing
    assert (found.deed.dose_ml, found.deed.change_l) == (0.0, 0.0)


@pytest.mark.parametrize("level", [0.0, 0.05, 0.1, 0.14, 0.17, 0.2, 0.24])
@pytest.mark.parametrize("rise_left", [0.0, 0.004, 0.02, 0.05, 0.2])
@pytest.mark.parametrize("sd", [0.005, 0.03])
def test_no_advice_passes_the_daily_step_the_hard_limit_or_the_syringe(level, rise_left, sd):
    """Whatever the level: whole steps of the syringe, a rise within what is left, and at most 1 % above the limit."""
    running = standing_at(level, sd=sd)
    deed = advise(running, BAND, replace(MEANS, rise_left=rise_left), until_day=2.0).deed
    assert deed.dose_ml % 0.5 == pytest.approx(0.0, abs=1e-9)
    assert deed.dose_mg <= rise_left * running.volume_mean + 1e-9
    if deed.dose_ml > 0.0:
        assert deed.above_hard <= 0.01


def test_the_daily_step_holds_back_a_large_dose_and_it_says_so():
    """From nothing to the band needs 14 mg; 0.05 mg/L a day in 80 L allow 4, and the way there begins with those."""
    found = advise(standing_at(0.0), BAND, replace(MEANS, rise_left=0.05), until_day=2.0)
    assert found.deed.dose_ml in (3.5, 4.0)
    assert found.held_back_by == "the daily step"


def test_a_dose_is_rounded_down_to_what_the_syringe_measures():
    """0.0107 mg/L are 0.86 mL: with a syringe of 0.5 mL steps half a millilitre, not a whole one."""
    found = advise(standing_at(0.13), BAND, replace(MEANS, rise_left=0.0107), until_day=2.0)
    assert found.deed.dose_ml == 0.5


def test_a_syringe_too_coarse_for_what_is_left_says_so():
    """0.4 mL are left of the daily step and the syringe measures 0.5 mL."""
    found = advise(standing_at(0.13), BAND, replace(MEANS, rise_left=0.005), until_day=2.0)
    assert found.deed.dose_ml == 0.0
    assert found.held_back_by == "the syringe"


def test_a_level_nobody_knows_well_is_not_dosed_up_to_the_hard_limit():
    """With ± 0.06 a dose that would be best without a limit is held back by it."""
    found = advise(standing_at(0.16, sd=0.03), BAND, replace(MEANS, hard_upper=0.21), until_day=2.0)
    assert found.deed.dose_ml == 0.0
    sure = advise(standing_at(0.145, sd=0.002), BAND, replace(MEANS, hard_upper=0.21), until_day=2.0)
    assert sure.deed.dose_ml > 0.0


def test_a_level_too_high_is_brought_down_by_a_change_not_a_dose():
    """At 0.24 a change of some of up to 60 L, and no copper."""
    found = advise(standing_at(0.24, loss=0.0), BAND, MEANS, until_day=2.0, may_change_l=60.0)
    assert found.deed.dose_ml == 0.0
    assert found.deed.change_l > 0.0
    assert BAND.lower < found.deed.level_after < BAND.upper


def test_a_change_is_not_thought_of_where_none_may_be_made():
    """The same level without leave to change water: nothing."""
    assert advise(standing_at(0.24, loss=0.0), BAND, MEANS, until_day=2.0).deed.change_l == 0.0


def test_what_a_change_takes_is_put_back_with_it():
    """16 L of 80 at 0.20 take 3.2 mg: 3 mL go back, and the level falls by a fifth."""
    deed, ml = make_up(standing_at(0.2), MEANS, change_l=16.0)
    assert ml == 3.0
    assert deed.level_after == pytest.approx(0.16, abs=0.002)


def test_the_next_reading_is_due_when_the_forecast_becomes_too_wide():
    """A level in the middle drifts out; a stricter demand comes sooner, and never outside the days allowed."""
    ahead = ahead_of(standing_at(0.178), until_day=15.0)

    def due(least_inside, soonest=1.5, latest=12.0):
        return next_reading_day(ahead, BAND, least_inside=least_inside, soonest=soonest, latest=latest)

    assert due(0.95) <= due(0.8) <= due(0.5)
    assert 1.5 < due(0.8) < 12.0
    assert due(0.9999) == pytest.approx(1.5, abs=0.05)
    assert due(1e-6) == 12.0
    assert due(0.9999, soonest=20.0) == 12.0


def test_a_stock_without_strength_is_refused_in_words():
    """0 mg/mL cannot raise anything, and a syringe must have a step."""
    for means in (replace(MEANS, strength_mg_per_ml=0.0), replace(MEANS, syringe_step_ml=0.0)):
        with pytest.raises(DomainError, match="must be above 0"):
            advise(standing_at(0.12), BAND, means, until_day=2.0)


def test_advice_until_a_moment_that_is_past_is_refused_in_words():
    """The reckoning stands on day 1."""
    with pytest.raises(DomainError, match="must lie after"):
        advise(standing_at(0.12), BAND, MEANS, until_day=0.5)
