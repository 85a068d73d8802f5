"""The pass of the demo's animals: what hands them over says what is in doubt before anything else."""

from datetime import timedelta

import pytest
from tests.casework.conftest import NOW

from pratique.casework.pass_sheet import pass_sheet
from pratique.casework.sheets.pass_sheet import PassSheet
from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry, new_entry_id
from pratique.ledger.household import load_household
from pratique.ledger.kinds.animals import Death
from pratique.ledger.kinds.gates import Clearance, Override, ShownCriterion
from pratique.science.passage.gates import FREE_OF

pytestmark = pytest.mark.django_db

FREE = ShownCriterion(
    key=f"{FREE_OF}white_spot",
    title="No living white spot on it",
    status="met",
    words="98\u202f% likely, 95\u202f% needed.",
)
UNKNOWN = ShownCriterion(key="days_unchased", title="Days without being chased", status="not known", words="Not known.")


def write(payload) -> None:
    """Append one entry of an hour ago."""
    entry = NewEntry(
        id=new_entry_id(),
        payload=payload,
        happened_at=NOW - timedelta(hours=1),
        zone="Europe/London",
        author="keeper",
        source="cli",
    )
    append([entry], now=NOW)


def sheet_of(key: str) -> PassSheet:
    """Return the pass of an animal as the ledger stands."""
    return pass_sheet(load_household(), key, now=NOW)


def test_an_animal_under_way_is_not_handed_over(harbour_row):
    """The first words say so, and what was done so far stands below."""
    sheet = sheet_of("six-line-wrasse")
    assert not sheet.is_cleared
    assert sheet.standing.startswith("Not yet cleared.")
    assert [place.partition(",")[0] for _, place in sheet.stays] == ["Lazaret", "Haven"]
    (course,) = sheet.courses
    assert "18 days surely" in course
    assert "the 14 days asked for were reached" in course
    assert any("flukes" in one and "not met" in one for one in sheet.disease)
    assert any("Body holds" in one for one in sheet.doubts)
    assert any("rest on guesses" in one for one in sheet.doubts)
    assert "It eats, yet grows thin" in sheet.watch[0]


def test_every_pass_defers_to_the_label_the_law_and_a_veterinarian(harbour_row):
    """Copper was used: what it leaves behind is told too."""
    cautions = " ".join(sheet_of("six-line-wrasse").cautions)
    for word in ("label", "local law", "veterinarian", "not a certificate", "Do not pour treated water"):
        assert word in cautions


def test_a_cleared_animal_is_handed_over_with_what_was_shown_then(harbour_row):
    """The chance, the words and the author of the clearance; what was not known then stays a doubt."""
    write(Clearance(animal="six-line-wrasse", batch="b1", chance_clear=0.97, shown=(FREE, UNKNOWN), words="Fat again."))
    sheet = sheet_of("six-line-wrasse")
    assert sheet.is_cleared
    assert sheet.standing.startswith("Cleared today")
    assert "97\u202f%" in sheet.standing
    assert "“Fat again.”" in sheet.standing
    assert sheet.disease == ("No living white spot on it: met. 98\u202f% likely, 95\u202f% needed.",)
    assert "Days without being chased: not known." in sheet.doubts


def test_what_was_let_count_all_the_same_stays_in_doubt_with_its_words(harbour_row):
    """An override goes along with the animal."""
    write(Override(animal="maiden-goby", batch="b1", leg="settle", shown=UNKNOWN, words="It lives alone."))
    assert any("let count all the same by keeper: “It lives alone.”" in one for one in sheet_of("maiden-goby").doubts)


def test_a_dead_animal_is_not_handed_over_even_if_it_was_cleared(harbour_row):
    """It tells only what was."""
    write(Clearance(animal="maiden-goby", batch="b1", chance_clear=0.97, shown=(FREE,)))
    write(Death(animal="maiden-goby"))
    sheet = sheet_of("maiden-goby")
    assert not sheet.is_cleared
    assert "not here any more" in sheet.standing


def test_an_animal_on_no_passage_was_never_judged(harbour_row):
    """The old residents came before any record."""
    sheet = sheet_of("dottyback")
    assert not sheet.is_cleared
    assert "on no passage" in sheet.standing
    assert sheet.disease == ()
