"""What is seen of a growth, written by taps on pictures."""

from xml.etree import ElementTree

import pytest
from django.contrib.staticfiles import finders
from tests.writing.conftest import NOW, at, desk, doubts_of, problems_of, put

from pratique import knowledge
from pratique.casework.writing.findings import fields
from pratique.casework.writing.forms import write_form
from pratique.ledger.household import load_household
from pratique.ledger.kinds import care

pytestmark = pytest.mark.usefixtures("harbour_row")


@pytest.fixture(autouse=True)
def film(harbour_row: None) -> None:
    """A film that is followed."""
    put(care.GrowthCase(key="film", name="Film", system="skerry"), at(3))


def test_each_answer_becomes_an_entry_of_its_own() -> None:
    """Yes and no are both findings; what was not looked for is none."""
    answers = {"case": "film", "brown_or_golden": "present", "grass_green": "absent", "smells": "", "words": "Torch."}
    written = write_form("findings", desk(), answers)
    assert [(one.kind, one.raw["finding"], one.raw["state"]) for one in written] == [
        ("finding", "brown_or_golden", "present"),
        ("finding", "grass_green", "absent"),
    ]
    assert {one.raw["words"] for one in written} == {"Torch."}


def test_nothing_answered_is_said_so() -> None:
    """An empty form writes nothing."""
    assert list(problems_of("findings", {"case": "film"}).values()) == [
        "Answer at least one of these: a plain no is a finding too."
    ]


def test_a_closed_growth_is_asked_about() -> None:
    """As with one finding by itself."""
    write_form("case-closed", desk(), {"case": "film", "moment": "2026-11-20T09:00"})
    assert "closed on 20 November" in doubts_of("findings", {"case": "film", "smells": "absent"})["case"]


def test_every_finding_that_can_be_looked_for_has_its_picture() -> None:
    """What is read or known of the tank is not asked; the rest is drawn, one symbol each."""
    asked = {one.picture for one in fields(load_household(), {}, NOW) if one.picture}
    not_asked = {one.key for one in knowledge.finding_kinds()} - asked
    assert not_asked == {"silicate_measured", "silicate_absent", "nitrate_and_phosphate_absent", "young_tank"}
    path = finders.find("pratique/findings.svg")
    assert isinstance(path, str)
    drawn = {one.get("id") for one in ElementTree.parse(path).iter("{http://www.w3.org/2000/svg}symbol")}  # noqa: S314
    assert asked <= drawn
