"""What is due, in households that are not the usual one."""

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.rounds import rounds
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, places

pytestmark = pytest.mark.django_db


def due(day: float) -> list[str]:
    """Return what is due, in words."""
    return [one.words for one in rounds(load_household(), now=at(day)).due]


@pytest.mark.parametrize(
    ("kinds", "words"),
    [
        (["cleaner_shrimp"], "Nook: feed"),
        (["cleaner_shrimp", "royal_gramma"], "Nook: feed, and note it"),
        (["maiden_goby", "royal_gramma"], "Nook: feed, and note each of 2"),
    ],
)
def test_a_feeding_notes_the_fishes_and_no_one_else(kinds, words):
    """How a shrimp fed is not tapped; with shrimps alone there is nobody to note."""
    keeper = Keeper()
    keeper.write(-20, places.System(key="nook", name="Nook", role="holding", gross_volume_l=60))
    for kind in kinds:
        key = kind.replace("_", "-")
        keeper.write(-10, animals.Arrival(key=key, name=key.capitalize(), species=kind, system="nook"))
    assert [one for one in due(0) if "feed" in one] == [words]


@pytest.mark.parametrize(("substance", "is_read"), [("copper_ionic", True), ("praziquantel", False)])
def test_copper_is_due_to_be_read_in_a_course_of_copper_alone(substance, is_read):
    """A course of another medicine asks for no copper reading."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.course(substance=substance, stock=None)
    assert any("copper" in one for one in due(1)) is is_read
