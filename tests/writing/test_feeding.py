"""Feeding: who was offered what, and how each animal fed where that was seen."""

import pytest
from tests.writing.conftest import NOW, at, desk, doubts_of, problems_of, put

from pratique.casework.writing.forms import FORMS, write_form
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals
from pratique.ledger.kinds.animals import Feeding, FoodGiven

pytestmark = pytest.mark.usefixtures("harbour_row")


def test_an_animal_left_untouched_was_offered_food_but_not_seen() -> None:
    """Not seen is not the same as not eaten: it stands among those offered, without a step."""
    feeding = write_form("feeding", desk(), {"system": "lazaret", "fed-maiden-goby": "2"})[0].payload
    assert feeding == Feeding(
        system="lazaret", offered_to=("maiden-goby", "six-line-wrasse", "tomini-bristletooth"), fed={"maiden-goby": 2}
    )


def test_foods_are_weighed_or_counted_in_portions_or_only_named() -> None:
    """A food counts where it is named or has an amount; a portion weighs what its figure says."""
    answers = {
        "system": "lazaret",
        "foods": "nori",
        "amount-frozen_mysis": "2",
        "amount-frozen_brine_shrimp": "2",
        "amount-frozen_brine_shrimp_unit": "portion",
    }
    feeding = write_form("feeding", desk(), answers)[0].payload
    assert isinstance(feeding, Feeding)
    assert {one.food: one.amount_g for one in feeding.foods} == {
        "frozen_mysis": 2.0,
        "frozen_brine_shrimp": pytest.approx(6.6),
        "nori": None,
    }


def test_the_foods_given_last_are_filled_in_but_never_written_unsent() -> None:
    """A page shows them; a command that names no food writes none."""
    put(Feeding(system="lazaret", foods=(FoodGiven(food="frozen_mysis", amount_g=2),)), at(25, 8))
    fields = {one.name: one for one in FORMS["feeding"].fields(load_household(), {"system": "lazaret"}, NOW)}
    assert fields["amount-frozen_mysis"].initial == "2"
    assert "foods" not in write_form("feeding", desk(), {"system": "lazaret", "fed-maiden-goby": "2"})[0].raw


def test_a_box_is_fed_by_itself() -> None:
    """Those in the box are asked about on its own page, not on the display's."""
    put(animals.Move(animals=("tomini-bristletooth",), system="skerry", compartment="creel"), at(24))
    in_creel = {one.name for one in FORMS["feeding"].fields(load_household(), {"system": "skerry/creel"}, NOW)}
    in_skerry = {one.name for one in FORMS["feeding"].fields(load_household(), {"system": "skerry"}, NOW)}
    assert "fed-tomini-bristletooth" in in_creel - in_skerry
    feeding = write_form("feeding", desk(), {"system": "Creel", "fed-tomini-bristletooth": "4"})[0].payload
    assert isinstance(feeding, Feeding)
    assert (feeding.system, feeding.compartment) == ("skerry", "creel")


def test_shrimps_are_not_scored() -> None:
    """The five steps are those of a fish."""
    names = {one.name for one in FORMS["feeding"].fields(load_household(), {"system": "skerry"}, NOW)}
    assert not any(name.startswith("fed-") for name in names)


def test_an_animal_in_another_tank_was_not_fed_here() -> None:
    """The sentence says where it was and what to write first."""
    problem = problems_of("feeding", {"system": "haven", "fed-maiden-goby": "3"})["fed-maiden-goby"]
    assert problem == "Maiden goby was in Lazaret then, not in Haven. Write a move first."


def test_a_step_beyond_the_scale_is_a_problem() -> None:
    """The scale goes from 0, ignores, to 4, eager."""
    problem = problems_of("feeding", {"system": "lazaret", "fed-maiden-goby": "5"})["fed-maiden-goby"]
    assert problem == "This must be a whole number from 0 to 4; 5 is not."


def test_an_unknown_animal_is_answered_with_the_nearest() -> None:
    """A slip is told what was probably meant."""
    problem = problems_of("feeding", {"system": "lazaret", "fed-maiden-gobi": "3"})["fed-maiden-gobi"]
    assert problem == "There is no animal called “maiden-gobi”. Did you mean Maiden goby?"


def test_a_missing_animal_that_feeds_is_asked_about() -> None:
    """It may have been found."""
    put(animals.Loss(animal="maiden-goby"), at(20))
    question = doubts_of("feeding", {"system": "lazaret", "fed-maiden-goby": "3"})["fed-maiden-goby"]
    assert question == "Maiden goby has been missing since 20 November. Has it been found?"


def test_an_empty_feeding_writes_nothing() -> None:
    """Neither a food nor a step is nothing to keep."""
    assert problems_of("feeding", {"system": "lazaret"}) == {"": "Tap how at least one animal fed, or choose a food."}
