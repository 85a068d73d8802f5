"""Letting an animal in, for the demo household: whom it meets, what is not judged, and when the gate speaks first."""

import pytest
from tests.casework.conftest import NOW

from pratique.casework.introduction import introduction_sheet
from pratique.casework.sheets.introduction import IntroductionSheet

pytestmark = pytest.mark.django_db


def sheet_of(household, key: str, system: str = "") -> IntroductionSheet:
    """Return the page of an animal that evening."""
    return introduction_sheet(household, key, system, now=NOW)


def test_the_wrasse_meets_every_loose_fish_of_the_display_the_worst_first(harbour_row):
    """Whoever is in the box itself is named as left out, and shrimps are not fishes that fight."""
    sheet = sheet_of(harbour_row, "six-line-wrasse")
    assert sheet.target is not None
    assert sheet.target.key == "skerry"
    assert [one.about.key for one in sheet.risks] == ["chromis", "dottyback"]
    assert all(one.reasons for one in sheet.risks)
    assert "Tomini bristletooth" in sheet.left_out
    assert "Shrimps" in sheet.left_out
    assert sheet.box is not None
    assert sheet.box.status == "common practice"


def test_a_shut_gate_comes_before_any_box(harbour_row):
    """The wrasse thins: the page says so before it tells how to let it in."""
    assert "is shut: see to that" in sheet_of(harbour_row, "six-line-wrasse").gate_words


def test_days_in_the_box_are_counted(harbour_row):
    """The bristletooth sits in Creel and its page says for how long."""
    assert "It has been in Creel" in sheet_of(harbour_row, "tomini-bristletooth").box_words


def test_an_animal_loose_in_the_display_is_said_to_be_there(harbour_row):
    """The dottyback is not to be let in: it lives there."""
    sheet = sheet_of(harbour_row, "dottyback")
    assert "loose in Skerry already" in sheet.gist
    assert "dottyback" not in [one.about.key for one in sheet.risks]


def test_no_shrimp_is_told_whom_it_fights(harbour_row):
    """What the page cannot judge, it does not judge."""
    sheet = sheet_of(harbour_row, "cleaner-shrimps")
    assert "does not know who in the tank eats a shrimp" in sheet.gist
    assert sheet.risks == sheet.steps == sheet.watch == ()


def test_into_a_tank_without_fishes_there_is_nobody_to_fear(harbour_row):
    """A recovery tank that stands empty of others asks for no box."""
    sheet = sheet_of(harbour_row, "two-spined-angelfish", "haven")
    assert sheet.target is not None
    assert sheet.target.key == "haven"
    assert {one.about.key for one in sheet.risks} == {
        one.key for one in harbour_row.living_in("haven") if one.key != "two-spined-angelfish"
    }


def test_an_animal_nobody_wrote_down_has_no_page(harbour_row):
    """A key that is not known is refused."""
    with pytest.raises(KeyError):
        sheet_of(harbour_row, "unicorn")
