"""Levels under a routine: closed forms against stepping through time by hand."""

import math

import pytest

from pratique.science.chemistry.dilution import after_change, after_flow, changes_between, volumes_to_reach
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.level_over_time import Routine, sawtooth


def test_a_sawtooth_is_where_repeated_changes_end():
    """Rising 7 between 15 % changes with water at 2: stepping 200 times comes to the closed form."""
    level = 10.0
    for _ in range(200):
        peak = level + 7.0
        level = after_change(peak, 0.15, 2.0)
    settled = sawtooth(7.0, 0.15, incoming=2.0)
    assert (settled.peak, settled.trough) == (pytest.approx(peak), pytest.approx(level))


def test_a_routine_follows_its_own_rate():
    """The closed form against 100,000 small steps of dC/dt."""
    routine = Routine(production=1.0, exchange=0.02, incoming=3.0, loss=0.05, uptake=0.2)
    level, step = 20.0, 10.0 / 100_000
    for _ in range(100_000):
        level += step * (1.0 + 0.02 * (3.0 - level) - 0.05 * level - 0.2)
    assert routine.level_after(10.0, start=20.0) == pytest.approx(level, rel=1e-5)


def test_a_routine_settles_where_its_rate_is_nothing():
    """(1 + 0.02 · 3 - 0.2) / 0.07 = 12.29 (by hand)."""
    settled = Routine(production=1.0, exchange=0.02, incoming=3.0, loss=0.05, uptake=0.2).settles_at()
    assert settled == pytest.approx(0.86 / 0.07)


def test_without_pull_a_level_only_climbs():
    """C0 + (P - u) t, and nowhere to settle."""
    routine = Routine(production=1.0, uptake=0.25)
    assert routine.settles_at() is None
    assert routine.level_after(8.0, start=2.0) == pytest.approx(8.0)


def test_a_steady_stream_does_less_than_one_change_of_the_same_water():
    """Half a tank in a stream leaves 0.607, at once 0.5; and the stream towards 5 from 40 stays above 5."""
    assert after_flow(1.0, 0.5) > after_change(1.0, 0.5)
    assert after_flow(40.0, 3.0, incoming=5.0) == pytest.approx(5.0 + 35.0 * math.exp(-3.0))


def test_the_volumes_a_stream_needs_bring_the_level_there():
    """There and back."""
    volumes = volumes_to_reach(40.0, 12.0, incoming=5.0)
    assert after_flow(40.0, volumes, incoming=5.0) == pytest.approx(12.0)
    assert volumes_to_reach(12.0, 12.0) == 0.0


@pytest.mark.parametrize(("level", "target", "incoming"), [(40, 50, 0), (40, 5, 5), (40, 2, 5), (5, 4, 5)])
def test_a_stream_cannot_pass_its_own_water(level, target, incoming):
    """Nor reach it."""
    with pytest.raises(DomainError, match="cannot bring"):
        volumes_to_reach(level, target, incoming=incoming)


def test_nonsense_is_refused():
    """Fractions, days, exchanges and losses have their limits."""
    for fraction in (0.0, 1.5, -0.1):
        with pytest.raises(DomainError, match="changed fraction must lie"):
            sawtooth(7.0, fraction)
    with pytest.raises(DomainError, match="changed fraction must lie between 0 and 1"):
        changes_between(40.0, 10.0, fraction=1.0)
    with pytest.raises(DomainError, match="The exchange must be at least 0"):
        Routine(exchange=-0.1)
    with pytest.raises(DomainError, match="Days must be at least 0"):
        Routine(production=1.0).level_after(-1.0, start=0.0)
    with pytest.raises(DomainError, match="exchanged volume must be at least 0"):
        after_flow(1.0, -0.5)
