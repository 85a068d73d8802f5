"""What to do now: never beyond a limit, only what a syringe measures, and nothing where nothing is best."""

from dataclasses import replace

import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.advice import Means, advise, next_reading_day
from pratique.science.estimation.case import Band, Case, Change, Dose, Initial, Loss, Reading, Refill, Source, Volume
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
WIDE_STEP = replace(MEANS, rise_left=1.0)


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


def test_what_a_planned_change_takes_is_put_back_with_it():
    """16 L of 80 at 0.18 take 2.9 mg: the change alone leaves 0.144, and a dose of about that much restores the target,
    though nothing is left of the daily step.
    """
    change = Change(1.0, 16.0)
    found = advise(standing_at(0.18), BAND, replace(MEANS, rise_left=0.0), until_day=2.0, planned=[change])
    assert found.nothing.level_after == pytest.approx(0.144, abs=0.003)
    assert found.deed.dose_mg == pytest.approx(0.18 * 16.0, abs=0.5)
    assert found.deed.inside > 0.99
    assert found.nothing.inside < 0.4


def test_what_a_planned_change_takes_is_not_put_back_where_the_level_was_too_high():
    """At 0.24 a change of 16 L of 80 leaves 0.19: nothing is to be added."""
    found = advise(standing_at(0.24, loss=0.0), BAND, MEANS, until_day=2.0, planned=[Change(1.0, 16.0)])
    assert found.deed.dose_ml == 0.0
    assert found.deed.level_after == pytest.approx(0.192, abs=0.003)


def test_a_dose_into_a_volume_nobody_told_is_held_back_by_what_it_might_do():
    """Told as 80 L, 14 mg fill the band; in a tank of 30 to 200 L the same dose might pass the limit, also before any
    dose or change has made the volume count.
    """
    empty = Case("copper", "mg/L", 1.0, Initial(0.0, 0.005), volume=Volume(80.0, 0.5, is_lognormal=True), draws=2)
    told = advise(running_from(replace(empty, volume=Volume(80.0, 3.0))), BAND, WIDE_STEP, until_day=2.0)
    unknown = advise(running_from(empty), BAND, WIDE_STEP, until_day=2.0)
    assert told.deed.dose_mg > 13.0
    assert unknown.deed.dose_mg < 9.0
    assert unknown.held_back_by == "the hard limit"


def test_advice_rather_errs_to_above_the_target_than_to_lose_the_days_held():
    """With a spread of ±0.03 the best dose leads higher than the middle of the target, never out of it; where time
    above the target costs as much as time below, it leads to the middle.
    """
    vague = standing_at(0.12, sd=0.015, loss=0.0)
    leaning = advise(vague, BAND, MEANS, until_day=2.0).deed.level_after
    even = advise(vague, BAND, replace(MEANS, above_target_cost=1.0), until_day=2.0).deed.level_after
    assert even == pytest.approx(0.175, abs=0.006)
    assert even + 0.004 < leaning < BAND.upper


def test_the_best_dose_is_found_to_one_step_of_the_syringe():
    """Amounts are tried coarsely and then finely: no step nearby does better (each reckoned alone)."""
    fine = replace(MEANS, syringe_step_ml=0.01)
    running = standing_at(0.1)
    best = advise(running, BAND, fine, until_day=2.0).deed
    for millilitres in (best.dose_ml - 0.3, best.dose_ml - 0.1, best.dose_ml + 0.1, best.dose_ml + 0.3):
        alone = ahead_of(running, until_day=2.0, events=[Dose(1.0, millilitres, 0.03)])
        inside = alone.probability_within(0.15, 0.25).mean() - 0.1 * alone.probability_within(0.2, 0.25).mean()
        assert inside <= best.inside - 0.1 * (best.inside - best.in_target) + 2e-3


def test_what_a_dose_leads_to_is_what_a_forecast_with_it_says():
    """The line through two forecasts tells every dose: mean, spread and time inside as a forecast of that very dose."""
    running = standing_at(0.1)
    deed = advise(running, BAND, MEANS, until_day=2.0).deed
    alone = ahead_of(running, until_day=2.0, events=[Dose(1.0, deed.dose_mg, MEANS.dose_relative_sd)])
    assert deed.level_after == pytest.approx(alone.mean[0], abs=1e-6)
    assert deed.level_after_sd == pytest.approx(alone.sd[0], rel=1e-3)
    assert deed.inside == pytest.approx(alone.probability_within(0.15, 0.25).mean(), abs=1e-4)
    assert deed.in_target == pytest.approx(alone.probability_within(0.15, 0.20).mean(), abs=1e-4)


def test_what_a_first_dose_into_new_water_leads_to_is_what_a_forecast_with_it_says():
    """It wakes the source, so its spread does not grow from that of water nobody dosed; also many bands' widths on."""
    quiet = Refill(0.5, 0.0, 0.0005, source=Source(0.0, 0.001, 0.0))
    case = replace(standing_at(0.0).case, events=(Change(0.1, 8.0), quiet), readings=(), source=Source(0.0, 0.02, 0.0))
    running, narrow = running_from(case), Band(0.19, 0.20)
    found = advise(running, narrow, replace(WIDE_STEP, most_above_hard=0.5), until_day=2.0)
    ahead = ahead_of(running, until_day=2.0, events=(Dose(1.0, found.deed.dose_mg, 0.03),))
    assert found.deed.dose_mg > 10.0
    assert found.deed.above_hard == pytest.approx(float((1.0 - ahead.probability_below(0.25)).max()), rel=1e-3)
    assert found.deed.inside == pytest.approx(float(ahead.probability_within(0.19, 0.25).mean()), rel=1e-3)
    undosed = ahead_of(running, until_day=2.0)
    assert found.nothing.level_after_sd == pytest.approx(float(undosed.sd[0]), rel=1e-3)


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
