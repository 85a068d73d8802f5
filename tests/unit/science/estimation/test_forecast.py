"""The days ahead: a forecast is smoothing with no readings, and a walk crosses a limit as often as it should."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import (
    Case,
    Change,
    Dose,
    Initial,
    Loss,
    Media,
    Pulse,
    Reading,
    Source,
    Volume,
)
from pratique.science.estimation.forecast import ahead_of, crossing_of
from pratique.science.estimation.posterior import reckon
from pratique.science.estimation.reading import Method, Observed
from pratique.science.estimation.running import running_from

COPPER = Case(
    constituent="copper",
    unit="mg/L",
    span_days=6.0,
    grid_hours=6.0,
    initial=Initial(0.05, 0.03),
    volume=Volume(80.0, 8.0),
    loss=Loss(0.05, 0.6),
    source=Source(0.0, 0.004, 0.002),
    methods={"plain": Method(resolution=0.0, absolute_sd=0.02, relative_sd=0.0)},
    events=(Dose(0.5, 12.0, 0.03), Media(4.0, 0.02), Pulse(5.5, 2.0, 48.0, 0.1)),
    readings=(Reading(1.0, "plain", Observed(value=0.19)), Reading(4.0, "plain", Observed(value=0.17))),
    draws=200,
)
PLANNED = (Dose(7.0, 3.0, 0.03), Change(8.0, 15.0), Dose(8.0, 2.0))


def test_a_forecast_is_what_smoothing_finds_with_no_readings_after():
    """Doses, a change, a pulse under way and media: mean, sd and quantiles of the whole record's ribbon."""
    ahead = ahead_of(running_from(COPPER), until_day=10.0, events=PLANNED, grid_hours=6.0)
    whole = reckon(replace(COPPER, span_days=10.0, events=(*COPPER.events, *PLANNED)))
    later = whole.days >= 6.0 - 1e-9
    assert ahead.days == pytest.approx(whole.days[later])
    assert ahead.mean == pytest.approx(whole.mean[later], abs=1e-3 * whole.sd[later].min())
    assert ahead.sd == pytest.approx(whole.sd[later], rel=1e-3)
    assert ahead.quantiles() == pytest.approx(whole.quantiles[:, later], abs=2e-3 * whole.sd[later].min())


def test_the_chance_of_being_within_a_band_is_what_lies_between_its_quantiles():
    """Between the quantiles of 5 and 95 % lie nine tenths, at every day."""
    ahead = ahead_of(running_from(COPPER), until_day=8.0, grid_hours=24.0)
    quantiles = ahead.quantiles()
    for place in range(len(ahead.days)):
        within = ahead.probability_within(quantiles[1, place], quantiles[5, place])
        assert within[place] == pytest.approx(0.9, abs=1e-4)


def wandering(start, sd_per_sqrt_day, *, source=0.0):
    """A level that only wanders, known today."""
    return running_from(
        Case(
            constituent="temperature",
            unit="C",
            span_days=1.0,
            grid_hours=24.0,
            initial=Initial(start - source, 0.0),
            source=Source(source),
            level_walk_sd_per_sqrt_day=sd_per_sqrt_day,
            draws=2,
        )
    )


def test_a_walk_looked_at_once_a_day_crosses_as_often_as_its_joint_normal_says():
    """Ten daily looks at a walk of sd 0.5 from 2 (after one day's wandering) with drift −0.1: P(all above 0) by scipy's
    multivariate normal.
    """
    days = np.arange(1.0, 12.0)
    covariance = 0.25 * np.minimum.outer(days, days)
    mean = 2.0 - 0.1 * (days - 1.0)
    exact = 1.0 - multivariate_normal(-mean, covariance).cdf(np.zeros(11), rng=np.random.default_rng(1))
    found = crossing_of(
        wandering(2.0, 0.5, source=-0.1), limit=0.0, upwards=False, until_day=11.0, grid_hours=24.0, draws=20_000
    )
    assert found.by_the_end.value == pytest.approx(exact, abs=3.5 * found.by_the_end.monte_carlo_error + 1e-4)
    assert found.by_the_end.monte_carlo_error == pytest.approx(0.0033, abs=0.0003)


def test_a_walk_watched_closely_crosses_as_often_as_brownian_motion():
    """By reflection P(below 0 within 9 days of day 1, from N(2, 0.5²)) = twice what ends below; looking every half
    hour shifts the limit by 0.5826 sd of a step (Broadie, Glasserman & Kou 1997, recalled).
    """
    found = crossing_of(wandering(2.0, 0.5), limit=0.0, upwards=False, until_day=10.0, grid_hours=0.5, draws=8_000)
    limit = -0.5826 * 0.5 * np.sqrt(0.5 / 24.0)
    starts = np.linspace(2.0 - 4.0, 2.0 + 4.0, 4001)
    density = norm.pdf(starts, 2.0, 0.5)
    crossing = np.minimum(1.0, 2.0 * norm.cdf((limit - starts) / 1.5))
    exact = float(np.trapezoid(density * np.where(starts < limit, 1.0, crossing), starts))
    assert found.by_the_end.value == pytest.approx(exact, abs=3.5 * found.by_the_end.monte_carlo_error)


def test_a_level_that_falls_for_sure_crosses_on_the_day_it_must():
    """0.9 today and 0.1 a day out: under 0.45 for the first time five days on."""
    sure = running_from(
        Case("nitrate", "mg/L", 1.0, Initial(1.0, 0.0), source=Source(-0.1), grid_hours=24.0, draws=2),
    )
    found = crossing_of(sure, limit=0.45, upwards=False, until_day=11.0, grid_hours=24.0, draws=100)
    assert found.median_day == pytest.approx(6.0)
    assert found.by_the_end.value == 1.0
    assert list(found.probability_by) == [0.0] * 5 + [1.0] * 6


def test_a_limit_out_of_reach_has_no_day():
    """Two sds in ten days do not make twenty."""
    found = crossing_of(wandering(2.0, 0.05), limit=5.0, upwards=True, until_day=11.0, draws=200)
    assert found.median_day is None
    assert found.by_the_end.value == 0.0


def test_the_chance_of_having_crossed_never_falls_and_planned_doses_bring_it_on():
    """A planned dose of 10 mg makes passing 0.25 likelier than nothing does."""
    running = running_from(COPPER)
    without = crossing_of(running, limit=0.25, upwards=True, until_day=9.0, draws=1000)
    planned = crossing_of(running, limit=0.25, upwards=True, until_day=9.0, events=[Dose(7.0, 10.0)], draws=1000)
    assert np.all(np.diff(planned.probability_by) >= 0.0)
    assert planned.by_the_end.value > without.by_the_end.value + 0.5


def test_at_the_moment_it_starts_the_chance_of_having_crossed_is_that_of_lying_beyond():
    """Trajectories begin as the forecast does: what lies above its upper quartile today is a quarter."""
    running = running_from(COPPER)
    quartile = running.level_quantiles()[4]
    found = crossing_of(running, limit=quartile, upwards=True, until_day=7.0, grid_hours=24.0, draws=8000)
    assert found.probability_by[0] == pytest.approx(0.25, abs=0.017)


def test_a_forecast_of_the_past_is_refused_in_words():
    """It must end after where the reckoning stands, and nothing may be planned before."""
    running = running_from(COPPER)
    with pytest.raises(DomainError, match="must lie after"):
        ahead_of(running, until_day=6.0)
    with pytest.raises(DomainError, match="must lie after"):
        ahead_of(running, until_day=8.0, events=[Dose(3.0, 1.0)])
    with pytest.raises(DomainError, match="must lie after"):
        crossing_of(running, limit=0.1, upwards=False, until_day=5.0)
