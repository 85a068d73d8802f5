"""The page of a tank without fish, over the demo household: it works from the address alone."""

from html import unescape

import pytest
from django.test import Client

pytestmark = pytest.mark.django_db

PAGE = "/passages/fallow/"


def _text(read: Client, query: str) -> str:
    response = read.get(PAGE + query)
    assert response.status_code == 200
    return unescape(response.content.decode())


def test_it_asks_first_and_the_passages_lead_to_it(read):
    """No picture without an answer; every system can be chosen."""
    text = _text(read, "")
    assert "<svg" not in text
    assert 'value="skerry"' in text
    assert f'href="{PAGE}"' in read.get("/passages/").content.decode()


def test_it_draws_each_parasite_and_says_what_it_rests_on(read):
    """Told apart by stroke and mark; guesses are called guesses, and wet hands are warned of."""
    text = _text(read, "?temperature=79+°F")
    assert text.count('class="curve stroke-2"') == 2
    assert "marine velvet: long dashes, ends in a square" in text
    assert "95\u202f% likely, after" in text
    assert "(guess)" in text
    assert "wet hands" in text


def test_a_tank_with_fish_is_told_as_if_they_left_today(read):
    """By name."""
    text = _text(read, "?system=skerry")
    assert "Chromis shoal" in text
    assert "as if the last one left today" in text


def test_what_cannot_be_is_said_at_its_field(read):
    """An unknown tank, and water no fish lives in, with what was typed kept."""
    assert "There is no such system here" in _text(read, "?system=skery")
    text = _text(read, "?temperature=70")
    assert "no water of fishes" in text
    assert 'value="70"' in text
    assert "is not known at 12\u202f°C" in _text(read, "?temperature=12")
