"""What must hold of any course, whatever was dosed, changed and read."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pratique.science.chemistry.ammonia import un_ionised_fraction_khoo1977
from pratique.science.chemistry.dilution import after_change, change_fraction_to_reach
from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Band, Case, Change, Dose, Initial, Loss, Reading, Refill, Source, Volume
from pratique.science.estimation.exposure import Exposure, exposure_of
from pratique.science.estimation.posterior import Posterior, reckon
from pratique.science.estimation.quadrature import UNEXPLAINED
from pratique.science.estimation.reading import Method, Observed

VOLUME_L = 90.0
SPAN = 20.0
HOURS = SPAN * 24.0
PHOTOMETER = Method(resolution=0.01, absolute_sd=0.015, relative_sd=0.025, lower_limit=0.02, upper_limit=5.0)
CHART = Method(resolution=0.0, absolute_sd=0.02, relative_sd=0.0, marks=(0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0))

# Whole hours make events meet at one moment often, which is where order matters.
days = st.integers(0, 24 * 20).map(lambda hour: hour / 24.0)
levels = st.floats(0.0, 0.6)
doses = st.builds(Dose, days, st.floats(0.0, 20.0))
changes = st.builds(Change, days, st.floats(0.0, 80.0), st.floats(0.0, 0.3))
refills = st.builds(Refill, days, levels, st.just(0.0))
observations = st.one_of(
    st.tuples(st.just("photometer"), st.builds(lambda v: Observed(value=round(v, 2)), st.floats(0.02, 0.6))),
    st.tuples(st.just("photometer"), st.builds(lambda v: Observed(below=v), st.floats(0.02, 0.3))),
    st.tuples(st.just("chart"), st.builds(lambda n: Observed(low=n / 10, high=(n + 1) / 10), st.integers(0, 2))),
)
readings = st.builds(lambda day, seen: Reading(day, *seen), days, observations)
courses = st.lists(st.one_of(doses, changes, refills), max_size=12)


def case_of(told, seen=(), *, unsure: bool) -> Case:
    """Twenty days in ninety litres, known exactly or as well as a keeper knows them."""
    return Case(
        "copper",
        "mg/L",
        SPAN,
        Initial(0.0, 0.4) if unsure else Initial(0.0, 0.0),
        grid_hours=2.0,
        volume=Volume(VOLUME_L, 4.0 if unsure else 0.0),
        loss=Loss(0.04, 0.8) if unsure else Loss(),
        source=Source(0.0, 0.005, 0.002) if unsure else Source(),
        methods={"photometer": PHOTOMETER, "chart": CHART},
        events=tuple(sorted(told, key=lambda one: (one.day, isinstance(one, Dose)))),
        readings=tuple(sorted(seen, key=lambda one: one.day)),
        draws=200,
    )


def reckoned(case: Case) -> Posterior:
    """The reckoning of a case; one whose readings nothing explains is another test's."""
    try:
        return reckon(case)
    except DomainError as problem:
        assume(str(problem) != UNEXPLAINED)
        raise


def exposure(found: Posterior, *, lower: float = 0.15, until: float = SPAN) -> Exposure:
    """The exposure of the days up to one, from the first."""
    return exposure_of(
        found.trajectories, found.days, Band(lower, 0.25), start_day=0.0, end_day=until, required_days=14.0
    )


@settings(max_examples=60, deadline=None)
@given(st.lists(st.one_of(doses, changes), max_size=12))
def test_no_mass_appears_from_nowhere(told):
    """Without readings the mass in the water is what was dosed and let in, less what was let out."""
    mass = 0.0
    for event in sorted(told, key=lambda one: (one.day, isinstance(one, Dose))):
        if isinstance(event, Dose):
            mass += event.amount_mg
        else:
            mass += event.volume_l * (event.incoming - mass / VOLUME_L)
    found = reckon(case_of(told, unsure=False))
    assert float(found.mean[-1]) * VOLUME_L == pytest.approx(mass, abs=1e-6)


@settings(max_examples=30, deadline=None)
@given(courses, st.lists(readings, max_size=8))
def test_days_held_fit_into_the_course_whatever_was_read(told, seen):
    """What stands at the end is no longer than the longest run, and that no longer than the course."""
    found = exposure(reckoned(case_of(told, seen, unsure=True)))
    for standing, longest in zip(found.credited_days.quantiles, found.longest_unbroken_days.quantiles, strict=True):
        assert 0.0 <= standing <= longest + 1e-9
        assert longest <= SPAN + 1e-9
    assert 0.0 <= found.hours_above_upper.mean <= HOURS + 2.0
    chances = [found.held, *(dip.probability for dip in found.dips), *(day.held for day in found.days)]
    assert all(0.0 <= one.value <= 1.0 and one.monte_carlo_error <= 0.5 for one in chances)
    assert len(found.days) == SPAN


@settings(max_examples=30, deadline=None)
@given(courses, st.lists(readings, max_size=8), st.floats(0.01, 0.3), st.floats(0.01, 0.3))
def test_a_higher_target_is_never_held_longer(told, seen, one, other):
    """Raising the lower target can only take days away, on every trajectory."""
    found = reckoned(case_of(told, seen, unsure=True))
    low, high = sorted((one, other))
    eager, strict_one = exposure(found, lower=low), exposure(found, lower=high)
    assert strict_one.longest_unbroken_days.mean <= eager.longest_unbroken_days.mean + 1e-9
    assert strict_one.credited_days.mean <= eager.credited_days.mean + 1e-9
    assert strict_one.held.value <= eager.held.value + 1e-9


@settings(max_examples=30, deadline=None)
@given(courses, st.lists(readings, max_size=6), st.integers(1, 18).map(float))
def test_draining_the_tank_leaves_nothing_standing(told, seen, day):
    """Emptied at the end of a course all its days are lost, however surely they were held."""
    before = [one for one in told if one.day < day]
    read = [one for one in seen if one.day < day]
    found = reckoned(case_of([*before, Refill(day, 0.0, 0.001)], read, unsure=True))
    assert exposure(found, until=day).credited_days.quantiles[-1] == 0.0


@settings(max_examples=30, deadline=None)
@given(courses, st.lists(readings, max_size=8))
def test_dips_lie_apart_and_in_order_after_the_target_was_reached(told, seen):
    """Each is at least as likely as the least that is named, and lies in the course."""
    found = exposure(reckoned(case_of(told, seen, unsure=True)))
    edges = np.array([edge for dip in found.dips for edge in (dip.start_day, dip.day, dip.end_day)])
    assert np.all(np.diff(edges) >= 0.0)
    assert all(0.0 <= dip.start_day <= dip.end_day <= SPAN for dip in found.dips)
    assert all(dip.probability.value >= 0.05 for dip in found.dips)


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
