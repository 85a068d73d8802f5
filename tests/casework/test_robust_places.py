"""A ledger that speaks of a system nobody set up: older data, a restored home, or a day before its set-up."""

import pytest
from tests.casework.keeping import Keeper, at
from tests.casework.opening import every_page

from pratique.casework.rounds import rounds
from pratique.ledger.household import load_household, load_household_at
from pratique.ledger.kinds import animals, care, places, water

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Keeper:
    """A household with an animal, a course and a growth case in a system that was never set up."""
    keeper = Keeper()
    keeper.write(-9, animals.Batch(key="b1", name="B1", protocol="copper_ionic_30"))
    keeper.write(
        -8,
        animals.Arrival(key="gramma", name="Royal gramma", species="royal_gramma", system="lazaret", batch="b1"),
    )
    keeper.course(stock=None)
    keeper.write(-1, care.GrowthCase(key="dust", name="Brown dust", system="lazaret"))
    return keeper


def test_a_system_that_is_not_set_up_has_a_stand_in_of_which_nothing_is_known(keeper):
    """It is called by its key and has no net volume, so that nothing is reckoned of its water."""
    missing = load_household().system_or_missing("lazaret")
    assert (missing.name, missing.net_volume_l, missing.keeps_invertebrates) == ("lazaret", None, False)


def test_what_leans_on_a_system_is_found_whether_it_is_set_up_or_not(keeper):
    """The animal, the course and the case each need the system."""
    names = [one.name for one in load_household().leaning_on("lazaret")]
    assert names == ["Royal gramma", "Copper", "Brown dust"]


def test_a_system_that_is_set_up_is_found_as_it_is(keeper):
    """The stand-in never takes the place of what is known."""
    keeper.quarantine()
    assert load_household_at(at(1)).system_or_missing("lazaret").name == "Lazaret"


@pytest.mark.parametrize("is_moved_on", [True, False])
def test_every_page_opens_where_a_system_is_missing(keeper, is_moved_on):
    """One missing entry does not take the others down."""
    keeper.read(1, "copper", 0.16, "copper_photometer")
    keeper.read(1, "total_ammonia", 1.0, "ammonia_photometer")
    keeper.dose(1.1, 4.0)
    keeper.write(1.2, water.WaterChange(system="lazaret", volume_l=20.0))
    if is_moved_on:
        keeper.write(2, animals.Move(animals=("gramma",), system="haven"))
    assert len(every_page(load_household(), at(3))) == 9


def test_a_missing_system_is_a_concern_that_says_what_leans_on_it(keeper):
    """Nothing is reckoned of its water, and the keeper is told so."""
    found = next(one for one in rounds(load_household(), now=at(1)).concerns if one.key == "missing.lazaret")
    assert found.weight == "today"
    assert found.title == "lazaret is not set up"
    assert "Royal gramma, Copper and Brown dust" in found.said[0]
    assert "nothing is reckoned" in found.said[1]
    assert found.evidence


def test_rounds_of_a_day_before_the_set_up_are_walked(keeper):
    """The animal and the course were written with earlier dates than the system they are in."""
    keeper.write(2, places.System(key="lazaret", name="Lazaret", role="quarantine", gross_volume_l=90, net_volume_l=80))
    before = load_household_at(at(1))
    assert before.systems == {}
    assert len(every_page(before, at(1))) == 9
    assert "missing.lazaret" in {one.key for one in rounds(before, now=at(1)).concerns}
    after = rounds(load_household_at(at(3)), now=at(3)).concerns
    assert "missing.lazaret" not in {one.key for one in after}
