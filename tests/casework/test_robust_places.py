"""A ledger that speaks of a system nobody set up: older data, a restored home, or a day before its set-up."""

import pytest
from tests.casework.keeping import Keeper, at

from pratique.ledger.household import load_household, load_household_at
from pratique.ledger.kinds import animals, care

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
