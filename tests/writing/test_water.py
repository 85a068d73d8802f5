"""What is written about water: readings, doses, changes and top-offs."""


import pytest
from tests.writing.conftest import NOW, desk

from pratique.casework.writing.desk import Doubts, Problems
from pratique.casework.writing.forms import write_form

pytestmark = pytest.mark.usefixtures("harbour_row")


def _problems(form: str, answers: dict[str, str]) -> dict[str, str]:
    with pytest.raises(Problems) as caught:
        write_form(form, desk(), answers)
    return caught.value.fields


def _doubts(form: str, answers: dict[str, str]) -> dict[str, str]:
    with pytest.raises(Doubts) as caught:
        write_form(form, desk(), answers)
    return caught.value.fields


def test_three_readings_are_three_entries_of_one_moment() -> None:
    """A round of readings writes one entry for each number, and none for those left empty."""
    entries = write_form(
        "readings", desk(), {"system": "lazaret", "copper": "0,18", "ph": "8.1", "temperature": "78 °F"}
    )
    found = {one.raw["constituent"]: one.raw["value"] for one in entries}
    assert found == {"copper": 0.18, "ph": 8.1, "temperature": pytest.approx(25.56, abs=0.01)}
    assert {one.happened_at for one in entries} == {NOW}


def test_a_salinity_of_350_is_refused_with_what_would_be_right() -> None:
    """An impossible value is a problem at its field; the sentence says what would be right."""
    assert _problems("readings", {"system": "lazaret", "salinity": "350"}) == {
        "salinity": "Salinity of 350 cannot be: it lies between 0 and 50 PSU. Did you mean 35?"
    }
