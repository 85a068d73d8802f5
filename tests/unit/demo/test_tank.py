"""The simulated tank against closed solutions of its own equations, recalled from textbooks and recomputed."""

import math
from dataclasses import replace

import pytest

from pratique.demo.tank import Changed, Dosed, Emptied, Fed, TankTruth, simulate
from pratique.demo.truth import LAZARET

BARE = TankTruth(
    volume_l=50.0,
    copper_loss_per_day=0.0,
    gut_hours=6.0,
    nitrifiers_at_start_per_day=0.0,
    nitrifier_growth_per_day=0.0,
    nitrifier_limit_per_day=1.0,
    copper_hold=0.0,
)
DAY = 1440


def test_a_dose_raises_by_its_milligrams_over_the_volume():
    """10 mg in 50 L are 0.2 mg/L, and stay where nothing is lost."""
    trace = simulate(BARE, [Dosed(60, 10.0)], start=0, end=2 * DAY)
    assert trace.at(60).copper_mg_per_l == 0.0
    assert trace.at(2 * DAY).copper_mg_per_l == pytest.approx(0.2)


def test_copper_is_lost_exponentially():
    """First-order loss: after ten days at 3 % a day exp(-0.3) of it is left."""
    trace = simulate(replace(BARE, copper_loss_per_day=0.03), [Dosed(0, 10.0)], start=0, end=10 * DAY)
    assert trace.at(10 * DAY).copper_mg_per_l == pytest.approx(0.2 * math.exp(-0.3), rel=1e-4)


def test_a_water_change_keeps_the_rest():
    """Dilution: 12.5 L of 50 L leave three quarters."""
    trace = simulate(BARE, [Dosed(0, 10.0), Changed(10, 12.5)], start=0, end=20)
    assert trace.at(20).copper_mg_per_l == pytest.approx(0.15)


def test_emptying_leaves_new_water():
    """Nothing of the old water is left, and the filter begins again."""
    truth = replace(LAZARET, nitrifiers_at_start_per_day=0.02)
    trace = simulate(truth, [Dosed(0, 10.0), Fed(0, 20.0), Emptied(DAY)], start=0, end=2 * DAY)
    after = trace.at(DAY + 1)
    assert (after.copper_mg_per_l, after.total_ammonia_mg_n_per_l, after.in_gut_mg_n) == (0.0, 0.0, 0.0)
    assert after.nitrifiers_per_day == pytest.approx(0.02, rel=1e-3)


@pytest.mark.parametrize("hours", [3, 12, 48])
def test_ammonia_follows_the_bateman_equation(hours):
    """Two first-order steps in a row (Bateman 1910): excretion at a a day, nitrification at h a day."""
    a, h, dose = 4.0, 0.5, 25.0
    truth = replace(BARE, nitrifiers_at_start_per_day=h, nitrifier_limit_per_day=1.0)
    trace = simulate(truth, [Fed(0, dose)], start=0, end=hours * 60)
    t = hours / 24
    expected = dose / BARE.volume_l * a / (a - h) * (math.exp(-h * t) - math.exp(-a * t))
    assert trace.at(hours * 60).total_ammonia_mg_n_per_l == pytest.approx(expected, rel=5e-3)


def test_no_nitrogen_is_lost_or_made():
    """Without nitrification what was fed is in the gut or in the water."""
    trace = simulate(BARE, [Fed(0, 25.0), Fed(700, 10.0)], start=0, end=DAY)
    end = trace.at(DAY)
    assert end.in_gut_mg_n + end.total_ammonia_mg_n_per_l * BARE.volume_l == pytest.approx(35.0)


def test_nitrifiers_grow_logistically():
    """The logistic curve: h(t) = L / (1 + (L/h0 - 1) exp(-r t))."""
    truth = replace(BARE, nitrifiers_at_start_per_day=0.02, nitrifier_growth_per_day=0.4, nitrifier_limit_per_day=0.9)
    trace = simulate(truth, [], start=0, end=10 * DAY)
    expected = 0.9 / (1 + (0.9 / 0.02 - 1) * math.exp(-0.4 * 10))
    assert trace.at(10 * DAY).nitrifiers_per_day == pytest.approx(expected, rel=2e-3)


def test_copper_holds_the_filter_back():
    """With copper at target the filter ripens slower than without."""
    with_copper = simulate(LAZARET, [Dosed(0, 14.0)], start=0, end=7 * DAY).at(7 * DAY)
    without = simulate(LAZARET, [], start=0, end=7 * DAY).at(7 * DAY)
    assert with_copper.nitrifiers_per_day < 0.5 * without.nitrifiers_per_day


def test_a_minute_outside_the_trace_is_refused():
    """No water is invented before the start or behind the end."""
    trace = simulate(BARE, [], start=0, end=10)
    with pytest.raises(IndexError, match="outside the trace"):
        trace.at(11)
    with pytest.raises(IndexError, match="outside the trace"):
        trace.at(-1)
