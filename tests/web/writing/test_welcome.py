"""The first run: nothing is set up, and every page leads to the welcome."""

import pytest
from django.test import Client
from tests.web.writing.household import body

from pratique.ledger.entries import new_entry_id
from pratique.ledger.household import load_household


@pytest.mark.parametrize("path", ["/", "/systems/", "/write/", "/write/readings/", "/ledger/", "/settings/"])
def test_every_page_leads_to_the_welcome(db: None, client: Client, path: str):
    """There is nothing to show before there is a household."""
    assert client.get(path)["Location"] == "/welcome/"


def test_the_welcome_leads_from_the_household_to_the_first_system(db: None, client: Client):
    """Two forms, then the rest in any order."""
    assert "kept on this machine and nowhere else" in body(client.get("/welcome/"))
    household = {"entry_id": str(new_entry_id()), "name": "Harbour Row", "zone": "Europe/London", "next": "/welcome/"}
    assert client.post("/welcome/", household)["Location"] == "/welcome/"
    assert "The first system" in body(client.get("/welcome/"))
    system = {
        "entry_id": str(new_entry_id()),
        "name": "Skerry",
        "role": "display",
        "gross-volume": "480",
        "next": "/welcome/",
    }
    assert client.post("/welcome/", system)["Location"] == "/welcome/"
    assert "Harbour Row is set up" in body(client.get("/welcome/"))
    assert list(load_household().systems) == ["skerry"]


def test_the_welcome_keeps_what_was_typed(db: None, client: Client):
    """A time zone that is none is refused at its field."""
    sent = {"entry_id": str(new_entry_id()), "name": "Harbour Row", "zone": "Atlantis"}
    response = client.post("/welcome/", sent)
    assert response.status_code == 422
    assert 'value="Harbour Row"' in body(response)
    assert 'id="field-zone-problem"' in body(response)


def test_a_household_with_animals_is_not_welcomed_again(keeper: Client):
    """Once set up, pages open."""
    assert keeper.get("/write/").status_code == 200
