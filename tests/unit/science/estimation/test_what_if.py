"""Doses and changes dragged about: the days ahead are what a whole reckoning with them finds."""

import math
from dataclasses import replace

import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Band, Case, Change, Dose, Initial, Loss, Reading, Source, Volume
from pratique.science.estimation.posterior import reckon
from pratique.science.estimation.reading import Method, Observed
from pratique.science.estimation.running import running_from
from pratique.science.estimation.what_if import Limits, lightened, most_above, outlook

COPPER = Case(
    constituent="copper",
    unit="mg/L",
    span_days=6.0,
    initial=Initial(0.05, 0.03),
    volume=Volume(80.0, 8.0),
    loss=Loss(0.05, 0.6),
    source=Source(0.0, 0.004, 0.002),
    methods={"plain": Method(resolution=0.0, absolute_sd=0.02, relative_sd=0.0)},
    events=(Dose(0.5, 9.0, 0.03), Dose(3.5, 2.0, 0.03)),
    readings=(Reading(1.0, "plain", Observed(value=0.17)), Reading(4.0, "plain", Observed(value=0.18))),
    draws=200,
)
KNOWN = Case(
    constituent="copper",
    unit="mg/L",
    span_days=1.0,
    initial=Initial(0.20, 0.0),
    volume=Volume(80.0, 0.0),
    loss=Loss(0.1, 0.0),
    draws=2,
)
LIMITS = Limits(Band(0.15, 0.20), 0.25)


def test_what_is_planned_leads_where_a_whole_reckoning_with_it_leads():
    """With nothing read afterwards, smoothing the longer record is the forecast: quantiles within 1 % of the sd."""
    planned = (Dose(7.0, 3.0, 0.03), Change(8.0, 15.0))
    found = outlook(running_from(COPPER), LIMITS, until_day=10.0, events=planned)
    whole = reckon(replace(COPPER, span_days=10.0, events=(*COPPER.events, *planned)))
    later = whole.days >= 6.0 - 1e-9
    assert found.days == pytest.approx(whole.days[later])
    assert found.quantiles == pytest.approx(whole.quantiles[:, later], abs=0.01 * whole.sd[later].min())


def test_a_known_tank_follows_the_closed_form():
    """c e^(-kt), lifted by amount over volume at the dose: 0.2 mg/L in 80 L that loses a tenth a day, 4 mg on day 3."""
    found = outlook(running_from(KNOWN), LIMITS, until_day=5.0, events=(Dose(3.0, 4.0),))
    start = 0.20 * math.exp(-0.1)
    after = start * math.exp(-0.2) + 4.0 / 80.0
    assert found.quantiles[3][0] == pytest.approx(start)
    assert found.quantiles[3][-1] == pytest.approx(after * math.exp(-0.2))


def test_a_dose_moved_later_lifts_the_level_later():
    """Of the same dose dragged from the second to the fourth day, the level between is that of no dose."""
    running = running_from(KNOWN)
    early, late, none = (
        outlook(running, LIMITS, until_day=6.0, events=events).quantiles[3]
        for events in ((Dose(2.0, 4.0),), (Dose(4.0, 4.0),), ())
    )
    between = slice(25, 71)
    assert late[between] == pytest.approx(none[between])
    assert (early[between] > none[between] + 0.04).all()


def test_the_share_inside_the_band_is_the_time_inside_it():
    """A known level falls from 0.181 and leaves the band at 0.15 after ln(0.181/0.15)/0.1 days, of 4 looked at."""
    found = outlook(running_from(KNOWN), LIMITS, until_day=5.0)
    left_after = math.log(0.20 * math.exp(-0.1) / 0.15) / 0.1
    assert found.inside == pytest.approx(left_after / 4.0, abs=0.02)
    assert found.ever_above is not None
    assert found.ever_above.value == 0.0


def test_a_dose_too_much_shows_as_a_chance_of_passing_the_limit():
    """From a known 0.181 mg/L, 8 mg in 80 L lead surely past 0.25; without them it never comes near."""
    running = running_from(KNOWN)
    over = outlook(running, LIMITS, until_day=3.0, events=(Dose(1.0, 8.0),))
    assert over.ever_above is not None
    assert over.ever_above.value == 1.0
    assert most_above(running, 0.25, from_day=1.0, until_day=3.0, events=(Dose(1.0, 8.0),)) == pytest.approx(1.0)
    assert most_above(running, 0.25, from_day=1.0, until_day=3.0) == pytest.approx(0.0)


def test_only_what_comes_after_a_day_is_asked_for():
    """A level that is over the limit now and falls: from the day on which it is under it again, nothing lies above."""
    high = running_from(replace(KNOWN, initial=Initial(0.28, 0.0)))
    assert most_above(high, 0.25, from_day=1.0, until_day=6.0) == pytest.approx(1.0)
    assert most_above(high, 0.25, from_day=4.0, until_day=6.0) == pytest.approx(0.0)


def test_without_a_band_nothing_is_judged():
    """Nitrate has no band to hold: the level ahead is told, and no chance of it."""
    found = outlook(running_from(KNOWN), Limits(), until_day=3.0)
    assert found.inside is None
    assert found.ever_above is None


def test_leaving_out_what_weighs_nothing_changes_nothing_one_can_see():
    """Mean and sd of the level stay within a thousandth of the sd."""
    running = running_from(COPPER)
    light = lightened(running)
    assert len(light.weights) < len(running.weights)
    assert light.level == pytest.approx(running.level, abs=1e-3 * running.level[1])


def test_nothing_can_be_planned_in_the_past():
    """The past is not moved: an event before where the reckoning stands is refused."""
    with pytest.raises(DomainError, match="must lie after"):
        outlook(running_from(COPPER), LIMITS, until_day=8.0, events=(Dose(2.0, 1.0),))
