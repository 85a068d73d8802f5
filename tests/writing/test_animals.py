"""Animals that come, are watched, move, are lost and die."""

import pytest
from tests.writing.conftest import at, desk, doubts_of, problems_of, put

from pratique.casework.writing.forms import write_form
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals
from pratique.ledger.kinds.animals import Arrival, Leg, Observation

pytestmark = pytest.mark.usefixtures("harbour_row")
BATCH = {
    "name": "B2",
    "protocol": "copper_ionic_30",
    "system": "lazaret",
    "animal-1-species": "royal_gramma",
    "animal-2-name": "Pair of Banggais",
    "animal-2-species": "Banggai cardinalfish",
    "animal-2-count": "2",
    "animal-2-length": "2 in",
}


def test_a_batch_is_received_with_its_animals_and_begins_its_first_leg() -> None:
    """One form writes the batch, an arrival for each animal, and the leg; an inch is 2.54 cm by definition."""
    batch, gramma, pair, leg = (one.payload for one in write_form("batch", desk(), BATCH))
    assert batch == animals.Batch(key="b2", name="B2", protocol="copper_ionic_30")
    assert gramma == Arrival(
        key="royal-gramma", name="Royal gramma", species="royal_gramma", system="lazaret", batch="b2"
    )
    assert isinstance(pair, Arrival)
    assert (pair.key, pair.count, pair.length_cm) == ("pair-of-banggais", 2, pytest.approx(5.08))
    assert leg == Leg(batch="b2", leg="receive")
    assert load_household().batches["b2"].animals == ("royal-gramma", "pair-of-banggais")


def test_two_of_one_name_get_keys_of_their_own() -> None:
    """The second gets -2, here and against those kept already."""
    same = BATCH | {"animal-2-name": "", "animal-2-species": "royal_gramma", "animal-2-length": ""}
    keys = [one.raw["key"] for one in write_form("batch", desk(), same)[1:3]]
    assert keys == ["royal-gramma", "royal-gramma-2"]


def test_a_batch_says_everything_that_is_missing() -> None:
    """An unknown kind is answered with the nearest; an animal without a kind needs one."""
    answers = {"name": "", "animal-1-species": "royal gama", "animal-2-name": "Fin", "system": "lazaret"}
    problems = problems_of("batch", answers)
    assert problems["animal-1-species"] == (
        "There is no kind of animal called “royal gama” here. Did you mean royal gramma?"
    )
    assert problems["animal-2-species"] == "Choose the kind of animal."
    assert {"name", "protocol"} <= set(problems)


def test_an_animal_longer_than_its_kind_grows_is_asked_about() -> None:
    """A royal gramma of 60 cm is a slip of the decimal point."""
    question = doubts_of("batch", BATCH | {"animal-1-length": "60"})["animal-1-length"]
    assert question.endswith("Did you mean 6?")


def test_a_group_that_cannot_be_counted_is_said_so() -> None:
    """A lawn of chromis has no number; left empty, there is one."""
    lawn = {"name": "Chromis", "species": "blue_green_chromis", "system": "skerry", "count": "uncounted"}
    assert write_form("resident", desk(), lawn)[0].raw["count"] is None
    single = write_form("resident", desk(), {"species": "orchid_dottyback", "system": "skerry"})[0].payload
    assert isinstance(single, Arrival)
    assert single.count == 1


def test_a_namesake_is_asked_about() -> None:
    """Two living animals of one name are confusing at feeding time."""
    answers = {"name": "Maiden goby", "species": "maiden_goby", "system": "haven"}
    question = doubts_of("resident", answers)["name"]
    assert question == "There is a living animal called Maiden goby already. Is this another one?"
    assert write_form("resident", desk(question), answers)[0].raw["key"] == "maiden-goby-2"


@pytest.mark.usefixtures("ionic_course")
def test_a_snail_into_medicated_water_is_asked_about_urgently() -> None:
    """By arrival and by move alike."""
    arrival = doubts_of("resident", {"species": "trochus_snail", "system": "lazaret"})["system"]
    move = doubts_of("move", {"animals": "cleaner-shrimp", "place": "lazaret"})["place"]
    assert arrival.startswith("Urgent: Lazaret is treated with copper")
    assert "such as Cleaner shrimp" in move


def test_animals_move_into_a_box_of_another_system() -> None:
    """Several at once, by name or key; the box may be named alone."""
    move = write_form("move", desk(), {"animals": ["Maiden goby", "six-line-wrasse"], "place": "creel"})[0].payload
    assert move == animals.Move(animals=("maiden-goby", "six-line-wrasse"), system="skerry", compartment="creel")
    place = load_household().animals["maiden-goby"].place
    assert place is not None
    assert (place.system, place.compartment) == ("skerry", "creel")


def test_a_box_of_another_system_than_named_is_a_problem() -> None:
    """The Creel hangs in Skerry, not in Haven."""
    problem = problems_of("move", {"animals": "maiden-goby", "place": "haven/creel"})["place"]
    assert problem == "Creel is in Skerry, not in Haven; write skerry/creel."


def test_a_dead_animal_does_not_move() -> None:
    """The sentence says since when, and what to do if that is wrong."""
    put(animals.Death(animal="maiden-goby"), at(20))
    problem = problems_of("move", {"animals": ["maiden-goby"], "place": "haven"})["animals"]
    assert problem == (
        "Maiden goby died on 20 November. Write an earlier moment, or withdraw the entry of its death if it lives."
    )
    assert "died on 20 November" in problems_of("death", {"animal": "maiden-goby"})["animal"]
    assert "died on 20 November" in problems_of("observation", {"animal": "maiden-goby", "spots": "0"})["animal"]


def test_what_happened_before_a_death_may_still_be_written() -> None:
    """The keeper writes in the evening what happened in the morning."""
    put(animals.Death(animal="maiden-goby"), at(25, 12))
    answers = {"animals": "maiden-goby", "place": "haven", "moment": "2026-11-25T08:00"}
    assert write_form("move", desk(), answers)[0].kind == "move"


def test_a_missing_animal_that_moves_has_been_found() -> None:
    """It is asked once; then it lives again."""
    put(animals.Loss(animal="maiden-goby"), at(20))
    answers = {"animals": "maiden-goby", "place": "haven"}
    question = doubts_of("move", answers)["animals"]
    write_form("move", desk(question), answers)
    assert load_household().animals["maiden-goby"].life == "alive"


def test_who_is_there_already_did_not_move() -> None:
    """A move to where an animal is would say nothing."""
    problem = problems_of("move", {"animals": ["maiden-goby"], "place": "lazaret"})["animals"]
    assert problem == "Maiden goby is in Lazaret already. Leave out who did not move."


def test_an_unknown_animal_is_answered_with_the_nearest() -> None:
    """A slip in a name costs no search."""
    problem = problems_of("move", {"animals": "Maidn goby", "place": "haven"})["animals"]
    assert problem == "There is no animal called “Maidn goby”. Did you mean Maiden goby?"


def test_the_death_of_a_group_asks_whether_all_of_it_died() -> None:
    """One chromis less is not the end of the lawn."""
    put(animals.Arrival(key="lawn", name="Lawn", species="blue_green_chromis", count=7, system="skerry"), at(2))
    assert "a group of 7" in doubts_of("death", {"animal": "lawn"})["animal"]


def test_breathing_counted_for_twenty_seconds_is_kept_a_minute() -> None:
    """27 beats in 20 s are 81 a minute; the seconds stay with it, for they carry the error."""
    seen = write_form("observation", desk(), {"animal": "maiden-goby", "beats": "27"})[0].payload
    assert seen == Observation(animal="maiden-goby", beats_per_min=81.0, counted_s=20.0)


def test_a_minute_s_count_written_for_twenty_seconds_is_asked_about() -> None:
    """80 beats in 20 s would be 240 a minute."""
    question = doubts_of("observation", {"animal": "maiden-goby", "beats": "80"})["beats"]
    assert question.startswith("That is 240 beats a minute")


def test_depth_and_length_come_from_one_picture() -> None:
    """Their unit does not matter, for only the ratio is kept; one without the other is a problem."""
    seen = write_form("observation", desk(), {"animal": "six-line-wrasse", "depth": "310", "length": "1000"})[0].payload
    assert isinstance(seen, Observation)
    assert seen.depth_over_length == pytest.approx(0.31)
    assert "length" in problems_of("observation", {"animal": "six-line-wrasse", "depth": "310"})


def test_no_signs_stands_alone() -> None:
    """Seen and nothing found is worth writing, and is not a sign among others."""
    seen = write_form("observation", desk(), {"animal": "maiden-goby", "signs": ["no signs"]})[0].payload
    assert isinstance(seen, Observation)
    assert seen.signs == ("no signs",)
    assert "signs" in problems_of("observation", {"animal": "maiden-goby", "signs": "no signs, spots"})


def test_an_observation_needs_someone_and_something() -> None:
    """Whom was watched, and what was seen."""
    assert set(problems_of("observation", {})) == {"animal", ""}


def test_a_leg_behind_a_shut_gate_needs_words() -> None:
    """What is not known keeps the gate shut; the sentence names what is wanting, and the ledger keeps the reason."""
    put(Leg(batch="b1", leg="receive"), at(18, month=10))
    problem = problems_of("leg", {"batch": "b1", "leg": "treat"})["words"]
    assert problem.startswith("The gate after “Arrive and settle” is shut. Tomini bristletooth: ")
    words = "White spot on all of them, no time to wait."
    assert write_form("leg", desk(), {"batch": "b1", "leg": "treat", "words": words})[0].raw["words"] == words


def test_recovery_is_passed_over_only_with_a_reason() -> None:
    """A word is no reason; what is written stays in the ledger."""
    for day, leg in ((18, "receive"), (20, "treat")):
        put(Leg(batch="b1", leg=leg), at(day, month=10))
    hasty = {"batch": "b1", "leg": "introduce", "words": "no time"}
    assert problems_of("leg", hasty)["words"].startswith("This leaves out the recovery")
    words = "The display is empty and serves as the clean tank."
    assert write_form("leg", desk(), hasty | {"words": words})[0].raw["words"] == words


def test_a_leg_passed_over_needs_words() -> None:
    """The next leg is filled in; another one must be explained."""
    put(Leg(batch="b1", leg="receive"), at(18, month=10))
    assert "comes before" in problems_of("leg", {"batch": "b1", "leg": "recover"})["words"]
