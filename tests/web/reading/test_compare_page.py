"""The page that compares passages, over the demo household: it works from the address alone."""

from html import unescape

import pytest
from django.test import Client

from pratique.casework.compare_start import start_of

pytestmark = pytest.mark.django_db

PAGE = "/passages/compare/"
ASKED = {"protocol": ["copper-30", "tank-transfer"], "species": "yellow_tang", "temperature": "26"}


def _text(read: Client, given: dict[str, object]) -> str:
    response = read.get(PAGE, given)
    assert response.status_code == 200
    return unescape(response.content.decode())


def test_the_page_asks_first(read):
    """Without an answer in the address there is no picture, and the questions are open."""
    text = _text(read, {})
    assert "Compare passages" in text
    assert "<svg" not in text
    assert 'name="temperature"' in text


def test_the_page_draws_each_passage_with_a_stroke_and_a_mark_of_its_own(read):
    """Lines are told apart without colour, and the table says the same."""
    text = _text(read, ASKED)
    assert text.count('class="curve stroke-0"') == 2
    assert text.count('class="curve stroke-1"') == 2
    assert "Copper, 30 days in one tank: solid line, ends in a circle" in text
    assert "no living stage on the animals or in water moved with them" in text
    assert "What recovery adds" in text
    assert "guess" in text


def test_what_was_typed_is_kept_beside_what_is_wrong(read):
    """Each field says what is wrong with it and what would be right, and nothing typed is lost."""
    text = _text(read, {"protocol": ["copper-30"], "species": "unicorn", "temperature": "9", "volume": "60 L"})
    assert "Choose two passages or more" in text
    assert "“unicorn” is no kind of fish known here" in text
    assert 'value="unicorn"' in text
    assert "outside what reef fishes are kept at" in text
    assert 'value="60 L"' in text
    assert "<svg" not in text


def test_the_second_batch_is_laid_out_with_the_angelfish_s_caution_and_a_way_without_copper(harbour_row, read):
    """B2 brings its own animals and passage, and those that its angelfish would bear better."""
    start = start_of(harbour_row, "b2")
    assert start.protocols[0] == "copper-14-recover"
    assert "tank-transfer" in start.protocols
    assert "banggai_cardinalfish:2" in start.species
    text = _text(read, {"batch": "b2"})
    assert "Compare passages for B2" in text
    assert "two-spined angelfish: It takes copper badly." in text
    assert "Instead: Tank transfer and Watching only." in text


def test_the_passages_lead_to_the_comparison(read):
    """The list of passages and the page of a batch both link to it."""
    assert PAGE in read.get("/passages/").content.decode()
    assert f"{PAGE}?batch=b2" in read.get("/passages/b2/").content.decode()
