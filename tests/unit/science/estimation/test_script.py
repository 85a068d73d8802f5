"""A case as a script: the order of things at one moment, and the exact integrals of a step."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad

from pratique.science.estimation.case import Case, Change, Dose, Initial, Loss, Media, Pulse, Reading, Source, Volume
from pratique.science.estimation.posterior import reckon
from pratique.science.estimation.reading import Method, Observed
from pratique.science.estimation.script import CHANGE, DOSE, STEP_WIDTH, STOP, grid_days, script_of, write_steps

KNOWN = Case(
    constituent="copper",
    unit="mg/L",
    span_days=4.0,
    grid_hours=24.0,
    initial=Initial(0.2, 0.0),
    volume=Volume(100.0, 0.0),
    methods={"photometer": Method(resolution=0.0, absolute_sd=0.02, relative_sd=0.0)},
    draws=2,
)


def level_of(case):
    """The mean level over the grid."""
    return reckon(case).mean


def step_over(days, loss, *, source_walk=0.0, level_walk=0.0):
    """One step (a, f, g, d, q11, q12, q22) of some days in which nothing is done."""
    script = script_of(replace(KNOWN, span_days=days), np.array([days]))
    steps = np.empty((1, STEP_WIDTH))
    write_steps(script.code, script.what, loss, 100.0, source_walk, level_walk, steps)
    return steps[0]


def test_at_one_moment_a_reading_comes_first_then_changes_then_doses_then_the_grid():
    """Whatever order they were written in, the script stands in the order of what each can know of the others."""
    reading = Reading(2.0, "photometer", Observed(value=0.2))
    case = replace(KNOWN, events=(Dose(2.0, 5.0), Change(2.0, 20.0)), readings=(reading,))
    script = script_of(case, np.array([2.0]))
    assert [int(code) for code in script.code[1:]] == [STOP, CHANGE, DOSE, STOP]
    assert list(script.reading_of) == [0, -1]


def test_a_dose_after_a_change_at_one_moment_is_not_diluted():
    """0.2 mg/L in 100 L, 20 L of clean water, then 5 mg: 0.16 + 0.05, not (0.2 + 0.05) × 0.8."""
    case = replace(KNOWN, events=(Dose(2.0, 5.0), Change(2.0, 20.0)))
    assert level_of(case) == pytest.approx([0.2, 0.2, 0.21, 0.21, 0.21])


def test_a_reading_at_the_moment_of_a_dose_saw_the_water_before_it():
    """A sharp 0.30 read as 10 mg went into 100 L leaves 0.40, whichever was written down first."""
    sharp = {"sharp": Method(resolution=0.0, absolute_sd=1e-6, relative_sd=0.0)}
    reading = Reading(2.0, "sharp", Observed(value=0.3))
    case = replace(KNOWN, initial=Initial(0.2, 0.5), methods=sharp, events=(Dose(2.0, 10.0),), readings=(reading,))
    assert level_of(case) == pytest.approx([0.3, 0.3, 0.4, 0.4, 0.4], abs=1e-6)


def test_the_grid_runs_from_the_start_to_the_end_though_the_last_step_is_short():
    """Ten hours in steps of four: 0, 4, 8 and 10 h."""
    assert grid_days(replace(KNOWN, span_days=10 / 24, grid_hours=4.0)) * 24 == pytest.approx([0, 4, 8, 10])


def test_a_grid_that_divides_the_span_has_no_point_twice():
    """Thirty-two days by the hour are 769 points."""
    assert len(grid_days(replace(KNOWN, span_days=32.0, grid_hours=1.0))) == 769


def test_food_is_released_evenly_over_its_hours():
    """12 mg over 48 h from day 1 into 100 L: half of it by day 2, all of it by day 3, none after."""
    case = replace(KNOWN, events=(Pulse(1.0, 12.0, 48.0),))
    assert level_of(case) == pytest.approx([0.2, 0.2, 0.26, 0.32, 0.32])


def test_food_still_being_released_at_the_end_counts_so_far():
    """12 mg over 48 h from day 3 on: half of it by the end on day 4."""
    assert level_of(replace(KNOWN, events=(Pulse(3.0, 12.0, 48.0),)))[-1] == pytest.approx(0.26)


def test_media_add_to_the_loss_from_their_moment_until_taken_out():
    """0.5 a day from day 1 to day 3: the level falls by half the logarithm a day, then stands."""
    case = replace(KNOWN, events=(Media(1.0, 0.5), Media(3.0, -0.5)))
    expected = [0.2, 0.2, 0.2 * math.exp(-0.5), 0.2 * math.exp(-1.0), 0.2 * math.exp(-1.0)]
    assert level_of(case) == pytest.approx(expected)


def test_a_source_and_a_loss_settle_where_they_balance():
    """0.1 mg/L a day in, half a day out: after long enough 0.2 mg/L, the closed form on the way."""
    case = replace(KNOWN, initial=Initial(0.0, 0.0), loss=Loss(0.5, 0.0), source=Source(0.1))
    days = np.arange(5.0)
    assert level_of(case) == pytest.approx(0.2 * (1 - np.exp(-0.5 * days)))


@pytest.mark.parametrize(
    ("loss", "days"),
    [
        (0.0, 3.0),
        (1e-13, 3.0),
        (1e-6, 0.5),
        (0.019, 1.0),
        (0.021, 1.0),
        (0.04, 32.0),
        (3.0, 400.0),
        (-0.3, 2.0),
        (-1e-7, 10.0),
        (0.05, 1e-4),
    ],
)
def test_a_step_is_its_integral(loss, days):
    """Decay, the source's weight and the noise of both walks are the integrals of the linear equation (by scipy)."""

    def kept(left):
        """What a unit added `left` days before the end still gives."""
        return math.exp(-loss * left)

    def weight(left):
        """What a unit of source over the last `left` days gives."""
        return -math.expm1(-loss * left) / loss if abs(loss * left) > 1e-9 else left * (1.0 - loss * left / 2.0)

    def integral(function):
        near = min(days, 20.0 / abs(loss)) if loss else days
        return quad(function, 0.0, near, epsrel=1e-12)[0] + quad(function, near, days, epsrel=1e-12)[0]

    a, f, _, d, q11, q12, q22, kept_source, added = step_over(days, loss, source_walk=0.3, level_walk=0.7)
    assert a == pytest.approx(math.exp(-loss * days), rel=1e-12)
    assert f == pytest.approx(integral(kept), rel=1e-9)
    assert (d, kept_source, added) == (0.0, 1.0, 0.0)
    own = 0.09 * integral(lambda u: weight(u) ** 2) + 0.49 * integral(lambda u: kept(u) ** 2)
    assert q11 == pytest.approx(own, rel=1e-8)
    assert q12 == pytest.approx(0.09 * integral(weight), rel=1e-8)
    assert q22 == pytest.approx(0.09 * days, rel=1e-12)


@pytest.mark.parametrize("loss", [0.0, 0.004, 0.03, 0.4, -0.1])
def test_the_source_walk_alone_is_exact_on_both_sides_of_the_series(loss):
    """∫ weight² du by scipy to 1e-9, over one day and over ten: the series and the closed form join."""
    for days in (0.1, 1.0, 5.0, 10.0):
        own = quad(lambda u: (quad(lambda v: math.exp(-loss * v), 0, u)[0]) ** 2, 0, days, epsrel=1e-11)[0]
        assert step_over(days, loss, source_walk=1.0)[4] == pytest.approx(own, rel=1e-9)


def test_two_steps_on_end_are_one_step():
    """Three days and four days composed give what seven give at once."""
    once = step_over(7.0, 0.2, source_walk=0.3, level_walk=0.1)
    script = script_of(replace(KNOWN, span_days=7.0, events=(Change(3.0, 0.0),)), np.array([7.0]))
    steps = np.empty((1, STEP_WIDTH))
    write_steps(script.code, script.what, 0.2, 100.0, 0.3, 0.1, steps)
    assert steps[0] == pytest.approx(once, rel=1e-12)
