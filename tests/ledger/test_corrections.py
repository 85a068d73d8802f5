"""Amending and withdrawing: what stands afterwards, and that history shows both."""

import pytest
from tests.ledger.builders import (
    a_move,
    a_reading,
    a_withdrawal_of,
    an_entry,
    harbour_row,
    put_entry_of_a_newer_version,
)

from pratique.ledger.append import append
from pratique.ledger.household import load_household
from pratique.ledger.kinds.animals import Death
from pratique.ledger.kinds.care import Withdrawal
from pratique.ledger.queries import corrections_of, entries_about, fallen, history

pytestmark = pytest.mark.django_db


def _copper_in_lazaret() -> list[float]:
    return [entry.raw["value"] for entry in entries_about("system/lazaret", ["reading"], topics=["copper"])]


def test_an_amendment_stands_in_place_of_what_it_amends() -> None:
    """The mistyped reading no longer counts, the corrected one does."""
    wrong = append([an_entry(a_reading(1.8))])[0].entry
    right = append([an_entry(a_reading(0.18), amends=wrong.id)])[0].entry
    assert _copper_in_lazaret() == [0.18]
    assert fallen([wrong.seq, right.seq]) == {wrong.seq}


def test_a_withdrawn_entry_no_longer_stands_but_stays_readable() -> None:
    """History still shows it, with what withdrew it."""
    entry = append([an_entry(a_reading())])[0].entry
    withdrawal = append([a_withdrawal_of(entry)])[0].entry
    assert _copper_in_lazaret() == []
    assert [one.id for one in history()] == [withdrawal.id, entry.id]
    assert [one.id for one in corrections_of([entry.id])] == [withdrawal.id]


def test_withdrawing_the_withdrawal_lets_the_entry_stand_again() -> None:
    """A change of mind, and another one."""
    entry = append([an_entry(a_reading())])[0].entry
    first = append([a_withdrawal_of(entry)])[0].entry
    second = append([a_withdrawal_of(first)])[0].entry
    assert _copper_in_lazaret() == [0.18]
    append([a_withdrawal_of(second)])
    assert _copper_in_lazaret() == []


def test_withdrawing_an_amendment_brings_back_what_it_amended() -> None:
    """The first version was right after all."""
    entry = append([an_entry(a_reading(0.18))])[0].entry
    amendment = append([an_entry(a_reading(0.81), amends=entry.id)])[0].entry
    append([a_withdrawal_of(amendment)])
    assert _copper_in_lazaret() == [0.18]


def test_an_amendment_of_an_amendment_is_the_one_that_stands() -> None:
    """Corrected twice, only the last version counts."""
    first = append([an_entry(a_reading(1.8))])[0].entry
    second = append([an_entry(a_reading(0.81), amends=first.id)])[0].entry
    append([an_entry(a_reading(0.18), amends=second.id)])
    assert _copper_in_lazaret() == [0.18]


def test_withdrawing_the_last_amendment_brings_back_the_one_before() -> None:
    """Not the first version, which stays replaced."""
    first = append([an_entry(a_reading(1.8))])[0].entry
    second = append([an_entry(a_reading(0.81), amends=first.id)])[0].entry
    third = append([an_entry(a_reading(0.18), amends=second.id)])[0].entry
    append([a_withdrawal_of(third)])
    assert _copper_in_lazaret() == [0.81]


def test_rewording_a_withdrawal_does_not_undo_it() -> None:
    """The entry stays withdrawn, for the reason now given."""
    entry = append([an_entry(a_reading(1.8))])[0].entry
    withdrawal = append([a_withdrawal_of(entry)])[0].entry
    append([an_entry(Withdrawal(words="a slip of the thumb"), amends=withdrawal.id)])
    assert _copper_in_lazaret() == []


def test_withdrawing_a_move_puts_the_animal_back() -> None:
    """The wrasse is where it was before, since when it was there."""
    append(harbour_row())
    move = append([an_entry(a_move("haven"), hours=5)])[0].entry
    assert load_household().animals["six-line-wrasse"].place.system == "haven"  # type: ignore[union-attr]
    append([a_withdrawal_of(move)])
    place = load_household().animals["six-line-wrasse"].place
    assert place is not None
    assert (place.system, place.until) == ("lazaret", None)


def test_amending_a_move_changes_both_places() -> None:
    """It went into the box in Skerry, not to Haven."""
    append(harbour_row())
    move = append([an_entry(a_move("haven"), hours=5)])[0].entry
    append([an_entry(a_move("skerry", compartment="creel"), hours=5, amends=move.id)])
    household = load_household()
    place = household.animals["six-line-wrasse"].place
    assert place is not None
    assert household.place_name(place.system, place.compartment) == "Creel in Skerry"


def test_withdrawing_a_death_brings_the_animal_back_to_life() -> None:
    """It was only hiding."""
    append(harbour_row())
    death = append([an_entry(Death(animal="six-line-wrasse"), hours=9)])[0].entry
    assert load_household().living == ()
    append([a_withdrawal_of(death)])
    assert [animal.key for animal in load_household().living] == ["six-line-wrasse"]


def test_an_entry_of_a_newer_version_is_kept_and_shown() -> None:
    """A kind this program does not know, and a newer version of one it does, are in the history as they came."""
    append(harbour_row())
    put_entry_of_a_newer_version('{"depth_m":1.5}')
    put_entry_of_a_newer_version('{"colour":"blue"}', kind="reading", version=99)
    newest, before = history(limit=2)
    assert (newest.payload, newest.raw) == (None, {"colour": "blue"})
    assert (before.kind, before.payload, before.payload_text) == ("sounding", None, '{"depth_m":1.5}')


def test_an_entry_of_a_newer_version_can_be_withdrawn() -> None:
    """One need not understand an entry to know that it is wrong."""
    append(harbour_row())
    put_entry_of_a_newer_version('{"depth_m":1.5}')
    entry = history(limit=1)[0]
    append([a_withdrawal_of(entry)])
    assert fallen([entry.seq]) == {entry.seq}
