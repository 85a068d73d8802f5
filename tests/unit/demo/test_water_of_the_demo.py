"""The water of the demo household: what its entries say, held against the truth they come from."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from tests.unit.demo.telling import COURSE, copper_case, moments_and, readings

from pratique.demo.chance import SEED
from pratique.demo.days import MINUTES_PER_DAY
from pratique.demo.story.feeding import meals
from pratique.demo.story.lazaret import lazaret_trace
from pratique.demo.truth import TRUTH
from pratique.ledger.kinds.water import Reading, WaterChange
from pratique.science.chemistry.ammonia import un_ionised_ammonia_mg_n_per_l
from pratique.science.estimation.case import Band, Volume
from pratique.science.estimation.exposure import Exposure, exposure_of
from pratique.science.estimation.marginal import PROBABILITIES
from pratique.science.estimation.posterior import Posterior, reckon


@cache
def reckoned(litres: float = TRUTH.lazaret_believed_l) -> Posterior:
    """Return the copper of the course as it is reckoned by a keeper who believes in so many litres."""
    case = copper_case()
    return reckon(replace(case, volume=Volume(litres, case.volume.sd_l)))


def story_days(found: Posterior) -> np.ndarray:
    """Return the grid of a reckoning in days of the story."""
    return found.days + COURSE[0] - 2.0 / 24.0


def course_exposure(found: Posterior, *, start: float = COURSE[0], end: float = COURSE[1]) -> Exposure:
    """Return what the reckoning says of a part of the course of B1, in story days."""
    begun = story_days(found)[0]
    return exposure_of(
        found.trajectories,
        found.days,
        Band(0.15, 0.25),
        start_day=start - begun,
        end_day=end - begun,
        required_days=14.0,
    )


def true_copper(days: np.ndarray) -> np.ndarray:
    """Return the copper that truly was in Lazaret, mg/L, after what happened at each moment."""
    trace = lazaret_trace(meals(SEED))
    return np.array([trace.at(int(day * MINUTES_PER_DAY) + 1).copper_mg_per_l for day in days])


def test_the_truth_lies_inside_the_ribbon():
    """Of all hours of the course at least nine in ten have the true level inside the 95 % range.

    One tank is no proof of calibration, which is simulated over thousands; it shows the ribbon lies about the truth.
    """
    found = reckoned()
    truth = true_copper(story_days(found))
    low, high = found.quantiles[PROBABILITIES.index(0.025)], found.quantiles[PROBABILITIES.index(0.975)]
    inside = (low <= truth) & (truth <= high)
    assert inside.mean() >= 0.9
    assert (high - low)[24 * 5 :].max() < 0.08


def test_the_true_volume_and_loss_lie_where_they_are_reckoned():
    """74 L and 3 % a day are within the 95 % of what doses, changes and readings taught."""
    found = reckoned()
    for known, truth in (
        (found.volume_l, TRUTH.lazaret.volume_l),
        (found.loss_per_day, TRUTH.lazaret.copper_loss_per_day),
    ):
        assert known.quantiles[0] <= truth <= known.quantiles[-1]


def test_the_forgotten_make_up_dose_is_the_only_likely_dip():
    """The reckoning finds one dip, from the large change of day 11 to the late dose of day 12, and is sure of it."""
    found = reckoned()
    (dip,) = course_exposure(found).dips
    begun = story_days(found)[0]
    assert int(begun + dip.start_day) == TRUTH.dip_began_day
    assert int(begun + dip.end_day) == TRUTH.dip_ended_day
    assert dip.probability.value > 0.99
    assert int(begun + dip.day) in {TRUTH.dip_began_day, TRUTH.dip_ended_day}


@pytest.mark.parametrize("litres", [TRUTH.lazaret.volume_l, 80.0, 86.0])
def test_the_dip_is_found_whatever_volume_the_keeper_believes(litres):
    """The true 74 L, the believed 80 L and its upper 86 L all give one dip: it does not hang on the wrong volume."""
    assert len(course_exposure(reckoned(litres)).dips) == 1


def test_the_run_was_broken_before_the_dip_and_whole_after_it():
    """No fourteen days up to the dip, six of them held; after it eighteen, more than the fourteen asked for."""
    found = reckoned()
    before = course_exposure(found, end=TRUTH.dip_began_day + 0.8)
    assert before.held.value < 0.01
    assert int(before.longest_unbroken_days.quantiles[PROBABILITIES.index(0.05)]) == 6
    whole = course_exposure(found)
    assert whole.held.value > 0.95
    assert int(whole.credited_days.quantiles[PROBABILITIES.index(0.05)]) == 18
    assert whole.hours_above_upper.quantiles[-1] == 0.0


def test_the_target_is_reached_on_the_third_day_after_the_start():
    """The ramp takes three days, so that no step is over the customary 0.05 mg/L a day (common practice)."""
    found = reckoned()
    likely = np.mean(found.trajectories.levels >= 0.15, axis=0) >= 0.5
    assert int(story_days(found)[np.argmax(likely)]) == TRUTH.copper_reached_day


def test_no_reading_leaves_the_band_but_for_the_dip():
    """Between reaching the target and the end, numbers read lie within 0.15 and 0.25 mg/L, the dip apart."""
    seen = [(day, one.value) for day, one, _ in readings("lazaret", "copper") if one.value is not None]
    held = [value for day, value in seen if 5.5 < day < 31.5 and not 11.9 < day < 12.79]
    dipped = [value for day, value in seen if 11.9 < day < 12.79]
    assert dipped == [0.13]
    assert all(0.15 <= value <= 0.25 for value in held)


def test_one_week_is_read_by_colour_chart_and_the_others_by_photometer():
    """In the chart's week every copper reading is the two marks around it."""
    by_day = {day: one for day, one, _ in readings("lazaret", "copper")}
    chart = {int(day) for day, one in by_day.items() if one.method == "copper_colour_chart"}
    assert chart == set(range(14, 22))
    assert all((one.low is not None) == (one.method == "copper_colour_chart") for one in by_day.values())


def test_the_photometer_errs_as_its_method_says():
    """Numbers read lie about the true copper with the method's spread: 0.015 mg/L and 2.5 % (one sd)."""
    seen = [(day, one.value) for day, one, _ in readings("lazaret", "copper") if one.value and 5.5 < day < 31.5]
    spread = np.std([value for day, value in seen if not 11.9 < day < 12.79])
    assert 0.010 < spread < 0.022


def un_ionised_by_reading() -> list[tuple[float, float]]:
    """Return story day and un-ionised ammonia of each reading that has a number, with the pH and warmth beside it."""
    ph, warmth = readings("lazaret", "ph"), readings("lazaret", "temperature")

    def beside(day: float, found: list[tuple[float, Reading, str]]) -> float:
        return min(found, key=lambda one: abs(one[0] - day))[1].centre

    return [
        (day, un_ionised_ammonia_mg_n_per_l(one.value, beside(day, ph), beside(day, warmth), 34.3))
        for day, one, _ in readings("lazaret", "total_ammonia")
        if one.value is not None
    ]


def test_un_ionised_ammonia_peaks_on_day_14():
    """Of all readings of B1's stay the highest is that of day 14, and it then falls under the level to watch."""
    first_stay = [one for one in un_ionised_by_reading() if one[0] < 33]
    day, level = max(first_stay, key=lambda one: one[1])
    assert int(day) == TRUTH.ammonia_peak_day
    assert level > 0.05
    assert first_stay[-1][1] < 0.02


def test_un_ionised_ammonia_climbs_now_that_b2_is_fed():
    """Three readings in a row, each above the one before, to between 0.04 and 0.08 mg N/L this morning."""
    last = [level for day, level in un_ionised_by_reading() if day > TRUTH.ammonia_climbs_since_day][-3:]
    assert last == sorted(last)
    assert len(set(last)) == 3
    assert 0.05 < last[-1] < 0.08


def test_lazaret_was_emptied_and_read_free_of_copper_before_b2_came():
    """Day 33 emptied and filled; day 34 the photometer shows less than it can read."""
    emptied = [day for day, change, _ in moments_and(WaterChange) if change.emptied]
    assert [int(day) for day in emptied] == [33]
    (after,) = [one for day, one, _ in readings("lazaret", "copper") if day > 33]
    assert (after.below, after.method) == (0.02, "copper_photometer")
