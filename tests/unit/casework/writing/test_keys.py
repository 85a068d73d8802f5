"""Keys from names, ids from ids, and near names."""

from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pratique.casework.writing.keys import derived_id, key_from, meant, nearest
from pratique.ledger.kinds.places import Compartment

FIRST = UUID("01a21314-df81-7695-96ae-d2235d889b53")


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("Six-line wrasse", "six-line-wrasse"),
        ("  Großer Bär! ", "grosser-bar"),
        ("B1", "b1"),
        ("…", "unnamed"),
    ],
)
def test_a_key_is_made_from_a_name(name: str, key: str) -> None:
    """Letters and digits stay, all else becomes one hyphen."""
    assert key_from(name, set()) == key


def test_a_key_that_is_taken_gets_a_number() -> None:
    """The second of a name is -2, the third -3."""
    assert key_from("Chromis", {"chromis"}) == "chromis-2"
    assert key_from("Chromis", {"chromis", "chromis-2"}) == "chromis-3"


@given(st.text(max_size=200))
def test_every_name_gives_a_key_the_ledger_takes(name: str) -> None:
    """Whatever a keeper calls a thing, its key fits the ledger's rule."""
    key = key_from(name, {"unnamed"})
    assert Compartment(key=key, name="Creel", system="skerry", form="box").key == key


@given(st.integers(min_value=1, max_value=400))
def test_derived_ids_are_version_seven_of_the_same_moment(index: int) -> None:
    """RFC 9562: the first 48 bits are the moment, then version 7 and variant 2; each index gives another id."""
    derived = derived_id(FIRST, index)
    assert (derived.version, derived.variant) == (FIRST.version, FIRST.variant)
    assert derived.int >> 80 == FIRST.int >> 80
    assert derived == derived_id(FIRST, index) != FIRST
    assert derived != derived_id(FIRST, index + 1)


def test_the_first_id_is_the_form_s_own() -> None:
    """The first entry of a form carries the id made where the form was filled in."""
    assert derived_id(FIRST, 0) == FIRST


def test_names_are_found_without_capitals_and_near_names_are_offered() -> None:
    """A slip of one letter is recognised, something else is not."""
    names = {"maiden-goby": "Maiden goby", "six-line-wrasse": "Six-line wrasse"}
    assert meant("maiden GOBY", names) == "maiden-goby"
    assert meant("goby", names) is None
    assert nearest("maidn goby", names) == "maiden-goby"
    assert nearest("xyz", names) is None


def test_words_that_several_names_hold_mean_the_name_that_has_no_others() -> None:
    """Yellow tang is not the yellow-eyed kole tang; a wrasse may be any of them."""
    names = {"kole_tang": "yellow-eyed kole tang", "yellow_tang": "yellow tang", "blue_tang": "palette tang"}
    assert nearest("yelow tang", names) == "yellow_tang"
    assert nearest("tang", names) is None
