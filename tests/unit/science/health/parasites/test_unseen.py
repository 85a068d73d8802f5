"""Looks by generating functions, clean and with signs: the same as replicates weighed by them, without a draw."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from tests.unit.science.health.parasites.drawn import believed, flukes, spots

from pratique.science.health.parasites.clearance import chance_at_end, p_clear
from pratique.science.health.parasites.hazard import Days, hazards_of
from pratique.science.health.parasites.isolate import Isolates
from pratique.science.health.parasites.looked import Told, after_looks

LOOKS = (20.0, 24.0, 28.0, 30.0)
BARE = Days(31.0, 2, moves=(6.0, 22.0), baths=(8.0, 17.0))
WHITE_SPOT = spots(settling=1.2, carried=0.2)


def told(isolates: Isolates, days: Days, *, carried_in: float = 1.0) -> Told:
    """What the looks say of the last step."""
    hazards = hazards_of(days, believed(isolates, carried_in=carried_in))
    return after_looks(hazards, isolates, np.array([days.steps - 1]))


@pytest.mark.parametrize(
    ("isolates", "days", "carried_in"),
    [
        (WHITE_SPOT, replace(BARE, clean_looks=LOOKS), 1.0),
        (flukes(), replace(BARE, clean_looks=LOOKS), 1.0),
        (WHITE_SPOT, replace(BARE, clean_looks=(24.0, 28.0, 31.0), seen_looks=(5.0,)), 0.5),
        (WHITE_SPOT, replace(BARE, clean_looks=(28.0,), seen_looks=(3.0, 5.0, 9.0)), 0.5),
        (flukes(), replace(BARE, clean_looks=(24.0, 31.0), seen_looks=(5.0, 12.0)), 0.5),
        (WHITE_SPOT, replace(BARE, clean_looks=LOOKS, newcomers={18.0: 3}), 0.5),
        (flukes(), replace(BARE, clean_looks=LOOKS, newcomers={17.0: 1, 29.0: 2}), 0.3),
        (WHITE_SPOT, replace(BARE, clean_looks=LOOKS, seen_looks=(19.0,), newcomers={0.0: 1, 17.25: 2}), 0.5),
    ],
    ids=["clean", "flukes", "seen", "seen thrice", "flukes seen", "newcomers", "flukes with newcomers", "all at once"],
)
def test_looks_say_the_same_by_generating_functions_as_by_replicates(isolates, days, carried_in):
    """P(clear | looks) and P(it ever came | looks); 20,000 weighed replicates agree."""
    exact = told(isolates, days, carried_in=carried_in)
    drawn = p_clear(days, believed(isolates, carried_in=carried_in), replicates=20_000, seed=3)
    assert not drawn.is_rough
    assert abs(drawn.probability[-1] - exact.clear[0]) < 4.0 * drawn.monte_carlo_error[-1] + 1e-3
    none = hazards_of(days, believed(isolates, carried_in=carried_in)).arrivals.none
    came = 1.0 if days.seen_looks else 1.0 - none / exact.heard[0]
    assert drawn.carried_in == pytest.approx(came, abs=0.02)


@pytest.mark.parametrize("isolates", [spots(settling=1.2), flukes()], ids=["white spot", "flukes"])
def test_without_a_look_nothing_is_seen_and_the_chance_is_the_plain_one(isolates):
    """The chance that no look sees a sign is 1 without looks."""
    plain = chance_at_end(BARE, believed(isolates))
    assert told(isolates, BARE).heard == pytest.approx(1.0, abs=1e-12)
    assert told(isolates, BARE).clear[0] == pytest.approx(plain[0], abs=1e-15)


def test_more_looks_are_less_likely_to_see_nothing():
    """Each further look can only see more."""
    isolates = spots(settling=1.2)
    chances_of_none = [told(isolates, replace(BARE, clean_looks=LOOKS[:n])).heard[0] for n in range(len(LOOKS) + 1)]
    assert all(after < before for before, after in pairwise(chances_of_none))


def test_seen_and_not_seen_add_up():
    """At one look: the chances of signs and of none are 1 together."""
    seen, clean = (told(WHITE_SPOT, replace(BARE, **{kind: (5.0,)})) for kind in ("seen_looks", "clean_looks"))
    assert seen.heard[0] + clean.heard[0] == pytest.approx(1.0, abs=1e-12)


def test_signs_where_none_can_be_left_are_not_possible():
    """The only bath left none; two weeks later signs are seen all the same."""
    isolates = replace(spots(settling=0.0, bath_survival=0.0), seeing=np.ones(1))
    assert not told(isolates, Days(31.0, 1, baths=(0.25,), seen_looks=(30.0,))).is_possible
    assert told(isolates, Days(31.0, 1, seen_looks=(3.0,))).is_possible


def test_the_range_weighs_each_isolate_by_what_was_seen():
    """Nine isolates that the looks speak against, and one they speak for: the range is that one's."""
    found = Told(gone=np.array([[0.0]] * 9 + [[0.9]]), heard=np.array([1e-6] * 9 + [1.0]))
    assert found.range_at(0) == pytest.approx((0.9, 0.9))
    even = Told(gone=np.linspace(0.0, 1.0, 101)[:, None], heard=np.ones(101))
    assert even.range_at(0) == pytest.approx((0.05, 0.95), abs=0.011)
