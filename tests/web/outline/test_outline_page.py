"""The page on which a body is measured, without script: number boxes, and the answer on the page."""

import re
from datetime import datetime, timedelta
from html import unescape
from urllib.parse import parse_qs, urlsplit

import pytest
from tests.casework.keeping import NOON, Keeper
from tests.ledger.pictures import a_picture

from pratique.ledger.kinds.care import Photo
from pratique.ledger.photos import keep_photo

POINTS = {
    "snout-across": "100",
    "snout-down": "200",
    "tail-across": "500",
    "tail-down": "200",
    "back-across": "300",
    "back-down": "120",
    "belly-across": "300",
    "belly-down": "280",
}


@pytest.fixture
def photo(db, tmp_path, monkeypatch) -> str:
    """Return the hash of a picture of the gramma, 640 by 400 pixels."""
    monkeypatch.setattr("pratique.ledger.photos.photos_folder", lambda: tmp_path)
    keeper = Keeper()
    keeper.quarantine()
    kept = keep_photo(a_picture(size=(640, 400)))
    keeper.write(
        2,
        Photo(
            sha256=kept.sha256,
            media_type=kept.media_type,
            width_px=kept.width_px,
            height_px=kept.height_px,
            subjects=("animal/gramma",),
        ),
    )
    return kept.sha256


def asked(client, photo: str, **given: str) -> str:
    """Return the page as text, its spaces plain."""
    response = client.get(f"/photos/{photo}/body/", given)
    assert response.status_code == 200
    return re.sub(r"\s+", " ", unescape(response.content.decode()))


def moment() -> datetime:
    """Return when the picture was taken."""
    return NOON + timedelta(days=2)


def test_an_empty_page_says_what_to_set(client, photo):
    """Nothing was typed yet."""
    page = asked(client, photo)
    assert "Still to set: tip of the snout, base of the tail fin, highest point of the back, lowest" in page
    assert "style=" not in page


def test_four_points_give_depth_over_length_and_the_way_into_the_ledger(client, photo):
    """160 of 400 pixels is 0.400; the form comes filled in, dated as the picture."""
    page = asked(client, photo, **POINTS)
    assert "Depth over length 0.400 ± 0.0" in page
    link = next(one for one in re.findall(r'href="([^"]+)"', page) if "/write/observation/" in one)
    filled = parse_qs(urlsplit(link).query)
    assert (filled["animal"], filled["depth"], filled["length"]) == (["gramma"], ["160.00"], ["400.00"])
    assert filled["moment"] == [moment().strftime("%Y-%m-%dT%H:%M")]
    assert "tip of the snout 100 across, 200 down" in filled["words"][0]
    assert 0.01 < float(filled["depth-plus-minus"][0]) < 0.04


def test_the_form_it_leads_to_holds_the_numbers(client, photo):
    """So that one press keeps them."""
    page = asked(client, photo, **POINTS)
    link = next(one for one in re.findall(r'href="([^"]+)"', page) if "/write/observation/" in one)
    form = client.get(link).content.decode()
    assert 'value="160.00"' in form
    assert 'value="400.00"' in form


def test_a_decimal_comma_is_read(client, photo):
    """As everywhere: (280 − 120.4)/400."""
    assert "Depth over length 0.399 ±" in asked(client, photo, **POINTS | {"back-down": "120,4"})


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"tail-across": "700"}, "700 lies outside the picture: across goes from 0 to 640 pixels."),
        ({"snout-down": "about 200"}, "“about 200” is not a number"),
        ({"belly-down": ""}, "Both numbers are needed: across and down."),
        ({"belly-down": "150"}, "Back and belly lie on the same side"),
        ({"tail-across": "100"}, "Snout and tail base lie on one point"),
    ],
)
def test_a_slip_is_told_and_everything_typed_is_kept(client, photo, given, sentence):
    """No way into the ledger is offered, and the other boxes stay filled."""
    page = asked(client, photo, **POINTS | given)
    assert sentence in page
    assert "/write/observation/" not in page
    for name, text in (POINTS | given).items():
        if text:
            assert re.search(rf'name="{name}"[^>]*value="{text}"', page)


def test_the_animals_page_leads_here(client, photo):
    """With the animal chosen."""
    page = client.get("/animals/gramma/").content.decode()
    assert f"/photos/{photo}/body/?animal=gramma" in page


def test_a_picture_nobody_wrote_of_is_not_found(client, photo):
    """Neither is one that is no hash."""
    for unknown in ("0" * 64, "nothing"):
        assert client.get(f"/photos/{unknown}/body/").status_code == 404
