"""How likely an animal is free of a parasite: what must make that better or worse, by our own reasoning.

The model behind it is held to published values under `tests/published` and to closed forms; here is only how a history
is put to it.
"""

from dataclasses import replace

import numpy as np
import pytest

from pratique.science.health.parasites.isolate import Belief
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
    """Return the chance with the probability that counts here."""
    return chance_clear(history, belief, needed=NEEDED)


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


LOOKED = replace(UNTREATED, now_day=60.0, horizon_day=80.0, animals=1, clean_looks=tuple(map(float, range(1, 60))))


@pytest.mark.parametrize("newcomers", [{59.0: 1}, {45.0: 4}])
def test_clean_looks_before_a_newcomer_say_nothing_of_it(newcomers):
    """Sixty clean days of one fish: a newcomer may have it all the same, and is as likely to as any fish."""
    one = belief_of("white_spot", temperature_c=26.0, animals=1, rows=40)
    alone, joined = chance(LOOKED, one), chance(replace(LOOKED, newcomers=newcomers), one)
    ((day, count),) = newcomers.items()
    looks_after = tuple(look - day for look in LOOKED.clean_looks if look >= day)
    group = History(now_day=60.0 - day, horizon_day=80.0, animals=count, clean_looks=looks_after)
    by_itself = chance(group, belief_of("white_spot", temperature_c=26.0, animals=group.animals, rows=40))
    assert joined.probability < alone.probability
    assert joined.probability <= by_itself.probability + 0.02


def test_a_newcomer_of_the_first_hours_stands_beside_the_first_batch():
    """It adds to those that came on day 0, and takes the place of none."""
    one = belief_of("white_spot", temperature_c=26.0, animals=1, rows=40)
    two = belief_of("white_spot", temperature_c=26.0, animals=2, rows=40)
    joined = chance(replace(UNTREATED, animals=1, newcomers={0.0: 1}), one)
    assert joined.carried_in == pytest.approx(two.carried_in)
    assert joined.probability == pytest.approx(chance(replace(UNTREATED, animals=2), two).probability, abs=0.01)


def test_looks_leave_the_range_between_isolates_open(white_spot):
    """The range is that of the isolates, weighed by what was seen: it does not shrink to a point."""
    found = chance(replace(TREATED, clean_looks=(30.0, 34.0)), white_spot)
    assert found.low < found.probability - 0.01
    assert found.high > found.probability + 0.01


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
    found = chance_clear(early, white_spot, needed=0.5)
    assert found.probability < 0.5
    assert found.reached_in_days is not None
    assert found.reached_in_days > 3.0
    later = replace(early, now_day=3.0 + found.reached_in_days)
    assert chance_clear(later, white_spot, needed=0.5).probability >= 0.5


def test_the_range_holds_the_chance_and_the_unknowns_are_named(white_spot):
    """The weightiest first; each with a share of the spread."""
    found = chance(TREATED, white_spot)
    assert found.low <= found.probability <= found.high
    shares = [share for _, share in found.hangs_on]
    assert shares == sorted(shares, reverse=True)
    assert all(0.0 < share <= 1.0 for share in shares)
