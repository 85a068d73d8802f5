"""The page of one constituent in a system, with plain requests: no script has run."""

import re

import pytest

pytestmark = pytest.mark.django_db

PAGE = "/systems/skerry/alkalinity/"
DOSE = {"what1": "salt-sodium_bicarbonate", "amount1": "10", "at1": "2026-03-13T08:00"}


def test_it_answers_get_and_head_and_rejects_post(read):
    """It only reads: nothing is sent to it."""
    assert read.get(PAGE).status_code == 200
    assert read.head(PAGE).content == b""
    assert read.post(PAGE).status_code == 405


@pytest.mark.parametrize("path", ["/systems/nowhere/copper/", "/systems/skerry/gold/"])
def test_an_unknown_system_or_constituent_is_not_found(read, path):
    """A thing that is not there has no page."""
    assert read.get(path).status_code == 404


def test_every_constituent_of_every_system_has_a_page(read, harbour_row):
    """Also one that nobody ever read there."""
    for system in harbour_row.systems:
        for constituent in ("copper", "temperature", "silicate", "nitrate"):
            page = read.get(f"/systems/{system}/{constituent}/")
            assert page.status_code == 200
            assert b"<h1>" in page.content


def test_a_dose_in_the_address_is_drawn_as_planned_and_told_in_words(read):
    """The form holds what was typed, the picture its mark, the sentences what comes of it; the caution is there."""
    page = read.get(PAGE, DOSE).content.decode()
    assert 'value="10"' in page
    assert 'class="mark-dose planned"' in page
    assert "dose, only planned" in page
    assert "The chance of passing 14.0\u202fdKH" in page
    assert "Caution." in page
    assert "/write/dose/?system=skerry&amp;substance=sodium_bicarbonate&amp;amount=10&amp;amount_unit=g" in page


def test_what_is_refused_is_said_at_its_row_and_above_and_has_no_button(read):
    """500 g at once are far too much: the sentence stands at the field, and nothing invites to write it."""
    page = read.get(PAGE, DOSE | {"amount1": "500"}).content.decode()
    assert page.count("is refused. It is left out of the picture.") == 2
    assert 'aria-invalid="true" aria-describedby="refused1"' in page
    assert "/write/dose/" not in page
    assert 'value="500"' in page


def test_what_is_typed_cannot_become_markup(read):
    """It is shown as it was typed."""
    page = read.get(PAGE, DOSE | {"amount1": "<b>1"}).content.decode()
    assert "<b>1" not in page
    assert "&lt;b&gt;1" in page


def test_a_past_day_keeps_its_day(read):
    """Asked as of ten days ago, the coming days are those after it, and the form stays there."""
    page = read.get(PAGE, {"on": "2026-03-01"}).content.decode()
    assert "As it stood at the end of Sunday 1 March 2026" in page
    assert '<input type="hidden" name="on" value="2026-03-01">' in page
    assert 'max="2026-03-08T' in page


def test_the_page_of_a_system_leads_there(read):
    """From the newest reading, and from under its picture."""
    page = read.get("/systems/skerry/").content.decode()
    assert len(re.findall(rf'href="{PAGE}"', page)) == 2


def test_everything_can_be_opened_for_paper(read):
    """The table and the reasons stand open."""
    page = read.get(PAGE, {"opened": "yes"}).content.decode()
    assert page.count("<details") == page.count("<details open") == 2
