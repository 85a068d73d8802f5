"""What may be done about the brown dust in the demo's display, which animals say wait, and until when."""

import pytest
from tests.casework.conftest import NOW

from pratique.casework.facts import Facts
from pratique.casework.growth_measures import measures_of
from pratique.casework.health import health_of
from pratique.casework.sheets.measures import MeasureLine
from pratique.knowledge.growth_measures import growth_lines

pytestmark = pytest.mark.django_db

NAMES = {key: key.replace("_", " ") for key in growth_lines()}


def told(household, **chances: float) -> dict[str, MeasureLine]:
    """Return what may be done in Skerry that evening, where some candidates are as likely as given."""
    facts = Facts(household, NOW)
    given = dict.fromkeys(growth_lines(), 0.02) | chances
    found = measures_of(facts, health_of(facts), household.cases["brown-dust"], given, NAMES)
    return {one.key: one for one in found}


def test_nothing_is_added_to_skerry_before_a_day_and_it_says_which_animal_and_why(harbour_row):
    """The bristletooth in Creel shares the water and came out of copper and a move."""
    uv = told(harbour_row, ostreopsis=0.9)["raise_nutrients"]
    assert uv.state == "not before"
    assert uv.state_words.startswith("not before ")
    (rest,) = [one for one in uv.objections if "rest" in one.words]
    assert "Tomini bristletooth" in rest.words
    assert "moved" in rest.words
    assert rest.reason.status == "common practice"
    assert uv.step is None


def test_taking_it_out_by_hand_is_always_allowed_and_comes_first(harbour_row):
    """It adds nothing; the step writes the task by which it is known again."""
    found = told(harbour_row, ostreopsis=0.9)
    first = next(iter(found.values()))
    assert (first.key, first.state) == ("take_out", "now")
    assert first.step is not None
    assert ("task", "Siphoned it out") in first.step.answers


def test_a_dose_is_told_only_where_it_is_allowed_and_with_its_cautions(harbour_row):
    """Peroxide waits for the bristletooth: no millilitres, all cautions."""
    peroxide = told(harbour_row, cyanobacteria=0.9)["peroxide"]
    assert peroxide.state != "now"
    assert peroxide.dose_words == ""
    assert any("shrimps" in one for one in peroxide.cautions)
    assert any("Shrimps or crabs live here" in one.words for one in peroxide.cares)


def test_what_it_is_for_and_against_is_said_with_chances(harbour_row):
    """Silicate: for the one, against the other."""
    words = told(harbour_row, small_amphidinium=0.6, pennate_diatoms=0.3)["silicate"].fit_words
    assert words == "For small amphidinium (60\u202f% likely); against you where it is pennate diatoms (30\u202f%)."
