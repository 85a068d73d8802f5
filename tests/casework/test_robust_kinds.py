"""A ledger from a newer version: kinds, substances, protocols and constituents this one does not know."""

import pytest
from tests.casework.keeping import Keeper, at
from tests.casework.opening import every_page

from pratique import knowledge
from pratique.casework.animals import animal_sheet
from pratique.casework.passages import passage_sheet
from pratique.casework.rounds import rounds
from pratique.casework.writing.desk import Answers, Desk, Doubts, Problems
from pratique.casework.writing.forms import FORMS, write_form
from pratique.ledger.entries import Recorded, new_entry_id
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, care, places, water
from pratique.ledger.queries import history
from pratique.web.entries.sentences import entry_sentence

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Keeper:
    """A household that names a new one of everything."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.write(-9, animals.Batch(key="b1", name="B1", protocol="passage_of_2031"))
    keeper.write(
        -9,
        animals.Arrival(key="glass-goby", name="Glass goby", species="glass_goby", system="lazaret", batch="b1"),
    )
    keeper.write(-8.9, animals.Leg(batch="b1", leg="float"))
    keeper.write(-8, places.Stock(key="vial", name="Vial", substance="powder_of_2031", strength_mg_per_ml=2.0))
    keeper.write(-1, water.Dose(system="lazaret", substance="powder_of_2031", amount_mg=4.0))
    keeper.write(-1, water.Reading(system="lazaret", constituent="strontium", value=8.0))
    keeper.write(-0.9, water.WaterChange(system="lazaret", volume_l=9.0, incoming_mg_per_l={"strontium": 8.0}))
    keeper.write(-0.8, animals.Feeding(system="lazaret", foods=(animals.FoodGiven(food="krill_of_2031"),)))
    return keeper


def test_every_page_opens_where_a_kind_is_not_known(keeper):
    """One key that is not known does not take the others down, and is named as not known."""
    keeper.course(substance="powder_of_2031", stock="vial")
    pages = every_page(load_household(), at(1))
    assert len(pages) == 10 + len(knowledge.constituents())
    assert "not known to this version" in repr(pages)


def test_a_kind_that_is_not_known_is_taken_to_bear_no_copper(keeper):
    """Its page says so, and a planned course of copper is held against it."""
    keeper.write(
        0,
        care.Course(
            key="copper",
            name="Copper",
            system="lazaret",
            substance="copper_ionic",
            target_lower=0.15,
            target_upper=0.2,
            hard_upper=0.25,
            required_days=14,
        ),
    )
    household = load_household()
    assert "take it that it does not" in animal_sheet(household, "glass-goby", now=at(0.1)).copper_words
    assert "sensitive.copper.glass-goby" in {one.key for one in rounds(household, now=at(0.1)).concerns}


def test_the_gate_of_a_protocol_that_is_not_known_stays_shut(keeper):
    """What it asks for is not known, so nobody is told that the next leg may begin."""
    sheet = passage_sheet(load_household(), "b1", now=at(1))
    assert sheet.gist.endswith("The gate is shut for all of them.")
    (gate,) = (gate for leg in sheet.legs for gate in leg.gates)
    assert [one.status for one in gate.criteria] == ["not known"]


ANSWERS = (
    {"system": "lazaret", "animal": "glass-goby", "animals": "glass-goby", "batch": "b1", "stock": "vial"},
    {"system": "lazaret", "animal": "glass-goby", "batch": "b1", "course": "copper", "length": "9", "leg": "float"},
    {"key": "vial", "name": "Vial", "substance": "powder_of_2031", "stock": "vial", "amount": "2", "strength": "2"},
)


def outcome(name: str, answers: Answers) -> list[Recorded] | dict[str, str]:
    """Return what a form wrote, or what it said in sentences; anything else is raised."""
    at_desk = Desk(household=load_household(), now=at(1), author="keeper", source="cli", entry_id=new_entry_id())
    assert FORMS[name].fields(at_desk.household, answers, at(1))
    try:
        return write_form(name, at_desk, answers)
    except (Problems, Doubts) as said:
        return said.fields


@pytest.mark.parametrize("name", FORMS)
def test_every_form_opens_and_is_answered_where_a_kind_is_not_known(keeper, name):
    """What a form cannot take it says in a sentence."""
    keeper.course(substance="powder_of_2031", stock="vial")
    assert all(outcome(name, answers) for answers in ANSWERS)


def test_no_leg_of_a_protocol_that_is_not_known_is_begun(keeper):
    """The sentence stands at the leg."""
    assert outcome("leg", {"batch": "b1", "leg": "float"}) == {
        "leg": "B1 follows a protocol this version does not know, so no leg is begun here."
    }


def test_every_entry_is_told_where_a_kind_is_not_known(keeper):
    """By its key, where there is no better name."""
    keeper.course(substance="powder_of_2031", stock="vial")
    household = load_household()
    told = [entry_sentence(one, household) for one in history(limit=100)]
    assert any("strontium" in one for one in told)
    assert any("glass goby" in one for one in told)
