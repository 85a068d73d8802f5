"""What a planned course must not meet. The gaps are common practice, no source was found for any."""

import pytest
from tests.writing.conftest import NOW, at, desk, doubts_of, problems_of, put

from pratique import knowledge
from pratique.casework.courses import course_sheet
from pratique.casework.writing.forms import write_form
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, water

pytestmark = pytest.mark.usefixtures("harbour_row")
PLAN = {"system": "lazaret", "batch": "b1", "stock": "blue-bottle"}


def _dose(substance: str, day: int, system: str = "lazaret") -> None:
    put(water.Dose(system=system, substance=substance, amount_mg=100.0), at(day, 9))


def test_copper_a_day_after_formalin_is_asked_about() -> None:
    """Two days and carbon lie between them."""
    _dose("formalin", 24)
    question = doubts_of("course", PLAN)["substance"].replace("\u202f", " ")
    assert question.startswith("Formalin was in Lazaret until yesterday 09:00.")
    assert "Usually 2 days lie between them (common practice). Plan it all the same?" in question


def test_copper_three_days_after_formalin_is_not_asked_about() -> None:
    """The gap is kept."""
    _dose("formalin", 22)
    assert "substance" not in doubts_of("course", PLAN)


def test_copper_after_a_dechlorinator_is_asked_about() -> None:
    """It may free copper from its bond."""
    _dose("dechlorinator", 25)
    assert "turn deadly at once" in doubts_of("course", PLAN)["substance"]


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


def test_chloroquine_in_the_water_the_animals_came_from_is_asked_about() -> None:
    """An animal carries what it went through: five days lie between chloroquine and copper."""
    put(animals.Arrival(key="gramma", name="Gramma", species="royal_gramma", system="haven"), at(1))
    _dose("chloroquine_phosphate", 22, system="haven")
    put(animals.Move(animals=("gramma",), system="lazaret"), at(23))
    question = doubts_of("course", PLAN)["substance"]
    assert question.startswith("Chloroquine phosphate was in Gramma's water until 22 November")


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
    _dose("formalin", 24)
    questions = frozenset(doubts_of("course", PLAN).values())
    (entry, *_) = write_form("course", desk(*questions), PLAN)
    assert any("Formalin was in Lazaret" in one for one in entry.payload.confirmed)


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
