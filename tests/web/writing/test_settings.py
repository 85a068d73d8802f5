"""`/settings/`, `/more/` and who writes."""

from django.test import Client
from tests.web.writing.household import body, newest

from pratique.ledger.entries import new_entry_id


def test_settings_show_what_the_household_is_made_of(keeper: Client):
    """Systems, the shelf, the methods and the people, each with a way to change it."""
    shown = body(keeper.get("/settings/"))
    for words in ("Harbour Row", "Lazaret", "Creel", "Copper stock", "keeper", "pratique passphrase set"):
        assert words in shown
    assert "/write/method/" in shown


def test_an_edited_system_comes_filled_in(keeper: Client):
    """The link in settings opens the form with what is known."""
    shown = body(keeper.get("/write/system/?key=lazaret"))
    assert 'value="Lazaret"' in shown


def test_the_author_chosen_here_is_on_every_entry_after(keeper: Client):
    """Several people write in one household; each device says who."""
    response = keeper.post("/settings/author/", {"author": "helper", "next": "/write/"})
    assert response["Location"] == "/write/"
    keeper.post("/write/note/", {"entry_id": str(new_entry_id()), "words": "a quiet evening"})
    assert newest()[0].author == "helper"


def test_a_name_that_is_nobody_here_does_not_write(keeper: Client):
    """Only people the household names can be authors."""
    keeper.post("/settings/author/", {"author": "a stranger"})
    keeper.post("/write/note/", {"entry_id": str(new_entry_id()), "words": "a quiet evening"})
    assert newest()[0].author == "keeper"


def test_more_leads_to_what_the_bar_has_no_room_for(keeper: Client):
    """Growths, passages, ledger and settings are one tap away."""
    shown = body(keeper.get("/more/"))
    for address in ("/growths/", "/passages/", "/ledger/", "/settings/"):
        assert f'href="{address}"' in shown
