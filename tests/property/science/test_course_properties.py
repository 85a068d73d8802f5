"""What must hold of any course, whatever was dosed, changed and read."""

import itertools
import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pratique.science.chemistry.ammonia import un_ionised_fraction_khoo1977
from pratique.science.chemistry.dilution import after_change, change_fraction_to_reach
from pratique.science.estimation.mass_balance import Change, Dose, Fill, Reading, balance
from pratique.science.estimation.reading import Method, Observed
from pratique.science.estimation.straight_exposure import exposure

VOLUME_L = 90.0
UNTIL = 24.0 * 20
PHOTOMETER = Method(resolution=0.01, absolute_sd=0.015, relative_sd=0.025, lower_limit=0.02, upper_limit=5.0)
CHART = Method(resolution=0.1, absolute_sd=0.02, relative_sd=0.0, marks=(0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0))

# Whole hours make events meet at one moment often, which is where order matters.
hours = st.integers(0, 24 * 20).map(float)
levels = st.floats(0.0, 0.6)
doses = st.builds(Dose, hours, st.floats(0.0, 20.0), st.just("dose"))
changes = st.builds(Change, hours, st.floats(0.0, 120.0), st.floats(0.0, 0.3), st.just("change"))
fills = st.builds(Fill, hours, levels, st.just("fill"))
observations = st.one_of(
    st.builds(lambda v: Observed(value=v), levels),
    st.builds(lambda v: Observed(below=v), st.floats(0.02, 0.3)),
    st.builds(lambda v: Observed(low=v, high=v + 0.1), levels),
)
readings = st.builds(Reading, hours, st.sampled_from([PHOTOMETER, CHART]), observations, st.just("reading"))
courses = st.lists(st.one_of(doses, changes, fills, readings), max_size=25)


def track_of(events):
    """The track of twenty days in ninety litres."""
    return balance(events, net_volume_l=VOLUME_L, net_volume_sd_l=4.0, until=UNTIL)


def exposure_of(track, lower=0.15):
    """The exposure of the whole twenty days."""
    return exposure(track, lower=lower, hard_upper=0.25, start=0.0, end=UNTIL)


@given(courses)
def test_a_track_is_unbroken_in_time_and_never_negative(events):
    """Each step begins where the last ended; levels and errors are numbers at or above nothing."""
    steps = track_of(events).steps
    for before, after in itertools.pairwise(steps):
        assert before.end == after.start
        assert before.start <= before.end
    assert steps[-1].end == UNTIL
    assert all(s.level >= 0 and s.plus_minus >= 0 and math.isfinite(s.plus_minus) for s in steps)


@given(st.lists(st.one_of(doses, changes), max_size=25))
def test_no_mass_appears_from_nowhere(events):
    """Without readings the mass in the water is what was dosed and let in, less what was let out."""
    mass = 0.0
    for event in sorted(events, key=lambda e: (e.at, isinstance(e, Dose))):
        if isinstance(event, Dose):
            mass += event.amount_mg
        else:
            volume = min(event.volume_l, VOLUME_L)
            mass += volume * event.incoming_mg_per_l - mass * volume / VOLUME_L
    assert track_of(events).steps[-1].level * VOLUME_L == pytest.approx(mass, abs=1e-9)


@given(st.lists(st.one_of(doses, changes, readings), max_size=12, unique_by=lambda e: (e.at, type(e))), st.randoms())
def test_the_order_of_writing_does_not_matter(events, chance: random.Random):
    """Entries sent late by a phone give the same track."""
    shuffled = list(events)
    chance.shuffle(shuffled)
    assert track_of(shuffled) == track_of(events)


@given(courses)
def test_held_and_lost_days_never_exceed_the_hours_held(events):
    """Whole days of runs fit into the hours of the runs, and the runs into the course."""
    found = exposure_of(track_of(events))
    assert (found.days_credited + found.days_lost) * 24 <= found.hours_held + 1e-6
    assert found.hours_held <= UNTIL + 1e-6
    assert found.hours_held == pytest.approx(sum(run.hours for run in found.runs))


@given(courses)
def test_runs_and_dips_take_turns(events):
    """Between two runs lies exactly one dip, and none lies before the first run."""
    found = exposure_of(track_of(events))
    assert len(found.dips) in {len(found.runs), max(0, len(found.runs) - 1)}
    for run, dip in zip(found.runs, found.dips, strict=False):
        assert run.end <= dip.start
        assert dip.lowest < 0.15
    for dip, run in zip(found.dips, found.runs[1:], strict=False):
        assert dip.end <= run.start


@given(courses, st.floats(0.01, 0.3), st.floats(0.01, 0.3))
def test_a_higher_target_is_never_held_longer(events, one, other):
    """Raising the lower target can only take hours away."""
    low, high = sorted((one, other))
    track = track_of(events)
    assert exposure_of(track, high).hours_held <= exposure_of(track, low).hours_held + 1e-6


@given(courses)
def test_the_days_add_up_to_the_course(events):
    """The parts of days below and the hours held make the whole course."""
    found = exposure_of(track_of(events))
    below = sum(mark.part_of_day_below * 24 for mark in found.day_marks)
    assert below + found.hours_held == pytest.approx(UNTIL, abs=1e-4)
    assert [mark.day_index for mark in found.day_marks] == list(range(20))


@given(courses, st.integers(1, 19).map(lambda day: day * 24.0))
def test_draining_the_tank_leaves_nothing_credited(events, hour):
    """A dip late in the course loses every day before it, and only counts the run after."""
    before = [e for e in events if e.at < hour]
    found = exposure_of(track_of([*before, Fill(hour, 0.0, "drained")]))
    assert found.days_credited == 0


@given(st.floats(0, 50), st.floats(0, 1), st.floats(0, 50))
def test_a_change_and_its_inverse_agree(level, fraction, incoming):
    """The fraction that reaches a level is the one that was changed."""
    if abs(level - incoming) < 1e-3:
        return
    target = after_change(level, fraction, incoming)
    assert after_change(level, change_fraction_to_reach(level, target, incoming=incoming), incoming) == pytest.approx(
        target, abs=1e-9
    )


@settings(max_examples=200)
@given(st.floats(5.0, 9.9), st.floats(5.0, 39.0), st.floats(0.5, 45.0), st.sampled_from(["ph", "warmer", "fresher"]))
def test_un_ionised_ammonia_rises_with_ph_and_warmth_and_falls_with_salt(ph, temperature_c, salinity, what):
    """The corner taken as the worst is the worst everywhere in range."""
    here = un_ionised_fraction_khoo1977(ph, temperature_c, salinity)
    there = {
        "ph": un_ionised_fraction_khoo1977(ph + 0.1, temperature_c, salinity),
        "warmer": un_ionised_fraction_khoo1977(ph, temperature_c + 1.0, salinity),
        "fresher": un_ionised_fraction_khoo1977(ph, temperature_c, salinity - 0.5),
    }[what]
    assert 0.0 < here < there < 1.0
