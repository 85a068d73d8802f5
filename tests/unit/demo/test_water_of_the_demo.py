"""The water of the demo household: what its entries say, held against the truth they come from."""

import numpy as np
from tests.unit.demo.telling import copper_events, moments_and, readings

from pratique.demo.truth import TRUTH
from pratique.ledger.kinds.water import Reading, WaterChange
from pratique.science.chemistry.ammonia import un_ionised_ammonia_mg_n_per_l
from pratique.science.estimation.mass_balance import balance
from pratique.science.estimation.straight_exposure import Exposure, exposure

COURSE = (2 * 24 + 9.0, 31 * 24 + 10.0)


def course_exposure(net_volume_l: float = TRUTH.lazaret_believed_l) -> Exposure:
    """Return what the reckoning credits the course of B1 with."""
    track = balance(copper_events(), net_volume_l=net_volume_l, net_volume_sd_l=3.0, until=COURSE[1])
    return exposure(track, lower=0.15, hard_upper=0.25, start=COURSE[0], end=COURSE[1])


def test_the_forgotten_make_up_dose_is_the_only_dip():
    """The reckoning finds one dip, from the large change of day 11 to the late dose of day 12."""
    (dip,) = course_exposure().dips
    assert int(dip.start // 24) == TRUTH.dip_began_day
    assert int(dip.end // 24) == TRUTH.dip_ended_day
    assert 0.12 <= dip.lowest <= 0.14


def test_the_dip_is_found_whatever_volume_the_keeper_believes():
    """The true 74 L, the believed 80 L and its upper 86 L all give one dip: it does not hang on the wrong volume."""
    assert [len(course_exposure(litres).dips) for litres in (TRUTH.lazaret.volume_l, 80.0, 86.0)] == [1, 1, 1]


def test_the_course_counts_its_days_anew_after_the_dip():
    """The days before the dip are lost, and the run after it still makes the 14 that were asked for."""
    found = course_exposure()
    assert found.days_credited == 18
    assert found.days_lost == 6
    assert found.hours_above_upper == 0.0


def test_the_target_is_reached_on_the_third_day_after_the_start():
    """The ramp takes three days, so that no step is over the customary 0.05 mg/L a day (common practice)."""
    assert int(course_exposure().runs[0].start // 24) == TRUTH.copper_reached_day


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
