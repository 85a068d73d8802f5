"""What a planned course must not meet. The gaps are common practice, no source was found for any."""

from datetime import datetime

import pytest
from tests.writing.conftest import NOW, at, desk, doubts_of, problems_of, put

from pratique import knowledge
from pratique.casework.courses import course_sheet
from pratique.casework.rounds import rounds
from pratique.casework.sheets import Concern
from pratique.casework.writing.forms import write_form
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, water

pytestmark = pytest.mark.usefixtures("harbour_row")
PLAN = {"system": "lazaret", "batch": "b1", "stock": "blue-bottle"}


def _dose(substance: str, day: int, system: str = "lazaret") -> None:
    put(water.Dose(system=system, substance=substance, amount_mg=100.0), at(day, 9))


def test_copper_a_day_after_formalin_is_refused_until_two_days_have_passed() -> None:
    """With the reason, the status of the gap, and the earliest moment."""
    _dose("formalin", 24)
    problem = problems_of("course", PLAN)["substance"]
    assert problem.startswith("Formalin was in Lazaret until yesterday 09:00. Together they harm the gills more")
    assert "Usually 2 days lie between them (common practice). The earliest is 26 November, 09:00." in problem


def test_copper_two_days_after_formalin_stands_in_nobodys_way() -> None:
    """The gap is kept, to the hour; that the fishes are not rested yet is another question."""
    _dose("formalin", 23)
    assert "substance" not in doubts_of("course", PLAN)


def test_copper_after_a_dechlorinator_is_refused() -> None:
    """It may free copper from its bond."""
    _dose("dechlorinator", 25)
    assert "turn deadly at once" in problems_of("course", PLAN)["substance"]


def test_in_words_it_is_planned_all_the_same_and_asked_once() -> None:
    """The ledger keeps why; a few letters are no reason."""
    _dose("formalin", 24)
    assert "substance" in problems_of("course", {**PLAN, "override": "must"})
    why = "The vet wants copper at once against velvet."
    questions = doubts_of("course", {**PLAN, "override": why})
    (entry, *_) = write_form("course", desk(*questions.values()), {**PLAN, "override": why})
    assert why in entry.payload.words


def test_what_may_hurt_a_person_is_not_planned_in_any_words() -> None:
    """Formalin and peroxide react violently."""
    _dose("formalin", 25)
    band = {"target-lower": "1", "target-upper": "2", "hard-upper": "3", "required-days": "1"}
    plan = {
        "system": "lazaret",
        "substance": "hydrogen_peroxide",
        "override": "A neighbour told me so.",
        **band,
    }
    assert "react violently" in problems_of("course", plan)["substance"]


def test_another_form_beside_copper_not_read_as_gone_is_refused() -> None:
    """The stop of nothing and the passing of days take no copper out: a reading says so."""
    put(water.Dose(system="lazaret", substance="copper_amine", amount_mg=10.0), at(10, 9))
    problem = problems_of("course", PLAN)["substance"]
    assert problem.startswith("Amine-bound copper is still in Lazaret. Forms of copper add up")
    assert "below 0.05 mg/L" in problem


def test_copper_that_was_read_as_gone_stands_in_nobodys_way() -> None:
    """Read as nothing, days ago."""
    put(water.Dose(system="lazaret", substance="copper_amine", amount_mg=10.0), at(10, 9))
    put(water.Reading(system="lazaret", constituent="copper", value=0.0, method="copper_photometer"), at(14, 9))
    (entry, *_) = write_form("course", desk(), PLAN)
    assert not entry.payload.confirmed


def test_chloroquine_in_the_water_the_animals_came_from_is_refused() -> None:
    """An animal carries what it went through: five days lie between chloroquine and copper."""
    put(animals.Arrival(key="gramma", name="Gramma", species="royal_gramma", system="haven"), at(1))
    _dose("chloroquine_phosphate", 22, system="haven")
    put(animals.Move(animals=("gramma",), system="lazaret"), at(23))
    problem = problems_of("course", PLAN)["substance"]
    assert problem.startswith("Chloroquine phosphate was in Gramma's water until 22 November")
    assert "The earliest is 27 November, 09:00." in problem


def test_what_went_in_is_asked_about_once_and_written() -> None:
    """A dose that happened is never refused; the question is urgent and stays with the entry."""
    _dose("formalin", 25)
    dose = {"system": "lazaret", "substance": "copper_ionic", "amount": "0.01", "amount_unit": "g"}
    question = doubts_of("dose", dose)["substance"]
    assert question.startswith("Urgent: Formalin was in Lazaret until today 09:00.")
    (entry,) = write_form("dose", desk(*doubts_of("dose", dose).values()), dose)
    assert any("Formalin was in Lazaret" in one for one in entry.payload.confirmed)


def test_a_binder_beside_copper_is_asked_about_once_only() -> None:
    """The closer question says it; the general one is not asked beside it."""
    put(water.Dose(system="lazaret", substance="copper_ionic", amount_mg=10.0), at(24, 9))
    answers = {"system": "lazaret", "substance": "dechlorinator", "amount": "1", "amount_unit": "g"}
    questions = doubts_of("dose", answers)
    assert questions["substance"].count("Urgent") == 1


def test_a_course_that_began_too_soon_is_asked_about() -> None:
    """It was planned before the other went in."""
    write_form("course", desk(now=at(23, 8)), PLAN)
    _dose("formalin", 25)
    assert "Formalin was in Lazaret" in doubts_of("course-start", {"course": "b1-copper"})["course"]


def test_a_move_into_what_its_own_water_must_not_meet_is_asked_about() -> None:
    """From chloroquine into copper; a companion that was elsewhere is not named."""
    for key, system in (("gramma", "haven"), ("chromis", "skerry")):
        put(animals.Arrival(key=key, name=key.capitalize(), species="royal_gramma", system=system), at(1))
    _dose("chloroquine_phosphate", 24, system="haven")
    put(water.Dose(system="lazaret", substance="copper_ionic", amount_mg=10.0), at(20, 9))
    question = doubts_of("move", {"animals": ["gramma", "chromis"], "place": "lazaret"})["place"]
    assert question.startswith("Urgent: ")
    assert "must not follow each other in Gramma." in question
    assert "Chromis" not in question


def _concern(key: str, now: datetime = NOW) -> Concern | None:
    return next((one for one in rounds(load_household(), now=now).concerns if one.key == key), None)


def test_the_rounds_show_it_while_it_holds() -> None:
    """Urgent, with both entries and the way out; gone once the gap has passed."""
    put(water.Dose(system="lazaret", substance="copper_ionic", amount_mg=10.0), at(20, 9))
    _dose("formalin", 24)
    found = _concern("combined.copper_formalin.lazaret")
    assert found is not None
    assert (found.weight, len(found.evidence)) == ("now", 2)
    assert found.said[0].startswith(
        "Formalin came into Lazaret yesterday 09:00, where ionic copper (copper sulfate) is still."
    )
    assert "This counts until 26 November, 09:00." in found.said[1]
    assert _concern("combined.copper_formalin.lazaret", at(26, 8)) is not None
    assert _concern("combined.copper_formalin.lazaret", at(26, 10)) is None


def test_an_animal_that_carries_it_over_has_a_concern_of_its_own() -> None:
    """Nothing met in one water; the fish went through both."""
    put(animals.Arrival(key="gramma", name="Gramma", species="royal_gramma", system="haven"), at(1))
    _dose("chloroquine_phosphate", 24, system="haven")
    put(water.Dose(system="lazaret", substance="copper_ionic", amount_mg=10.0), at(20, 9))
    put(animals.Move(animals=("gramma",), system="lazaret"), at(24, 18))
    assert _concern("combined.copper_chloroquine.lazaret") is None
    found = _concern("combined.copper_chloroquine.gramma")
    assert found is not None
    assert "chloroquine phosphate was in Gramma's water until yesterday" in found.said[0]


def test_two_forms_and_a_binder_are_told_by_the_concerns_that_know_copper() -> None:
    """One danger, one line."""
    put(water.Dose(system="lazaret", substance="copper_ionic", amount_mg=10.0), at(24, 9))
    put(water.Dose(system="lazaret", substance="copper_amine", amount_mg=10.0), at(24, 10))
    _dose("dechlorinator", 25)
    keys = [one.key for one in rounds(load_household(), now=NOW).concerns]
    assert {"copper-mixed.lazaret", "copper-binder.lazaret"} <= set(keys)
    assert not [one for one in keys if one.startswith("combined.")]


def test_copper_in_lowered_salinity_is_asked_about() -> None:
    """Common practice, not proved: killifish bear copper best in between (Blanchard & Grosell 2006)."""
    put(water.Reading(system="lazaret", constituent="salinity", value=14.0, method="refractometer"), at(25, 9))
    question = doubts_of("course", PLAN)["substance"].replace("\u202f", " ")
    assert question.startswith("Lazaret was read at 14.0 PSU of salinity.")


def test_the_angelfish_is_offered_another_way() -> None:
    """A caution comes with an alternative: tank transfer or watching only."""
    fish = animals.Arrival(
        key="angelfish", name="Angelfish", species="two_spined_angelfish", system="lazaret", batch="b1"
    )
    put(fish, at(1))
    question = doubts_of("course", PLAN)["substance"]
    assert "Another way for it: “Tank transfer” or “Watching only” (common practice)." in question


def test_what_is_asked_can_be_confirmed_and_is_kept() -> None:
    """The words asked stay with the entry."""
    put(water.Reading(system="lazaret", constituent="salinity", value=14.0, method="refractometer"), at(25, 9))
    questions = frozenset(doubts_of("course", PLAN).values())
    (entry, *_) = write_form("course", desk(*questions), PLAN)
    assert any("of salinity" in one for one in entry.payload.confirmed)


def test_the_course_page_tells_what_goes_with_the_dose_and_what_must_not() -> None:
    """Each with its source and status; a planned course shows them before anything is dosed."""
    write_form("course", desk(), PLAN)
    sheet = course_sheet(load_household(), "b1-copper", now=NOW)
    words = [one.words for one in sheet.beside]
    assert any(one.startswith("Take out carbon") for one in words)
    assert any(one.replace("\u202f", " ").startswith("Not with formalin, 2 days apart.") for one in words)
    assert any(one.startswith("Not with lowered salinity") for one in words)
    assert all(one.source and one.status for one in sheet.beside)


def test_every_medicine_has_its_notes_and_every_pair_is_of_things_known() -> None:
    """Media, air and wash-out go with each; the two sides are substances, or lowered salinity."""
    known = {one.key for one in knowledge.substances()} | {"low_salinity"}
    for pair in knowledge.combinations():
        assert set(pair.one) | set(pair.other) <= known
    for note in knowledge.course_notes():
        assert set(note.substances) <= known
    for form in ("copper_ionic", "copper_chelated", "copper_amine"):
        kinds = {one.kind for one in knowledge.notes_for(form)}
        assert kinds == {"start", "ramp", "make_up", "media", "air", "wash_out"}
    for other in knowledge.alternatives():
        assert all(knowledge.protocol(key) for key in other.protocols)
