"""What a tank takes up in a day: closed forms, and intervals that hold the truth of simulated tanks."""

import math
from dataclasses import replace

import numpy as np
import pytest

from pratique.science.estimation.case import (
    Case,
    Change,
    Dose,
    Initial,
    Loss,
    Media,
    Pulse,
    Reading,
    Refill,
    Source,
    Unlogged,
    Volume,
)
from pratique.science.estimation.consumption import consumption_of, plus_minus_of
from pratique.science.estimation.posterior import reckon
from pratique.science.estimation.reading import Method, Observed

SHARP = {"sharp": Method(resolution=0.0, absolute_sd=0.001, relative_sd=0.0)}
ALKALINITY = Case(
    constituent="alkalinity",
    unit="dKH",
    span_days=14.0,
    grid_hours=6.0,
    initial=Initial(9.0, 2.0),
    volume=Volume(200.0, 0.0),
    source=Source(-0.3, 0.6),
    methods=SHARP,
    draws=1000,
)


def consumed(case):
    """The consumption of a case."""
    return consumption_of(case, reckon(case))


def reading(day, level):
    """A sharp reading."""
    return Reading(day, "sharp", Observed(value=level))


def test_what_falls_by_half_a_unit_a_day_is_taken_up_by_half_a_unit_a_day():
    """9.0, and 7.0 four days later: (9.0 − 7.0) / 4 a day; in 200 L that is 100 unit-litres, and it does not change."""
    found = consumed(replace(ALKALINITY, readings=(reading(2.0, 9.0), reading(6.0, 7.0))))
    assert found.per_day.mean == pytest.approx(0.5, abs=0.002)
    assert plus_minus_of(found.per_day) == pytest.approx(1.96 * math.sqrt(2.0) * 0.001 / 4.0, rel=0.15)
    assert found.amount_per_day.mean == pytest.approx(100.0, abs=0.4)
    assert found.change_per_week is not None
    assert found.change_per_week.mean == pytest.approx(0.0, abs=1e-6)


def test_doses_changes_and_pulses_are_counted_apart_from_what_is_taken_up():
    """A level of 9.0 held by 100 unit-litres a day in 200 L, a change and food that lift it, has lost all they gave."""
    events = [Dose(day + 0.5, 100.0) for day in range(14)]
    events += [Change(3.25, 20.0, 12.0), Change(10.1, 20.0, 12.0), Pulse(9.5, 40.0, 24.0)]
    level, levels = 9.0, {}
    # One hour after another: the tank takes up 0.5 a day, and readings come every other day.
    for hour in range(14 * 24 + 1):
        day = hour / 24.0
        if hour:
            level -= 0.5 / 24.0
            for event in events:
                if day - 1.0 / 24.0 < event.day - 1e-9 <= day or abs(event.day - day) < 1e-9:
                    level += 0.5 if isinstance(event, Dose) else 0.0
                    level += 0.1 * (12.0 - level) if isinstance(event, Change) else 0.0
            level += 40.0 / 200.0 / 24.0 if 9.5 < day <= 10.5 else 0.0
        levels[hour] = level
    read = tuple(reading(day + 1.0 / 48.0, levels[round(day * 24)] - 0.5 / 48.0) for day in range(0, 14, 2))
    found = consumed(replace(ALKALINITY, events=tuple(sorted(events, key=lambda one: one.day)), readings=read))
    assert found.per_day.mean == pytest.approx(0.5, abs=0.003)
    assert found.change_per_week is not None
    assert found.change_per_week.mean == pytest.approx(0.0, abs=0.01)


def test_what_is_lost_in_proportion_to_the_level_is_taken_up_too():
    """A loss of 0.1 a day at a level of 5 without a source takes 0.5 a day; media that add 0.05 make it 0.75."""
    steady = replace(
        ALKALINITY, span_days=1.0, initial=Initial(5.0 * math.exp(0.1), 0.0), loss=Loss(0.1, 0.0), source=Source()
    )
    assert consumed(steady).per_day.mean == pytest.approx(0.5, rel=1e-6)
    with_media = replace(steady, events=(Media(1.0, 0.05),))
    assert consumed(with_media).per_day.mean == pytest.approx(0.75, rel=1e-6)


def test_an_uptake_that_grows_is_seen_to_grow():
    """0.2 a day growing by 0.1 each day: after 14 days 1.6 a day, and 0.7 a day more than a week before."""
    wandering = replace(ALKALINITY, source=Source(-0.3, 0.6, 0.15))
    read = tuple(reading(day, 30.0 - 0.2 * day - 0.05 * day * day) for day in np.arange(0.5, 14.0, 0.5))
    found = consumed(replace(wandering, initial=Initial(30.0, 2.0), readings=read))
    assert found.per_day.mean == pytest.approx(1.6, abs=plus_minus_of(found.per_day))
    assert found.change_per_week is not None
    assert found.change_per_week.mean == pytest.approx(0.7, abs=0.03)


@pytest.mark.parametrize("is_lognormal", [True, False])
def test_the_amount_that_balances_carries_the_spread_of_the_volume(is_lognormal):
    """Uptake and volume are independent here: relative variances add (and their product with them)."""
    volume = Volume(200.0, 0.1, is_lognormal=True) if is_lognormal else Volume(200.0, 20.0)
    case = replace(ALKALINITY, volume=volume, readings=(reading(2.0, 9.0), reading(6.0, 7.0)), draws=4000)
    found = consumed(case)
    assert found.amount_per_day.sd / found.amount_per_day.mean == pytest.approx(0.1, rel=0.05)


def test_a_stock_stronger_than_its_label_balances_with_less():
    """Where doses lift a known tank by a tenth more than they should, the amount by the label is a tenth less."""
    events = tuple(Dose(day + 0.5, 100.0) for day in range(14))
    read = tuple(reading(day + 0.25, 9.0 + 0.05 * day - 0.125) for day in range(14))
    case = replace(ALKALINITY, events=events, readings=read, source=Source(-0.5, 0.0), stock_strength_relative_sd=0.3)
    found = consumed(case)
    assert found.per_day.mean == pytest.approx(0.5, abs=0.001)
    assert found.amount_per_day.mean == pytest.approx(0.5 * 200.0 / 1.1, rel=0.01)


@pytest.mark.parametrize("event", [Refill(9.0, 8.0, 0.1), Unlogged(9.0, 2.0)])
def test_no_change_is_told_where_something_of_unknown_size_happened(event):
    """Water all made new, or a dose nobody measured, five days ago: uptake yes, its change no."""
    found = consumed(replace(ALKALINITY, events=(event,), readings=(reading(10.0, 8.0), reading(13.0, 7.0))))
    assert found.per_day.mean == pytest.approx(1.0 / 3.0, abs=0.01)
    assert found.change_per_week is None


def test_no_change_is_told_of_a_record_shorter_than_two_windows_of_three_days():
    """Five days are too few, six are enough."""
    assert consumed(replace(ALKALINITY, span_days=5.0)).change_per_week is None
    assert consumed(replace(ALKALINITY, span_days=6.0)).change_per_week is not None


def test_over_simulated_tanks_the_intervals_hold_the_truth():
    """Of 150 tanks drawn from what is believed, dosed, changed and read every other day, 95 % intervals of the uptake,
    of its change and of the amount that balances it hold the truth in 90 to 99.5 % (three standard errors).
    """
    kept = np.array([holds_the_truth(seed) for seed in range(52_000, 52_150)])
    assert np.all(kept.mean(axis=0) >= 0.90)
    assert np.all(kept.mean(axis=0) <= 0.995)


def holds_the_truth(seed):
    """Simulate a tank in steps of an hour, reckon it, and say for each of the three whether its interval holds."""
    chance = np.random.default_rng(seed)
    believed = Case(
        constituent="alkalinity",
        unit="dKH",
        span_days=14.0,
        grid_hours=6.0,
        initial=Initial(8.5, 1.0),
        volume=Volume(200.0, 15.0),
        source=Source(-0.5, 0.4, 0.08),
        methods={"drops": Method(resolution=0.1, absolute_sd=0.2, relative_sd=0.0)},
        draws=400,
        seed=seed,
    )
    litres, level = chance.normal(200.0, 15.0), chance.normal(8.5, 1.0)
    source = chance.normal(-0.5, 0.4)
    events, readings, uptakes = [], [], []
    for hour in range(14 * 24):
        day = hour / 24.0
        if hour % 48 == 20:
            seen = round(level + chance.normal(0.0, 0.2), 1)
            readings.append(Reading(day, "drops", Observed(value=seen)))
        if hour % 24 == 21:
            events.append(Dose(day, 80.0, 0.03))
            level += 80.0 * (1.0 + 0.03 * chance.normal()) / litres
        if hour % 168 == 93:
            events.append(Change(day, 20.0, 8.0, 0.2))
            level += 20.0 / litres * (8.0 + 0.2 * chance.normal() - level)
        step = 0.08 * math.sqrt(1.0 / 24.0) * chance.normal()
        level += (source + 0.5 * step) / 24.0
        uptakes.append(-source - 0.5 * step)
        source += step
    found = consumed(replace(believed, events=tuple(events), readings=tuple(readings)))
    truth = (-source, np.mean(uptakes[168:]) - np.mean(uptakes[:168]), -source * litres)
    spreads = (found.per_day, found.change_per_week, found.amount_per_day)
    return [spread.quantiles[0] <= one <= spread.quantiles[-1] for one, spread in zip(truth, spreads, strict=True)]
