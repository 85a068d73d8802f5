"""Close looks: what a scrape or a fresh-water dip showed, and how the chance of being free counts it."""

import pytest
from tests.writing.conftest import NOW, at, desk, doubts_of, problems_of

from pratique import knowledge
from pratique.casework.clearance_looks import looks_at
from pratique.casework.facts import Facts
from pratique.casework.health import health_of
from pratique.casework.rounds import rounds
from pratique.casework.writing.forms import write_form
from pratique.ledger.household import load_household
from pratique.web.entries.sentences import entry_sentence

pytestmark = pytest.mark.usefixtures("harbour_row")

DIP = {"animals": ["six-line-wrasse"], "method": "fresh_water_dip", "flukes": "not seen", "moment": "2026-11-24 12:00"}


def _looks(parasite: str):
    facts = Facts(load_household(), NOW)
    return looks_at(facts, facts.household.animals["maiden-goby"], health_of(facts), parasite)


def test_a_dip_counts_for_flukes_by_the_part_looked_at() -> None:
    """One fish of three: each fluke is on it with a third, and found with the dip's chance (arithmetic by hand)."""
    (entry,) = write_form("look", desk(), DIP)
    found = _looks("flukes")
    each = (1.0 - 0.15**0.1) / 3.0
    eye = 1.0 - (1.0 - knowledge.parasite("flukes").detection_at_burden_10.value) ** 0.1
    assert found.clean == (at(24),)
    assert (1.0 - eye) ** found.keenness[at(24)] == pytest.approx(1.0 - each)
    assert "none seen" in found.said[0]
    assert _looks("velvet").clean == ()
    assert "no flukes seen" in entry_sentence(entry, load_household())


def test_two_close_looks_at_one_moment_count_each_by_its_own_keenness() -> None:
    """A scrape is less keen than a dip: together they tell what both tell, not twice what the last one does."""
    scrape = {**DIP, "method": "skin_scrape"}
    write_form("look", desk(), scrape)
    alone = _looks("flukes").keenness[at(24)]
    write_form("look", desk(), {**DIP, "moment": "2026-11-24 13:00"})
    other = _looks("flukes").keenness[at(24, 13)]
    write_form("look", desk(), DIP)
    found = _looks("flukes")
    assert alone != pytest.approx(other)
    assert found.clean == (at(24), at(24, 13))
    assert found.keenness[at(24)] == pytest.approx(alone + other)


def test_a_clean_dip_says_nothing_of_white_spot() -> None:
    """It sits under the skin and lives through fresh water (Colorni 1985)."""
    assert "Not seeing it says nothing" in problems_of("look", {**DIP, "white_spot": "not seen"})["white_spot"]
    assert "Was it really seen so?" in doubts_of("look", {**DIP, "white_spot": "seen"})["white_spot"]


def test_what_was_found_is_urgent_until_the_same_look_finds_none() -> None:
    """The rounds say so, with who shares its water."""
    write_form("look", desk(), {**DIP, "flukes": "seen"})
    found = [one for one in rounds(load_household(), now=NOW).concerns if one.key == "found.flukes.six-line-wrasse"]
    assert [one.weight for one in found] == ["now"]
    assert "Maiden goby" in found[0].said[1]
    assert _looks("flukes").seen == (at(24),)
    write_form("look", desk(), {**DIP, "moment": "2026-11-25 12:00"})
    assert not [one for one in rounds(load_household(), now=NOW).concerns if one.key.startswith("found.")]
