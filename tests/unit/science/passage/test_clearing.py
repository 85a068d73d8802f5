"""How likely an animal is free of a parasite: what must make that better or worse, by our own reasoning.

The model behind it is held to published values under `tests/published` and to closed forms; here is only how a history
is put to it.
"""

from dataclasses import replace

import numpy as np
import pytest

from pratique.science.health.parasites.clearance import Belief
from pratique.science.health.parasites.isolates import belief_of
from pratique.science.passage.clear import ClearChance
from pratique.science.passage.clearing import History, chance_clear

NEEDED = 0.95
STEPS_PER_DAY = 4


@pytest.fixture(scope="module")
def white_spot() -> Belief:
    """What is believed of three fish at 26 °C."""
    return belief_of("white_spot", temperature_c=26.0, animals=3, rows=40)


def steps_until(day: float) -> int:
    """Return how many steps the days hold."""
    return int(np.ceil(day * STEPS_PER_DAY)) + 1


def copper(first: float, last: float, *, until: float, dip: tuple[float, float] | None = None) -> np.ndarray:
    """Return copper at 1.2 times its lower target from one day to another, nothing of it in a dip."""
    part = np.zeros((4, steps_until(until)))
    part[:, int(first * STEPS_PER_DAY) : int(last * STEPS_PER_DAY)] = 1.2
    if dip is not None:
        part[:, int(dip[0] * STEPS_PER_DAY) : int(dip[1] * STEPS_PER_DAY)] = 0.0
    return part


def chance(history: History, belief: Belief) -> ClearChance:
    """Return the chance with few replicates."""
    return chance_clear(history, belief, needed=NEEDED, replicates=300)


UNTREATED = History(now_day=20.0, horizon_day=50.0, animals=3)
TREATED = replace(UNTREATED, now_day=40.0, horizon_day=70.0, copper_part=copper(1.0, 38.0, until=70.0))


def test_a_dip_makes_it_less_likely_and_says_by_how_much(white_spot):
    """The same course, held throughout and with four days of nothing."""
    dipped = replace(TREATED, copper_part=copper(1.0, 38.0, until=70.0, dip=(15.0, 19.0)))
    found = chance(replace(dipped, steady_copper_part=TREATED.copper_part), white_spot)
    assert found.without_dip == pytest.approx(chance(TREATED, white_spot).unlooked)
    assert found.unlooked < found.without_dip


def test_a_course_without_a_dip_has_nothing_to_tell_of_one(white_spot):
    """None, not the same number twice."""
    assert chance(TREATED, white_spot).without_dip is None


def test_the_younger_resets_the_clock(white_spot):
    """A newcomer two days before the end undoes what 38 days of copper did."""
    mixed = replace(TREATED, newcomers={38.0: 1})
    assert chance(mixed, white_spot).probability < chance(TREATED, white_spot).probability


def test_what_was_seen_surely_came_along(white_spot):
    """Spots on day 1: no chance is left that it never came."""
    found = chance(replace(TREATED, seen_looks=(1.0,)), white_spot)
    assert found.carried_in == 1.0
    assert found.probability <= found.if_carried + 1e-9 or found.are_looks_counted


def test_clean_looks_make_it_more_likely_to_be_free(white_spot):
    """Three weeks of looks that found nothing on untreated fish."""
    looked = replace(UNTREATED, clean_looks=tuple(float(day) for day in range(1, 20, 2)))
    found = chance(looked, white_spot)
    assert found.carried_in < white_spot.carried_in
    assert found.probability > chance(UNTREATED, white_spot).probability


def test_untreated_fish_reach_no_day(white_spot):
    """As things stand no day within the horizon is enough."""
    found = chance(UNTREATED, white_spot)
    assert found.probability < NEEDED
    assert found.reached_in_days is None


def test_the_day_ahead_is_the_first_that_stays_enough(white_spot):
    """Three days into a course that is held from now on: a day comes, later than a month of it has not passed."""
    early = replace(TREATED, now_day=3.0, horizon_day=100.0, copper_part=copper(1.0, 100.0, until=100.0))
    found = chance_clear(early, white_spot, needed=0.5, replicates=50)
    assert found.probability < 0.5
    assert found.reached_in_days is not None
    assert found.reached_in_days > 3.0
    later = replace(early, now_day=3.0 + found.reached_in_days)
    assert chance_clear(later, white_spot, needed=0.5, replicates=50).probability >= 0.5


def test_the_range_holds_the_chance_and_the_unknowns_are_named(white_spot):
    """The weightiest first; each with a share of the spread."""
    found = chance(TREATED, white_spot)
    assert found.low <= found.probability <= found.high
    shares = [share for _, share in found.hangs_on]
    assert shares == sorted(shares, reverse=True)
    assert all(0.0 < share <= 1.0 for share in shares)
