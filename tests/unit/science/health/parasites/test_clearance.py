"""What must get better or worse when one thing is changed, whatever the figures are."""

from dataclasses import replace

import numpy as np
import pytest
from tests.unit.science.health.parasites.drawn import believed, flukes, spots

from pratique.science.chemistry.domain import DomainError
from pratique.science.health.parasites.clearance import chance_at_end, p_clear
from pratique.science.health.parasites.hazard import Days
from pratique.science.health.parasites.isolate import Isolates
from pratique.science.health.parasites.sensitivity import sensitivities

SPAN = 60.0
STEPS = Days(SPAN, 1).steps


def copper(*, until: float, start: float = 2.0, level: float = 1.2, dip: tuple[float, float] | None = None):
    """Copper over its lower target at each step: `level` from `start` to `until`, none in the dip."""
    day = np.arange(STEPS) / 4.0
    found = np.where((day >= start) & (day < until), level, 0.0)
    return (found if dip is None else np.where((day >= dip[0]) & (day < dip[1]), 0.0, found))[None, :]


def chance(isolates: Isolates | None = None, *, carried_in: float = 1.0, **days: object) -> float:
    """The chance that one animal is clear at the end of 60 days."""
    told = {"days": SPAN, "animals": 1, **days}
    return float(chance_at_end(Days(**told), believed(isolates or spots(), carried_in=carried_in))[0])


def test_moves_every_three_days_beat_moves_every_four():
    """What left the fish on arrival hatches after 72 h at the earliest: at 96 h some finds the fish still there."""
    assert chance(moves=(0, 3, 6, 9)) == pytest.approx(1.0, abs=1e-9)
    assert chance(moves=(0, 4, 8, 12)) < 0.99999


def test_three_moves_are_not_enough():
    """Trophonts stay up to 7 days: the last must leave before the last move."""
    assert chance(moves=(0, 3, 6)) < chance(moves=(0, 3, 6, 9))


def test_what_is_carried_along_with_the_animals_makes_moves_worse():
    """Wet nets carry stages: 1 % of them, then 5 %."""
    some, more = (chance(spots(carried=part), moves=(0, 3, 6, 9)) for part in (0.01, 0.05))
    assert more < some < 1.0


def test_a_dip_of_two_days_makes_a_course_worse_and_four_days_worse_still():
    """Swimmers that hatch in the dip settle, and their line may outlast the rest of the course."""
    held = chance(copper_part=copper(until=32.0))
    two = chance(copper_part=copper(until=32.0, dip=(12.0, 14.0)))
    four = chance(copper_part=copper(until=32.0, dip=(11.0, 15.0)))
    assert four < two < held


def test_a_longer_course_is_never_worse():
    """Two, three, four and five weeks."""
    chances = [chance(copper_part=copper(until=days)) for days in (14.0, 21.0, 28.0, 35.0)]
    assert chances == sorted(chances)
    assert chances[-1] > chances[0] + 0.05


def test_more_copper_is_never_worse_for_the_batch_and_none_is_worst():
    """From none to twice the lower target."""
    chances = [chance(copper_part=copper(until=32.0, level=level)) for level in (0.0, 0.4, 0.8, 1.2, 2.0)]
    assert chances == sorted(chances)
    assert chances[0] == chance()


def test_a_course_that_begins_later_is_never_better():
    """The first days without copper let a whole generation settle."""
    early, late = (chance(copper_part=copper(start=start, until=start + 30.0)) for start in (1.0, 8.0))
    assert late < early


@pytest.mark.parametrize(
    "days",
    [
        {},
        {"moves": (0, 3, 6, 9)},
        {"copper_part": copper(until=32.0)},
        {"salinity_psu": np.full(STEPS, 14.0)},
    ],
)
def test_a_batch_without_the_parasite_is_clear_whatever_is_done(days):
    """Treatment has nothing to gain in the disease number, and nothing to lose."""
    assert chance(carried_in=0.0, **days) == 1.0


@pytest.mark.parametrize("days", [{"moves": (0, 5)}, {"copper_part": copper(until=9.0, level=0.6)}, {"baths": (2.0,)}])
def test_no_treatment_is_worse_than_none_in_the_disease_number(days):
    """Even a poor one: a half-strength week, two moves too far apart, a bath."""
    assert chance(spots(bath_survival=0.5), **days) >= chance(spots(bath_survival=0.5))


def test_more_animals_are_never_better():
    """One, two and six animals in the same water."""
    chances = [chance(animals=count, copper_part=copper(until=21.0)) for count in (1, 2, 6)]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] > chances[-1]


def test_a_newcomer_brings_the_clock_back():
    """An animal that joins on day 20 of a cleared batch brings what it has: the younger resets the older."""
    alone = chance(moves=(0, 3, 6, 9))
    joined = chance(moves=(0, 3, 6, 9), newcomers={20.0: 1})
    assert joined < 0.1 < alone
    moved_again = chance(moves=(0, 3, 6, 9, 20, 23, 26, 29), newcomers={20.0: 1})
    assert moved_again == pytest.approx(alone, abs=1e-9)


def test_low_salinity_clears_what_cannot_bear_it_only():
    """14 PSU for three weeks; a strain that bears it stays."""
    day = np.arange(STEPS) / 4.0
    low = np.where((day >= 2.0) & (day < 30.0), 14.0, 35.0)
    assert chance(salinity_psu=low) > 0.99
    resisting = replace(spots(), resists_low_salinity=np.ones(1, bool))
    assert chance(resisting, salinity_psu=low) == chance()
    assert chance(salinity_psu=np.full(STEPS, 18.0)) == chance()


def test_a_second_bath_in_its_window_beats_one_too_early_and_none():
    """Eggs outlast the first bath: the second must come after they hatch and before the young lay."""
    once, early, timely = (chance(flukes(), baths=baths) for baths in ((1.0,), (1.0, 3.0), (1.0, 9.0)))
    assert once < early < timely


def test_a_longer_fallow_is_never_worse():
    """The fish leave an infected tank on day 14; after the longest wait of 28 days and a swimmer's life it is empty."""
    told = [Days(14.0 + wait, 3, hosts_leave=14.0) for wait in (5.0, 12.0, 20.0, 31.0)]
    chances = [float(chance_at_end(days, believed(spots(settling=1.0)))[0]) for days in told]
    assert chances == sorted(chances)
    assert chances[0] < 0.5
    assert chances[-1] == 1.0


def test_clean_looks_raise_the_chance_and_more_of_them_raise_it_more():
    """Four weeks after a course, on one day and on ten."""
    course = copper(until=18.0)[:, :185]
    told = [Days(46.0, 1, copper_part=course, clean_looks=looks) for looks in ((), (30.0,), tuple(range(30, 40)))]
    found = [p_clear(days, believed(spots(), carried_in=0.6), replicates=4000) for days in told]
    last = [float(one.probability[-1]) for one in found]
    assert last == sorted(last)
    assert found[2].carried_in < found[0].carried_in == pytest.approx(0.6)


def test_signs_seen_leave_no_doubt_that_the_batch_had_it():
    """And the chance falls to that of an infected batch or below."""
    days = Days(30.0, 1, moves=(0, 3, 6), seen_looks=(2.0,))
    found = p_clear(days, believed(spots(), carried_in=0.3), replicates=4000)
    assert found.carried_in == 1.0
    assert found.probability[-1] <= p_clear(replace(days, seen_looks=()), believed(spots())).probability[-1] + 0.02


def test_the_day_reached_is_the_first_from_which_it_stays():
    """A newcomer takes back what was reached before."""
    alone = p_clear(Days(40.0, 1, moves=(0, 3, 6, 9)), believed(spots()), replicates=500)
    assert alone.day_reached(0.95) == 9.0
    joined = p_clear(Days(40.0, 1, moves=(0, 3, 6, 9), newcomers={20.0: 1}), believed(spots()), replicates=500)
    assert joined.day_reached(0.95) is None


@pytest.mark.parametrize(
    ("isolates", "days"),
    [
        (spots(), Days(60.0, 1, copper_part=copper(until=20.0))),
        (spots(settling=1.2), Days(50.0, 1)),
        (flukes(), Days(30.0, 1, baths=(1.0, 9.0))),
    ],
    ids=["copper", "hardly growing", "flukes"],
)
def test_draws_and_generating_functions_agree(isolates, days):
    """4,000 replicates, every day: within five standard errors. A blind look makes the draws tell the chance."""
    counted = p_clear(
        replace(days, clean_looks=(0.0,)),
        believed(replace(isolates, seeing=np.zeros(1))),
        replicates=4000,
        seed=11,
    )
    exact = p_clear(days, believed(isolates), replicates=10)
    error = np.sqrt(exact.probability * (1.0 - exact.probability) / 4000)
    assert np.all(np.abs(counted.probability - exact.probability) <= 5.0 * error + 0.001)
    assert 0.02 < exact.probability[-1] < 0.98


def test_what_varies_is_what_matters():
    """Of two unknowns the one that moves the chance explains nearly all of it."""
    rng = np.random.default_rng(4)
    one, other = rng.uniform(size=400), rng.uniform(size=400)
    found = sensitivities(one**2 + 0.01 * other, [("one", one), ("other", other), ("fixed", np.ones(400))])
    assert found["one"] > 0.95
    assert found["other"] < 0.05
    assert found["fixed"] == 0.0


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (Days(0.0, 1), "at least one animal and some days"),
        (Days(10.0, 0), "at least one animal and some days"),
        (Days(10.0, 1, copper_part=np.ones((1, 3))), "each of the 41 steps"),
        (Days(10.0, 1, salinity_psu=np.full(41, np.nan)), "salinity must be a number"),
        (Days(10.0, 1, hosts_leave=12.0), "must lie within the days"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(days, words):
    """Instead of a chance that means nothing."""
    with pytest.raises(DomainError, match=words):
        p_clear(days, believed(spots()), replicates=10)


def test_with_no_more_isolates_than_bins_nothing_is_said_to_matter() -> None:
    """Eight isolates in eight bins: no number, and no division by nought."""
    values = np.arange(8.0)
    assert sensitivities(values**2, [("one", values)]) == {"one": 0.0}
