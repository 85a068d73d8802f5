"""`/entries/…`, `/undo/` and `/ledger/`: reading back, amending, withdrawing, undoing."""

from uuid import uuid4

from django.test import Client
from tests.web.writing.household import body, newest, put, written_since

from pratique.ledger.entries import new_entry_id
from pratique.ledger.kinds.care import Note
from pratique.ledger.kinds.water import Reading
from pratique.ledger.queries import entry_count
from pratique.ledger.standing import stands


def _reading(value: float = 0.81) -> Reading:
    return Reading(system="lazaret", constituent="copper", value=value, method="copper_photometer")


def test_an_entry_is_told_in_a_sentence_and_as_it_is_kept(keeper: Client):
    """The page of an entry says it in words, and shows every field beside who wrote it and how."""
    entry = put(_reading(0.18))
    shown = body(keeper.get(f"/entries/{entry.id}/"))
    assert "Lazaret: copper 0.18" in shown
    assert "keeper, at the command line" in shown
    assert str(entry.id) in shown


def test_an_entry_that_is_not_there_is_not_found(keeper: Client):
    """Neither its page nor its corrections."""
    for action in ("", "amend/", "withdraw/"):
        assert keeper.get(f"/entries/{uuid4()}/{action}").status_code == 404


def test_amending_shows_what_was_written_and_keeps_both(keeper: Client):
    """The form comes filled in; the amendment stands, the first version stays readable."""
    entry = put(_reading())
    address = f"/entries/{entry.id}/amend/"
    form = keeper.get(address)
    assert 'value="0.81"' in body(form)
    response = keeper.post(address, {"entry_id": str(new_entry_id()), "system": "lazaret", "copper": "0.18"})
    assert response.status_code == 303
    assert newest()[0].amends == entry.id
    assert not stands(entry.id)
    assert "Amended" in body(keeper.get(f"/entries/{entry.id}/"))
    assert "Amends" in body(keeper.get(f"/entries/{newest()[0].id}/"))


def test_an_amendment_with_a_wrong_number_is_refused_at_the_field(keeper: Client):
    """The same rules hold as for a first writing."""
    entry = put(_reading())
    sent = {"entry_id": str(new_entry_id()), "system": "lazaret", "copper": "twenty"}
    response = keeper.post(f"/entries/{entry.id}/amend/", sent)
    assert response.status_code == 422
    assert 'value="twenty"' in body(response)


def test_withdrawing_asks_for_words(keeper: Client):
    """A withdrawal says why; without words nothing happens."""
    entry = put(Note(words="a slip"))
    address = f"/entries/{entry.id}/withdraw/"
    before = entry_count()
    refused = keeper.post(address, {"entry_id": str(new_entry_id()), "words": " "})
    assert refused.status_code == 422
    assert 'aria-describedby="words-problem"' in body(refused)
    assert written_since(before) == 0
    done = keeper.post(address, {"entry_id": str(new_entry_id()), "words": "wrong tank"})
    assert done.status_code == 303
    assert not stands(entry.id)
    assert "wrong tank" in body(keeper.get(f"/entries/{entry.id}/"))


def test_a_withdrawal_can_itself_be_withdrawn(keeper: Client):
    """Then the entry stands again."""
    entry = put(Note(words="right after all"))
    keeper.post(f"/entries/{entry.id}/withdraw/", {"entry_id": str(new_entry_id()), "words": "a slip"})
    withdrawal = newest()[0]
    keeper.post(f"/entries/{withdrawal.id}/withdraw/", {"entry_id": str(new_entry_id()), "words": "it was right"})
    assert stands(entry.id)


def test_undo_takes_back_what_was_just_written(keeper: Client):
    """The message after writing carries the button; its entries no longer count and stay readable."""
    sent = {"entry_id": str(new_entry_id()), "system": "lazaret", "copper": "0.18", "ph": "8.1", "next": "/more/"}
    after = keeper.post("/write/readings/?system=lazaret", sent, follow=True)
    assert "Written: 2 entries." in body(after)
    written = [str(entry.id) for entry in newest(2)]
    assert all(f'value="{entry_id}"' in body(after) for entry_id in written)
    undone = keeper.post("/undo/", {"entry": written, "next": "/more/"}, follow=True)
    assert "Undone." in body(undone)
    assert not any(stands(entry.id) for entry in newest(4)[2:])


def test_undoing_twice_is_undoing_once(keeper: Client):
    """A double tap on Undo withdraws once."""
    entry = put(Note(words="a slip"))
    before = entry_count()
    keeper.post("/undo/", {"entry": str(entry.id)})
    keeper.post("/undo/", {"entry": str(entry.id)})
    assert written_since(before) == 1


def test_undo_rejects_get(keeper: Client):
    """Following a link never changes anything."""
    assert keeper.get("/undo/").status_code == 405


def test_the_history_shows_corrections_both_ways(keeper: Client):
    """What no longer stands is said so in words, not only struck through."""
    entry = put(Note(words="a slip of the pen"))
    keeper.post(f"/entries/{entry.id}/withdraw/", {"entry_id": str(new_entry_id()), "words": "wrong tank"})
    shown = body(keeper.get("/ledger/"))
    assert "no longer stands" in shown
    assert "Withdraws" in shown
    assert "wrong tank" in shown


def test_the_history_can_be_narrowed_to_one_subject(keeper: Client):
    """Only entries about it are listed."""
    put(Note(words="about the gramma", subjects=("animal/royal-gramma",)))
    put(Note(words="about nothing"))
    shown = body(keeper.get("/ledger/?about=animal/royal-gramma"))
    assert "about the gramma" in shown
    assert "about nothing" not in shown


def test_the_history_goes_back_page_by_page(keeper: Client):
    """Every entry is on exactly one page."""
    for number in range(60):
        put(Note(words=f"note number {number}."))
    first = keeper.get("/ledger/")
    older = first.context["older"]
    second = keeper.get(f"/ledger/{older}")
    shown = [row.entry.id for row in first.context["rows"]] + [row.entry.id for row in second.context["rows"]]
    assert len(shown) == len(set(shown)) == entry_count()


def test_a_strange_address_of_the_history_shows_the_newest(keeper: Client):
    """A number no ledger reaches, words, and a NUL are no reason to fail."""
    for query in ("before=" + "9" * 40, "before=yesterday", "about=%00", "about=animal/nobody"):
        assert keeper.get(f"/ledger/?{query}").status_code == 200
