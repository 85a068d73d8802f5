"""Readings that do not fit, and what may lie behind them."""

import math
from dataclasses import replace

import pytest

from pratique.science.estimation.case import Case, Change, Dose, Initial, Loss, Reading, Refill, Source, Volume
from pratique.science.estimation.posterior import reckon
from pratique.science.estimation.quadrature import nodes_of
from pratique.science.estimation.reading import Method, Observed
from pratique.science.estimation.surprises import causes_of, fits_of

METHODS = {
    "photometer": Method(resolution=0.01, absolute_sd=0.01, relative_sd=0.03),
    "plain": Method(resolution=0.0, absolute_sd=0.01, relative_sd=0.0),
}
LOST = 0.04


def falling(day, dose_mg=16.0):
    """The true level of 80 L dosed once and losing 4 % a day."""
    return dose_mg / 80.0 * math.exp(-LOST * day)


def case(levels, *, method="photometer", volume_sd_l=4.0):
    """Two weeks of one reading a day."""
    readings = [Reading(float(day), method, Observed(value=round(level, 2))) for day, level in levels.items()]
    return Case(
        constituent="copper",
        unit="mg/L",
        span_days=14.0,
        grid_hours=24.0,
        initial=Initial(0.0, 0.01),
        volume=Volume(80.0, volume_sd_l),
        loss=Loss(0.04, 0.5),
        source=Source(0.0, 0.002, 0.0005),
        methods=METHODS,
        events=(Dose(0.0, 16.0, 0.02),),
        readings=tuple(readings),
        draws=2,
    )


STEADY = {day: falling(day) for day in range(1, 14)}


def fits(of):
    """How the readings of a case fit."""
    return fits_of(of, nodes_of(of))


def test_readings_of_a_tank_that_behaves_all_fit():
    """None is further than two and a half sds off, none lies in a tail of 1 %."""
    for fit in fits(case(STEADY)):
        assert abs(fit.residual) < 2.5
        assert fit.tail > 0.01
        assert fit.expected == pytest.approx(STEADY[fit.number + 1], abs=fit.plus_minus)


def test_a_slip_of_the_pen_stands_out():
    """0.31 in place of 0.13 on day 10 is far off; what it pulls its neighbours away is less than a quarter of that."""
    found = fits(case(STEADY | {10: 0.31}))
    assert found[9].residual > 10.0
    assert found[9].tail < 1e-4
    assert all(abs(fit.residual) < 0.25 * found[9].residual for fit in found if fit.number != 9)


def test_what_the_others_expected_is_a_reckoning_without_that_reading():
    """Leave one out: expected and ± 95 % are those of the level and the method's error without it."""
    of = case(STEADY, method="plain")
    for number in (0, 5, 12):
        without = replace(of, readings=of.readings[:number] + of.readings[number + 1 :])
        found = reckon(without)
        day = number + 1
        fit = fits(of)[number]
        assert fit.expected == pytest.approx(found.mean[day], abs=0.02 * found.sd[day])
        assert fit.plus_minus == pytest.approx(1.96 * math.hypot(found.sd[day], 0.01), rel=0.02)


def test_the_tail_of_a_plain_reading_is_two_sided():
    """1.96 sds off on either side lie in a tail of 5 %."""
    for fit in fits(case(STEADY, method="plain")):
        assert fit.tail == pytest.approx(math.erfc(abs(fit.residual) / math.sqrt(2)), abs=0.02)


def test_an_outlier_between_readings_that_fit_is_a_wrong_reading_first():
    """The level is back where it was the day after: nothing in the water does that."""
    causes = causes_of(case(STEADY | {10: 0.31}), 9, level_spread=0.1)
    assert causes[0].key == "wrong reading"
    assert causes[0].probability > 0.9
    assert {cause.key for cause in causes} == {"wrong reading", "unlogged", "wrong strength"}
    assert sum(cause.probability for cause in causes) == pytest.approx(1.0)


def test_a_change_nobody_wrote_down_is_told_as_unlogged_first():
    """From day 8 on all is 30 % lower: the first reading after it does not fit, and those after agree with it."""
    lowered = STEADY | {day: 0.7 * falling(day) for day in range(8, 14)}
    of = case(lowered)
    assert max(fits(of), key=lambda fit: abs(fit.residual)).number in (6, 7)
    causes = causes_of(of, 7, level_spread=0.1)
    assert causes[0].key == "unlogged"
    assert causes[0].probability > 0.9


def test_a_stock_of_another_strength_is_told_as_such():
    """Every reading stands 30 % above what the label makes of a volume well known."""
    high = {day: falling(day, 21.0) for day in range(1, 14)}
    causes = causes_of(case(high, volume_sd_l=0.5), 0, level_spread=0.1)
    assert causes[0].key == "wrong strength"


def test_without_a_dose_the_strength_is_not_thought_of():
    """Only a change was made."""
    of = replace(case(STEADY), initial=Initial(0.2, 0.02), events=(Change(0.5, 0.1),))
    assert {cause.key for cause in causes_of(of, 3, level_spread=0.1)} == {"wrong reading", "unlogged"}


def test_a_case_without_readings_has_no_fits():
    """Nothing to judge."""
    assert fits(replace(case(STEADY), readings=())) == ()


def test_a_bound_that_fits_is_no_surprise():
    """Below 0.5, where 0.13 is expected: not even one sd off, and in no tail."""
    of = case(STEADY)
    readings = (*of.readings[:9], Reading(10.0, "photometer", Observed(below=0.5)), *of.readings[10:])
    fit = fits(replace(of, readings=readings))[9]
    assert fit.residual == 0.0
    assert fit.tail == pytest.approx(1.0)


def test_a_bound_that_does_not_fit_is_one():
    """Above 0.5 where 0.13 is expected."""
    of = case(STEADY)
    readings = (*of.readings[:9], Reading(10.0, "photometer", Observed(above=0.5)), *of.readings[10:])
    fit = fits(replace(of, readings=readings))[9]
    assert fit.residual > 5.0
    assert fit.tail < 1e-4


def test_something_unlogged_is_looked_for_in_the_water_that_was_read():
    """Emptied on day 10, on day 12 and after full of copper again: put in since, for nothing of before is left."""
    told = case({day: falling(day) for day in (1, 2, 3)} | {12: 0.2, 12.5: 0.2, 13: 0.2}, volume_sd_l=0.0)
    told = replace(told, events=(*told.events, Refill(10.0, 0.0, 0.005)))
    causes = causes_of(told, 3, level_spread=0.2)
    assert causes[0].key == "unlogged"
    assert causes[0].probability > 0.99
