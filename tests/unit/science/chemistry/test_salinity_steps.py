"""Salinity moved in steps that never go faster than allowed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pratique.science.chemistry.dilution import after_change
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.salinity_steps import Pace, salinity_steps


def test_full_seawater_to_fourteen_in_two_days():
    """100 L from 35 to 14 at 12 a day, every 12 hours: 4 steps of 5.25, the first of 15 L (by hand)."""
    steps = salinity_steps(35.0, 14.0, incoming_psu=0.0, volume_l=100.0, pace=Pace(12.0, hours_between=12.0))
    assert [step.at_hours for step in steps] == [0.0, 12.0, 24.0, 36.0]
    assert [step.to_psu for step in steps] == pytest.approx([29.75, 24.5, 19.25, 14.0])
    assert steps[0].litres == pytest.approx(15.0)


def test_going_back_up_takes_brine():
    """From 14 to 35 at 2 a day with water at 40: 11 days of steps under 2."""
    steps = salinity_steps(14.0, 35.0, incoming_psu=40.0, volume_l=100.0, pace=Pace(2.0))
    assert len(steps) == 11
    assert all(step.to_psu - step.from_psu <= 2.0 for step in steps)


salinities = st.floats(0.0, 45.0)


@given(
    start=salinities, part=st.floats(0.0, 1.0), incoming=salinities, pace=st.floats(0.5, 20.0), every=st.floats(6, 48)
)
def test_every_schedule_arrives_and_keeps_its_pace(start, part, incoming, pace, every):
    """Doing each swap brings the tank to the target, and none moves it further than the pace allows."""
    target = start + part * (incoming - start)
    allowed = Pace(pace, hours_between=every)
    level = start
    for step in salinity_steps(start, target, incoming_psu=incoming, volume_l=80.0, pace=allowed):
        assert level == pytest.approx(step.from_psu, abs=1e-6)
        level = after_change(level, step.litres / 80.0, incoming)
        assert abs(level - step.from_psu) <= allowed.largest_step_psu() * (1 + 1e-6)
    assert level == pytest.approx(target, abs=1e-6)


def test_a_tank_that_is_there_needs_no_steps():
    """Nothing to do is an empty plan."""
    assert salinity_steps(35.0, 35.0, incoming_psu=0.0, volume_l=100.0, pace=Pace(2.0)) == ()


def test_nonsense_is_refused():
    """The wrong water, no pace, or a plan of years."""
    with pytest.raises(DomainError, match="cannot bring"):
        salinity_steps(33.0, 35.0, incoming_psu=0.0, volume_l=100.0, pace=Pace(2.0))
    with pytest.raises(DomainError, match="must be above zero"):
        Pace(0.0)
    with pytest.raises(DomainError, match="more than a thousand steps"):
        salinity_steps(35.0, 14.0, incoming_psu=0.0, volume_l=100.0, pace=Pace(0.01))
