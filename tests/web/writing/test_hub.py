"""`/write/`: every form in big words."""

from django.test import Client
from tests.web.writing.household import body

from pratique.casework.writing.forms import FORMS


def test_it_leads_to_every_form(keeper: Client):
    """No form is out of reach; feeding and readings come with their place filled in."""
    shown = body(keeper.get("/write/"))
    for name in FORMS:
        assert f"/write/{name}/" in shown
    assert "/write/readings/?system=lazaret" in shown
    assert "/write/feeding/?system=skerry%2Fcreel" in shown


def test_it_says_what_will_be_written_where(keeper: Client):
    """The words name the place, so that one tap is enough."""
    shown = body(keeper.get("/write/"))
    assert "Feed everyone" in shown
    assert "Feed in Haven" in shown
    assert "Readings in Lazaret" in shown


def test_it_takes_nothing_but_get(keeper: Client):
    """Nothing is written at the hub itself."""
    assert keeper.post("/write/").status_code == 405


def test_every_form_opens(keeper: Client):
    """Each form's page can be drawn for a household in use."""
    for name in FORMS:
        assert keeper.get(f"/write/{name}/").status_code == 200, name


def test_a_form_that_is_not_there_is_not_found(keeper: Client):
    """An address mistyped gets the page that says so."""
    response = keeper.get("/write/wishes/")
    assert response.status_code == 404
    assert "There is nothing at this address" in body(response)
