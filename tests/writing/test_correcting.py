"""Amending, withdrawing, and sending a form twice."""

from dataclasses import replace
from io import BytesIO
from uuid import UUID

import pytest
from PIL import Image
from tests.builders.clips import a_clip
from tests.writing.conftest import NOW, at, desk, problems_of, put

from pratique.casework.protocol_copies import copy_of
from pratique.casework.writing.desk import Answers, Problems
from pratique.casework.writing.forms import FORMS, answers_to_amend, form_that_amends, withdraw, write_form
from pratique.ledger.entries import Recorded, new_entry_id
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, care, places
from pratique.ledger.queries import entry_count, history
from pratique.ledger.standing import stands

pytestmark = pytest.mark.usefixtures("ionic_course")


def _picture() -> bytes:
    content = BytesIO()
    Image.new("RGB", (8, 6), (120, 90, 40)).save(content, "PNG")
    return content.getvalue()


# One plain use of every form that can amend.
EXAMPLES: dict[str, Answers] = {
    "readings": {"system": "lazaret", "copper": "0.1-0.2", "copper_method": "copper_colour_chart", "words": "Hazy."},
    "feeding": {"system": "lazaret", "amount-frozen_mysis": "2", "foods": "nori", "fed-maiden-goby": "1"},
    "observation": {
        "animal": "maiden-goby",
        "beats": "27",
        "spots": "0",
        "signs": ["hiding", "slime"],
        "depth": "31",
        "length": "100",
        "depth-plus-minus": "0.02",
        "condition": "1",
    },
    "look": {"animals": ["maiden-goby"], "method": "fresh_water_dip", "flukes": "seen", "words": "Two."},
    "dose": {"system": "lazaret", "substance": "copper_ionic", "amount": "0.01", "amount_unit": "g"},
    "water-change": {"system": "lazaret", "volume": "5", "volume_unit": "US gal", "incoming-copper": "0.15"},
    "top-off": {"system": "haven", "volume": "1.5"},
    "photo": {"file": _picture(), "subjects": ["animal/maiden-goby"], "words": "Beside the pipe."},
    "task-done": {"task": "Siphoned the floor", "subjects": "lazaret"},
    "note": {"words": "Lights out for two days.", "subjects": "system/skerry"},
    "move": {"animals": ["maiden-goby", "six-line-wrasse"], "place": "skerry/creel"},
    "resident": {"name": "Lawn", "species": "blue_green_chromis", "count": "uncounted", "system": "skerry"},
    "leg": {"batch": "b1", "leg": "receive"},
    "loss": {"animal": "maiden-goby", "words": "Not seen for days."},
    "death": {"animal": "six-line-wrasse"},
    "course": {"system": "nook", "stock": "blue-bottle", "name": "Second"},
    "course-start": {"course": "second"},
    "course-stop": {"course": "worms", "words": "Done."},
    "growth-case": {"name": "Brown dust", "system": "skerry", "where": "new rock"},
    "finding": {"case": "film", "finding": "back_within_a_day", "state": "present"},
    "cover": {
        "case": "film",
        "shares": "brown: 23,4 (19 to 27.25)\nsand: 70 (65 to 75)",
        "by": "eye",
        "words": "Rough.",
    },
    "cells": {"case": "film", "lengths": "38 41 36,5", "widths": "25 27 24.5", "um-per-px": "0.42"},
    "motion": {
        "case": "film",
        "manner": "gliding",
        "minutes-old": "12",
        "median": "7.5",
        "q05": "1.2",
        "q95": "16",
        "moving": "62.5",
        "tracks": "24",
    },
    "clip": {"file": a_clip([0, 40, 80]), "subjects": ["system/skerry"], "words": "At 100 times."},
    "case-closed": {"case": "film"},
    "household": {"name": "Harbour Row", "zone": "Europe/London", "people": "keeper, helper"},
    "system": {"name": "Bay", "role": "holding", "gross-volume": "20 gal", "net-volume": "60", "invertebrates": "yes"},
    "compartment": {"name": "Nook", "system": "haven", "form": "divider"},
    "method": {"name": "New chart", "constituents": "nitrate", "marks": "0; 5; 10; 25"},
    "stock": {"name": "Red bottle", "substance": "copper_amine", "strength": "2.5"},
    "protocol": {"text": copy_of("observation", taken=()), "words": "For the next batch."},
}


# Of a medicine that is not reckoned, so that nothing is asked at its end.
_WORMS = care.Course(
    key="worms",
    name="Worms",
    system="haven",
    substance="praziquantel",
    target_lower=2.0,
    target_upper=2.5,
    hard_upper=3.0,
    required_days=7,
)


def _write(name: str, answers: Answers) -> Recorded:
    """Write an example, with what it needs put there first."""
    if name in {"course", "course-start"}:
        nook = places.System(key="nook", name="Nook", role="holding", gross_volume_l=60, net_volume_l=50)
        put(nook, at(2))
    if name == "course-start":
        write_form("course", desk(), EXAMPLES["course"])
    if name == "course-stop":
        put(_WORMS, at(3))
        put(care.CourseStart(course="worms", system="haven"), at(3, 13))
    if name in {"finding", "cover", "cells", "motion", "case-closed"}:
        put(care.GrowthCase(key="film", name="Film", system="skerry"), at(3))
    entries = write_form(name, desk(), answers)
    assert len(entries) == 1
    return entries[0]


def test_there_is_an_example_of_every_form_that_amends() -> None:
    """A form added later is held to the same."""
    assert set(EXAMPLES) == {name for name, form in FORMS.items() if form.answers_of is not None}


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_entry_turned_back_into_answers_says_the_same_again(name: str) -> None:
    """Opening an entry to amend it and sending it unchanged keeps every word, number and moment of it."""
    entry = _write(name, EXAMPLES[name])
    form = form_that_amends(entry)
    assert form is not None
    answers = answers_to_amend(form, desk(), entry.id)
    amended = write_form(form.name, desk(now=at(25, 19)), answers, amends=entry.id)[0]
    assert amended.raw == entry.raw
    assert (amended.happened_at, amended.amends) == (entry.happened_at, entry.id)
    assert not stands(entry.id)


@pytest.mark.parametrize("name", [name for name in EXAMPLES if name not in {"photo", "clip"}])
def test_a_double_tap_writes_one_entry(name: str) -> None:
    """The same form with the same id, a moment later, returns what was written and writes nothing."""
    first = _write(name, EXAMPLES[name])
    before = entry_count()
    later = replace(desk(now=at(25, 18, 31)), entry_id=first.id)
    assert write_form(name, later, EXAMPLES[name]) == [first]
    assert entry_count() == before


def test_a_batch_sent_twice_arrives_once() -> None:
    """A form of several entries is recognised as a whole."""
    answers = {"name": "B2", "protocol": "observation", "system": "haven", "animal-1-species": "royal_gramma"}
    at_desk = desk()
    first = write_form("batch", at_desk, answers)
    again = write_form("batch", replace(desk(now=at(25, 18, 31)), entry_id=at_desk.entry_id), answers)
    assert again == first
    assert len(load_household().animals) == 5


def test_a_form_sent_twice_with_another_answer_is_said_to_be_written() -> None:
    """What was changed after it was kept is not thrown away in silence."""
    first = _write("top-off", EXAMPLES["top-off"])
    with pytest.raises(Problems, match="with other answers"):
        write_form("top-off", replace(desk(), entry_id=first.id), {"system": "haven", "volume": "2"})


def test_an_amended_ph_keeps_its_scale() -> None:
    """Only what is changed changes."""
    entry = _write("readings", {"system": "lazaret", "ph": "8.05", "ph_scale": "total"})
    answers = {**answers_to_amend(FORMS["readings"], desk(), entry.id), "ph": "8.06"}
    amended = write_form("readings", desk(now=at(25, 19)), answers, amends=entry.id)[0]
    assert (amended.raw["value"], amended.raw["scale"]) == (8.06, "total")


def test_a_mistyped_reading_is_amended_at_its_own_moment() -> None:
    """The corrected one stands in the place of the mistyped one, at the moment it was taken."""
    entry = write_form("readings", desk(now=at(24, 8)), {"system": "lazaret", "copper": "0.51"})[0]
    answers = {**answers_to_amend(FORMS["readings"], desk(), entry.id), "copper": "0.15"}
    amended = write_form("readings", desk(), answers, amends=entry.id)[0]
    assert (amended.raw["value"], amended.happened_at) == (0.15, at(24, 8))


def test_an_amendment_is_judged_without_what_it_amends() -> None:
    """The animal whose death is amended counts as alive meanwhile, and a death can be turned to the right animal."""
    goby, wrasse = (_write("death", {"animal": one}) for one in ("maiden-goby", "six-line-wrasse"))
    write_form("death", desk(), {"animal": "maiden-goby", "words": "At night."}, amends=goby.id)
    write_form("death", desk(), {"animal": "tomini-bristletooth"}, amends=wrasse.id)
    life = {key: one.life for key, one in load_household().animals.items()}
    assert life["maiden-goby"] == life["tomini-bristletooth"] == "dead"
    assert life["six-line-wrasse"] == "alive"


def test_only_the_newest_correction_is_amended() -> None:
    """An entry that does not stand is not corrected again."""
    entry = _write("top-off", EXAMPLES["top-off"])
    write_form("top-off", desk(), {"system": "haven", "volume": "2"}, amends=entry.id)
    with pytest.raises(Problems, match="amended or withdrawn before"):
        write_form("top-off", desk(), {"system": "haven", "volume": "3"}, amends=entry.id)


def test_an_amendment_is_one_entry() -> None:
    """Two readings cannot stand in the place of one."""
    entry = write_form("readings", desk(), {"system": "lazaret", "ph": "8.1"})[0]
    with pytest.raises(Problems, match="An amendment changes one entry"):
        write_form("readings", desk(), {"system": "lazaret", "ph": "8.2", "salinity": "35"}, amends=entry.id)


def test_an_entry_is_amended_through_its_own_form() -> None:
    """A batch is withdrawn and written anew; an entry of another kind does not fit the form."""
    entry = put(animals.Batch(key="b9", name="B9", protocol="observation"), NOW)
    assert form_that_amends(entry) is None
    with pytest.raises(Problems, match="not amended through this form"):
        write_form("note", desk(), {"words": "No."}, amends=entry.id)
    with pytest.raises(Problems, match="no such entry"):
        write_form("note", desk(), {"words": "No."}, amends=UUID(int=1))


def test_a_withdrawn_entry_stays_readable_and_does_not_stand() -> None:
    """The reason is kept in words; withdrawing twice with one id is one withdrawal."""
    entry = _write("top-off", EXAMPLES["top-off"])
    at_desk = desk()
    withdrawal = withdraw(at_desk, entry.id, "It was the other tank.")
    assert (withdrawal.kind, withdrawal.withdraws) == ("withdrawal", entry.id)
    assert not stands(entry.id)
    assert withdraw(replace(at_desk, now=at(25, 19)), entry.id, "It was the other tank.") == withdrawal


def test_a_withdrawal_needs_words_and_something_that_stands() -> None:
    """Why, and what."""
    entry = _write("top-off", EXAMPLES["top-off"])
    with pytest.raises(Problems, match="in a few words"):
        withdraw(desk(), entry.id, "  ")
    withdraw(desk(), entry.id, "Wrong.")
    with pytest.raises(Problems, match="does not stand"):
        withdraw(desk(), entry.id, "Wrong.")
    with pytest.raises(Problems, match="no such entry"):
        withdraw(desk(), new_entry_id(), "Wrong.")


def test_an_empty_note_is_not_kept() -> None:
    """Nothing said is nothing to keep."""
    assert problems_of("note", {"words": " "}) == {"words": "Write the words to keep."}


def _set_up_of(kind: str, key: str) -> Recorded:
    return next(one for one in history(limit=100) if one.kind == kind and one.raw["key"] == key)


@pytest.mark.parametrize(
    ("kind", "key", "who"),
    [
        ("system", "lazaret", "Maiden goby, Six-line wrasse, Tomini bristletooth and B1 copper"),
        ("system", "skerry", "Cleaner shrimp and Creel"),
    ],
)
def test_a_system_that_something_leans_on_is_not_withdrawn(kind: str, key: str, who: str) -> None:
    """Its animals and courses would be left in water nobody knows; the sentence says which they are."""
    with pytest.raises(Problems) as caught:
        withdraw(desk(), _set_up_of(kind, key).id, "A slip.")
    name = key.capitalize()
    assert caught.value.fields == {
        "": f"{name} cannot be withdrawn: {who} would be left in a place nobody knows. Withdraw those first, or change "
        f"what is known of {name}."
    }
    assert stands(_set_up_of(kind, key).id)


def test_a_compartment_with_an_animal_in_it_is_not_withdrawn() -> None:
    """The same holds for a box inside a system."""
    write_form("move", desk(), {"animals": "maiden-goby", "place": "skerry/creel"})
    with pytest.raises(Problems, match=r"Creel cannot be withdrawn: Maiden goby would"):
        withdraw(desk(), _set_up_of("compartment", "creel").id, "A slip.")


def test_a_system_nothing_leans_on_is_withdrawn() -> None:
    """Haven holds nobody."""
    withdraw(desk(), _set_up_of("system", "haven").id, "It was never filled.")
    assert "haven" not in load_household().systems


def test_a_change_of_a_system_is_withdrawn_where_the_set_up_before_it_stands() -> None:
    """The system goes on as it was known before, be it changed by a later entry or by an amendment."""
    lazaret = {"key": "lazaret", "name": "Lazaret", "role": "quarantine", "gross-volume": "95"}
    changed = write_form("system", desk(), lazaret)[0]
    withdraw(desk(), changed.id, "It was right before.")
    first = next(one for one in history(limit=100) if one.kind == "system" and one.raw["gross_volume_l"] == 90)
    amended = write_form("system", desk(), {**lazaret, "gross-volume": "91"}, amends=first.id)[0]
    withdraw(desk(), amended.id, "It was right before.")
    assert load_household().systems["lazaret"].gross_volume_l == 90
