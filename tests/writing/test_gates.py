"""Letting a criterion count, and clearing an animal: with what was shown, and past a shut gate not without words."""

import pytest
from tests.writing.conftest import NOW, at, desk, doubts_of, problems_of, put

from pratique.casework.writing.forms import FORMS, write_form
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, gates

pytestmark = pytest.mark.usefixtures("harbour_row")

GOBY = {"animal": "maiden-goby"}
WHY = "A friend watches it every evening and saw it eat."


def test_a_criterion_that_keeps_the_gate_shut_is_let_count_in_words():
    """The entry keeps who, which, how it stood, the sentence shown and why."""
    (entry,) = write_form("override", desk(), {**GOBY, "criterion": "days_eating", "words": WHY})
    told = entry.payload
    assert isinstance(told, gates.Override)
    assert (told.animal, told.batch, told.leg) == ("maiden-goby", "b1", "receive")
    assert (told.shown.key, told.shown.status) == ("days_eating", "not known")
    assert told.shown.words
    assert (told.words, entry.author) == (WHY, "keeper")


@pytest.mark.parametrize(("words", "said"), [("", "Write why"), ("because", "in a sentence")])
def test_nothing_is_let_count_without_a_reason_others_understand(words, said):
    """No words, or one, tell nobody later."""
    assert said in problems_of("override", {**GOBY, "criterion": "days_eating", "words": words})["words"]


def test_what_the_gate_does_not_ask_cannot_be_let_count():
    """On arrival nobody asks for days at target."""
    found = problems_of("override", {**GOBY, "criterion": "days_at_target", "words": WHY})
    assert "not a choice" in found["criterion"] or "does not ask for this" in found["criterion"]


def test_the_criteria_offered_are_those_of_the_animals_gate():
    """Chosen beforehand in the address, the animal decides."""
    (field,) = [one for one in FORMS["override"].fields(load_household(), GOBY, NOW) if one.name == "criterion"]
    assert {one.value for one in field.options} == {"days_eating", "breathing_normal"}


def test_an_animal_of_no_passage_has_no_gate():
    """A shrimp of the display."""
    assert "no passage" in problems_of("override", {"animal": "cleaner-shrimp", "criterion": "days_eating"})["animal"]
    assert "no passage" in problems_of("clearance", {"animal": "cleaner-shrimp"})["animal"]


def test_an_animal_still_on_its_way_is_not_cleared_without_words():
    """The sentence names the leg it is on."""
    assert "still on" in problems_of("clearance", GOBY)["words"]


def _settled() -> None:
    put(animals.Leg(batch="b1", leg="settle", words="For the test."), at(20))
    put(animals.Move(animals=("maiden-goby",), system="skerry"), at(20))


def test_a_shut_last_gate_is_named_criterion_by_criterion():
    """What is wanting, and how it stands."""
    _settled()
    said = problems_of("clearance", GOBY)["words"]
    assert "Its last gate is shut" in said
    assert "(not known)" in said
    assert "No living white spot" in said


def test_a_clearance_keeps_what_was_shown_with_the_least_chance():
    """Every criterion of the last gate with its status, an override told as one; the entry's author granted it."""
    _settled()
    write_form("override", desk(), {**GOBY, "criterion": "free_of_flukes", "words": WHY})
    (entry,) = write_form("clearance", desk(), {**GOBY, "words": "It goes to a friend who keeps it alone."})
    told = entry.payload
    assert isinstance(told, gates.Clearance)
    statuses = {one.key: one.status for one in told.shown}
    assert statuses["free_of_flukes"] == "overridden"
    assert "not known" in statuses.values()
    assert told.chance_clear is not None
    assert 0.0 <= told.chance_clear < 0.95


def test_clearing_twice_is_asked_about():
    """Once is enough; anew only after a yes."""
    _settled()
    answers = {**GOBY, "words": "It goes to a friend who keeps it alone."}
    write_form("clearance", desk(), answers)
    (question,) = doubts_of("clearance", answers).values()
    assert question.endswith("Is it cleared anew?")
    assert write_form("clearance", desk(question), answers)


def test_a_leg_begins_without_words_once_every_criterion_counts():
    """Both criteria of the arrival let count for all three animals: the gate is open, the next leg needs no words."""
    put(animals.Leg(batch="b1", leg="receive"), at(18, month=10))
    assert "is shut" in problems_of("leg", {"batch": "b1", "leg": "treat"})["words"]
    for animal in ("tomini-bristletooth", "maiden-goby", "six-line-wrasse"):
        for criterion in ("days_eating", "breathing_normal"):
            write_form("override", desk(), {"animal": animal, "criterion": criterion, "words": WHY})
    assert write_form("leg", desk(), {"batch": "b1", "leg": "treat"})
