"""The gates of the demo household. What is true there is known: the simulator made it (see pratique.demo.truth)."""

import pytest
from tests.casework.conftest import NOW

from pratique.casework.passages import passage_sheet
from pratique.casework.sheets import AnimalGate, CriterionLine, PassageSheet

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def sheet(harbour_row) -> PassageSheet:
    """Return the page of B1's passage."""
    return passage_sheet(harbour_row, "b1", now=NOW)


def gate_of(sheet: PassageSheet, animal: str) -> AnimalGate:
    """Return an animal's gate."""
    return next(each for leg in sheet.legs for each in leg.gates if each.about.key == animal)


def line_of(gate: AnimalGate, words: str) -> CriterionLine:
    """Return the criterion with some words in its title."""
    return next(one for one in gate.criteria if words in one.title)


def test_the_wrasse_is_not_fit_and_the_gate_names_what_to_look_for(sheet):
    """Flukes are the hidden truth: it eats, yet thins."""
    gate = gate_of(sheet, "six-line-wrasse")
    assert not gate.is_open
    assert "fit: not yet" in gate.standing
    assert line_of(gate, "Eats surely").status == "met"
    assert line_of(gate, "Body holds").status == "not met"
    assert "It eats, yet grows thin. Look for flukes" in gate.look_for[0]


def test_flukes_nobody_treated_are_never_called_gone(sheet):
    """No bath was given: the line stays far from met, no day is promised, and no look by eye makes it better."""
    line = line_of(gate_of(sheet, "six-line-wrasse"), "flukes")
    assert line.status == "not met"
    assert "needs treatment" in line.earliest
    assert any("only under a microscope" in one for one in line.details)
    assert int(line.words.partition("\u202f")[0]) < 50


def test_the_gobys_spell_is_told_with_its_earliest_likely_day(sheet):
    """Hesitant since day 29 of its passage: seven days of sure eating come a week from now at the earliest."""
    gate = gate_of(sheet, "maiden-goby")
    assert gate.look_for[0].startswith("Hesitant since")
    line = line_of(gate, "Eats surely")
    assert line.status == "not met"
    assert "18 March" in line.earliest
    assert "Fit on 18 Mar at the earliest" in gate.earliest


def test_the_dip_shows_at_the_disease_gate(sheet):
    """The forgotten make-up dose of day 11, as two chances of being free of white spot."""
    line = line_of(gate_of(sheet, "maiden-goby"), "white spot")
    assert any(one.startswith("What the dip of Copper for B1 did:") for one in line.details)


def test_the_bristletooth_went_ahead_and_the_page_says_so(sheet):
    """Into the box sooner than the plan says."""
    (trouble,) = sheet.troubles
    assert "Tomini bristletooth is in Creel in Skerry" in trouble.words
    assert trouble.evidence


def test_batches_of_water_emptied_between_them_are_not_mixed(harbour_row):
    """Lazaret was emptied and filled anew before B2 came."""
    assert passage_sheet(harbour_row, "b2", now=NOW).troubles == ()
