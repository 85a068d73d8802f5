"""The level between readings."""

import math

import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.mass_balance import Change, Dose, Fill, Reading, Untold, balance
from pratique.science.estimation.reading import Method, Observed, sd_at

PHOTOMETER = Method(resolution=0.01, absolute_sd=0.015, relative_sd=0.025, lower_limit=0.02, upper_limit=5.0)
CHART = Method(resolution=0.1, absolute_sd=0.02, relative_sd=0.0, marks=(0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0))


def track_of(*events, volume_l=100.0, volume_sd_l=0.0, until=240.0, initial=0.0):
    """A track in a hundred litres over ten days."""
    return balance(events, net_volume_l=volume_l, net_volume_sd_l=volume_sd_l, initial_mg_per_l=initial, until=until)


def test_a_dose_raises_the_level_by_mass_over_volume():
    """20 mg in 100 L are 0.20 mg/L (pure mass balance)."""
    last = track_of(Dose(0, 20, "dose")).steps[-1]
    assert (last.level, last.cause, last.entry, last.end) == (pytest.approx(0.20), "dose", "dose", 240.0)


def test_a_change_and_its_make_up():
    """30 L of 100 with clean water: 0.14; 6 mg bring back 0.20."""
    track = track_of(Dose(0, 20, "a"), Change(48, 30, 0.0, "b"), Dose(49, 6, "c"))
    assert [step.level for step in track.steps] == pytest.approx([0.0, 0.20, 0.14, 0.20])
    assert [(step.start, step.end) for step in track.steps] == [(0, 0), (0, 48), (48, 49), (49, 240)]


def test_nothing_is_lost_between_readings():
    """The level stands still until something happens."""
    track = track_of(Dose(0, 20, "a"), until=24 * 40)
    assert track.at(24 * 39).level == pytest.approx(0.20)


def test_a_plain_reading_sets_the_level_and_keeps_what_was_predicted():
    """The meter's value and its error take over; the difference stays visible."""
    last = track_of(Dose(0, 20, "a"), Reading(24, PHOTOMETER, Observed(value=0.17), "r")).steps[-1]
    assert (last.level, last.predicted, last.cause) == (0.17, pytest.approx(0.20), "reading")
    assert last.plus_minus == pytest.approx(1.959964 * sd_at(PHOTOMETER, 0.17), rel=1e-6)


def test_a_chart_that_agrees_leaves_the_level_alone():
    """0.2 on the chart holds 0.18: nothing moves, and the error is half the chart's interval."""
    before, after = track_of(Dose(0, 18, "a"), Reading(24, CHART, Observed(value=0.2), "r")).steps[-2:]
    assert after.level == before.level == pytest.approx(0.18)
    assert after.plus_minus == pytest.approx(0.05)


def test_a_chart_that_disagrees_moves_the_level_to_its_nearest_edge():
    """0.1 on the chart reaches up to 0.15: a predicted 0.20 comes down to it, ± half the interval."""
    last = track_of(Dose(0, 20, "a"), Reading(24, CHART, Observed(value=0.1), "r")).steps[-1]
    assert (last.level, last.plus_minus) == (pytest.approx(0.15), pytest.approx(0.05))


def test_below_the_limit_brings_the_level_under_it():
    """A predicted 0.20 that reads under 0.02 is 0.02 at most."""
    last = track_of(Dose(0, 20, "a"), Reading(24, PHOTOMETER, Observed(below=0.02), "r")).steps[-1]
    assert (last.level, last.plus_minus) == (0.02, 0.01)


def test_above_the_limit_lifts_the_level_to_it():
    """A predicted 0.2 that reads above 5 is 5 at least, with the method's error there."""
    last = track_of(Dose(0, 20, "a"), Reading(24, PHOTOMETER, Observed(above=5.0), "r")).steps[-1]
    assert last.level == 5.0
    assert last.plus_minus == pytest.approx(1.959964 * sd_at(PHOTOMETER, 5.0), rel=1e-6)


def test_at_one_moment_the_reading_comes_first_then_the_change_then_the_dose():
    """Whatever order they were written in."""
    events = [Dose(24, 6, "d"), Change(24, 30, 0.0, "c"), Reading(24, PHOTOMETER, Observed(value=0.20), "r")]
    track = track_of(Dose(0, 10, "start"), *events)
    assert [step.cause for step in track.steps[2:]] == ["reading", "change", "dose"]
    assert track.steps[-1].level == pytest.approx(0.20)


def test_a_fill_starts_anew():
    """Emptied and refilled with clean water there is no copper, whatever was there."""
    track = track_of(Dose(0, 20, "a"), Fill(48, 0.0, "f"))
    assert track.steps[-1].level == 0.0
    assert track.steps[-1].plus_minus == 0.0


def test_an_unsure_volume_makes_an_unsure_level():
    """90 L ± 5 (one sd): the level's relative error is the volume's, to first order."""
    last = track_of(Dose(0, 18, "a"), volume_l=90.0, volume_sd_l=5.0).steps[-1]
    assert last.plus_minus == pytest.approx(1.959964 * 0.20 * 5 / 90, rel=1e-6)


def test_doses_add_their_errors_in_quadrature():
    """Two equal doses: root two times the error of one."""
    one = track_of(Dose(0, 9, "a"), volume_sd_l=5.0).steps[-1].plus_minus
    two = track_of(Dose(0, 9, "a"), Dose(24, 9, "b"), volume_sd_l=5.0).steps[-1].plus_minus
    assert two == pytest.approx(math.sqrt(2) * one)


def test_a_change_dilutes_the_error_it_finds_and_adds_the_volume_s_own():
    """A reading's ± shrinks by the part changed; the changed part itself is unsure by the volume (JCGM 100:2008)."""
    reading = Reading(0, PHOTOMETER, Observed(value=0.20), "r")
    change = Change(24, 30, 0.0, "c")
    read = 1.959964 * sd_at(PHOTOMETER, 0.20)
    assert track_of(reading, change).steps[-1].plus_minus == pytest.approx(0.7 * read, rel=1e-6)
    unsure = track_of(reading, change, volume_sd_l=5.0).steps[-1].plus_minus
    assert unsure == pytest.approx(math.hypot(0.7 * read, 1.959964 * 0.06 * 0.05), rel=1e-6)


def test_more_water_than_the_tank_holds_replaces_all_of_it():
    """What happened is never refused: 150 L through 100 L leave the new water."""
    assert track_of(Dose(0, 20, "a"), Change(24, 150, 0.05, "c")).steps[-1].level == pytest.approx(0.05)


def test_what_lies_after_the_end_is_left_out():
    """A dose of tomorrow is not in the water today."""
    track = track_of(Dose(0, 20, "a"), Dose(300, 20, "b"))
    assert track.steps[-1].entry == "a"


def test_without_events_the_initial_level_stands():
    """An empty ledger gives one step without length."""
    track = track_of(initial=0.1)
    assert [(s.level, s.cause, s.start, s.end) for s in track.steps] == [(0.1, "start", 240.0, 240.0)]


def test_outside_the_track_there_is_no_step():
    """Before the first event and after the end nothing is claimed."""
    track = track_of(Dose(24, 20, "a"))
    assert track.at(10) is None
    assert track.at(241) is None


@pytest.mark.parametrize("volume_l", [0.0, -90.0, math.nan])
def test_a_volume_that_is_not_above_zero_is_refused(volume_l):
    """Without a volume there is no level."""
    with pytest.raises(DomainError, match="net volume must be above 0"):
        track_of(Dose(0, 20, "a"), volume_l=volume_l)


def test_a_negative_dose_or_change_is_refused():
    """Neither can be undone by another; amend the entry."""
    with pytest.raises(DomainError, match="A dose"):
        track_of(Dose(0, -20, "a"))
    with pytest.raises(DomainError, match="changed volume"):
        track_of(Change(0, -20, 0.0, "a"))


def test_before_the_first_reading_the_level_is_at_least_what_was_dosed():
    """8 mg in 100 L on water nobody read: 0.08 or more; a reading, a fill or a whole change makes it known."""
    steps = track_of(Dose(0, 8, "a"), Reading(24, PHOTOMETER, Observed(value=0.28), "r"), initial=None).steps
    assert [step.is_known for step in steps] == [False, False, True]
    assert steps[1].level == pytest.approx(0.08)
    assert (steps[2].level, steps[2].predicted) == (0.28, None)
    assert track_of(Fill(0, 0.0, "f"), initial=None).steps[-1].is_known
    assert track_of(Change(0, 100, 0.0, "c"), initial=None).steps[-1].is_known
    assert not track_of(Change(0, 99, 0.0, "c"), initial=None).steps[-1].is_known


def test_a_chart_sets_a_level_that_was_not_known_and_a_bound_without_an_end_does_not():
    """0.2 on the chart is the middle of its interval; "above 1.0" only says how much it is at least."""
    chart = track_of(Reading(0, CHART, Observed(value=0.2), "r"), initial=None).steps[-1]
    assert (chart.level, chart.is_known) == (pytest.approx(0.2), True)
    above = track_of(Reading(0, CHART, Observed(above=1.0), "r"), initial=None).steps[-1]
    assert (above.level, above.is_known) == (1.0, False)


def test_what_cannot_be_told_leaves_the_level_not_known():
    """An unmeasured dose only adds; a binder may take everything."""
    assert (track_of(Dose(0, 20, "a"), Untold(1, True, "b")).steps[-1].level) == pytest.approx(0.20)
    bound = track_of(Dose(0, 20, "a"), Untold(1, False, "b")).steps[-1]
    assert (bound.level, bound.is_known, bound.cause) == (0.0, False, "untold")
