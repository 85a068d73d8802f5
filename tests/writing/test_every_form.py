"""What holds for every form: it draws itself, and no answer breaks it."""

from contextlib import suppress

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.writing.conftest import NOW, desk

from pratique.casework.writing.desk import Doubts, Problems
from pratique.casework.writing.fields import Widget
from pratique.casework.writing.forms import FORMS
from pratique.ledger.household import load_household

ODD = (
    "",
    " ",
    "0",
    "-1",
    "1e9",
    "1,234",
    "0,18",
    "<0.02",
    "0.1-0.2",
    "12 gal",
    "78 °F",
    "nan",
    "lazaret",
    "Skerry",
    "skerry/creel",
    "haven/creel",
    "maiden-goby",
    "Goby",
    "blue-bottle",
    "b1",
    "b1-copper",
    "copper_ionic",
    "maiden_goby",
    "yes",
    "2026-11-25T18:30",
    "2027-01-01 10:00",
    "0001-01-01",
    "9999-12-31T23:59",
    "x" * 5000,
    "ß\u202f/",
)


@pytest.mark.usefixtures("db")
@pytest.mark.parametrize("name", FORMS)
def test_a_form_draws_itself_in_an_empty_household(name: str) -> None:
    """Every form can be opened before anything is set up; each question has a name of its own and a label."""
    fields = FORMS[name].fields(load_household(), {}, NOW)
    names = [field.name for field in fields]
    assert len(names) == len(set(names))
    assert all(field.label for field in fields)


# These have everything filled in where there is one household, one batch and one open course.
FILLED_IN = {"household", "leg", "course-stop"}


@pytest.mark.usefixtures("ionic_course")
@pytest.mark.parametrize("name", sorted(set(FORMS) - FILLED_IN))
def test_a_form_left_empty_says_what_is_needed(name: str) -> None:
    """Sending a form without answers writes nothing, and names every required question that was left open."""
    form = FORMS[name]
    required = {field.name for field in form.fields(load_household(), {}, NOW) if field.required and not field.initial}
    with pytest.raises(Problems) as caught:
        form.write(desk(), {})
    assert all(sentence[-1] in ".?" for sentence in caught.value.fields.values())
    assert required <= set(caught.value.fields)


@pytest.mark.usefixtures("ionic_course")
@pytest.mark.parametrize("name", FORMS)
def test_no_answer_breaks_a_form(name: str) -> None:
    """Whatever is typed, a form makes entries or says in sentences what is wrong; it never fails in another way."""
    form = FORMS[name]
    names = [field.name for field in form.fields(load_household(), {"system": "lazaret"}, NOW)]
    names += [f"{field.name}_unit" for field in form.fields(load_household(), {}, NOW) if field.units]
    at_desk = desk()

    @settings(
        max_examples=25,
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
    @given(st.dictionaries(st.sampled_from(names), st.one_of(st.sampled_from(ODD), st.text(max_size=6)), max_size=8))
    def check(answers: dict[str, str]) -> None:
        with suppress(Problems, Doubts):
            entries = form.write(at_desk, answers)
            assert isinstance(entries, list)
            assert all(entry.happened_at <= NOW for entry in entries)

    check()


@pytest.mark.usefixtures("ionic_course")
@pytest.mark.parametrize("name", FORMS)
def test_options_have_values_of_their_own(name: str) -> None:
    """No two options of a question send the same answer."""
    for field in FORMS[name].fields(load_household(), {"system": "lazaret", "batch": "b1"}, NOW):
        values = [option.value for option in field.options]
        assert len(values) == len(set(values)), field.name
        if field.widget is Widget.CHOICE and field.initial:
            assert field.initial in values, field.name
