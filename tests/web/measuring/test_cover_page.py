"""`/photos/…/cover/`: marks in the address give how much each kind covers, and the way into the ledger."""

import io
import json
import re

import cv2
import numpy as np
import pytest
from PIL import Image
from tests.builders.drawn_tanks import true_cover
from tests.web.measuring.case import (
    CASE,
    WRITE_IT,
    a_photo,
    jpeg_of,
    link_of,
    marks_as_text,
    picture_of,
    sent_from,
    shown,
    tank,
    write_it,
)
from tests.web.writing.household import newest, written_since

from pratique.ledger.photos import photo_path
from pratique.ledger.queries import entry_count
from pratique.web.serving.application import LONGEST_ADDRESS

CORNERS = "region: 100 100; 700 100; 700 500; 100 500"
DABS = "sand: 110 110 6; 300 200 6\nbrown: 400 300 6; 500 320 6"


@pytest.fixture
def sand(keeper) -> str:
    """Return the address of the page on which cover is measured on a drawn tank's photo."""
    return f"/photos/{a_photo(tank().jpeg)}/cover/"


def test_an_empty_page_asks_for_marks_and_says_nothing_of_cover(keeper, sand):
    """What to do stands above the photo; there is no bar, no problem and no way into the ledger."""
    page = shown(keeper, sand)
    assert "Go round what you want to measure" in page
    assert "How much each kind covers" not in page
    assert 'class="problem"' not in page
    assert link_of(page, WRITE_IT) == ""
    assert "style=" not in page


def test_whole_marks_give_a_bar_for_each_kind(keeper, sand):
    """With its range in a table below, and what to bear in mind."""
    page = shown(keeper, sand, marks=marks_as_text(tank()))
    table = re.findall(r'<th scope="row">(\w+)</th> <td>(?:under )?(\d+) %</td>', page)
    told = {name.casefold(): int(percents) for name, percents in table}
    assert told == pytest.approx({name: 100 * share for name, share in true_cover(tank()).items()}, abs=2)
    assert "Few dabs of red: three or more, apart from each other, show how much one kind varies." in page


def test_what_was_measured_is_written_by_one_press(keeper, sand):
    """The form comes filled in, dated as the photo; the true share of each kind dabbed often lies in its range."""
    photo = newest()[0]
    before = entry_count()
    written = write_it(keeper, shown(keeper, sand, marks=marks_as_text(tank())))
    assert written_since(before) == 1
    assert (written.case, written.photo, written.by) == (CASE, photo.raw["sha256"], "dabs")
    truth = true_cover(tank())
    assert {one.name for one in written.shares} == set(truth)
    for one in written.shares:
        if len(tank().dabs[one.name]) > 2:
            assert one.low <= truth[one.name] <= one.high
        assert one.fraction == pytest.approx(truth[one.name], abs=0.02)
    assert newest()[0].happened_at == photo.happened_at.replace(second=0, microsecond=0)


def test_the_marks_are_kept_with_it_so_that_a_later_photo_can_use_them(keeper, sand):
    """Region, dabs and white, as they were typed."""
    written = write_it(keeper, shown(keeper, sand, marks=marks_as_text(tank())))
    kept = json.loads(written.marks)
    assert kept["dabs"].keys() == tank().dabs.keys()
    assert kept["region"] == [pytest.approx(corner, abs=0.06) for corner in tank().region]
    assert kept["white"] == pytest.approx(tank().white, abs=0.06)


def test_bright_in_the_picture_to_check_is_what_was_taken_for_the_growth(keeper, sand):
    """A JPEG of the photo's size, the sand on it dark, the brown film as it was."""
    page = shown(keeper, sand, marks=marks_as_text(tank()))
    response = keeper.get(picture_of(page, "cover/seen.jpg"))
    assert response.headers["Content-Type"] == "image/jpeg"
    seen = np.asarray(Image.open(io.BytesIO(response.content)), dtype=float)
    photo = tank().pixels.astype(float)
    assert seen.shape == photo.shape
    lies_inside = np.zeros(photo.shape[:2], np.uint8)
    cv2.fillPoly(lies_inside, [np.array(tank().region, dtype=np.int32)], 1)
    for number, (least, most) in ((0, (0.3, 0.5)), (1, (0.85, 1.5))):
        there = (tank().shows == number) & (lies_inside == 1)
        assert least < seen[there].mean() / photo[there].mean() < most


@pytest.mark.parametrize(
    ("marks", "tint"), [("whole", "turquoise"), ("whole", ""), ("", "brown"), ("brown, somewhere", "brown")]
)
def test_there_is_no_picture_of_a_kind_that_was_not_measured(keeper, sand, marks, tint):
    """An unknown kind, none, and marks that give nothing."""
    text = marks_as_text(tank()) if marks == "whole" else marks
    assert keeper.get(f"{sand}seen.jpg", {"marks": text, "tint": tint}).status_code == 404


@pytest.mark.parametrize(
    ("marks", "sentence"),
    [
        (CORNERS, "Still to set: dabs of two kinds, one of them what it grows on."),
        (DABS, "Still to set: three or more corners of the region."),
        ("region: 100 100; 700 100\nsand: 110 110 6", "Still to set: three or more corners of the region, dabs of two"),
    ],
)
def test_marks_that_are_not_whole_say_what_is_still_to_set(keeper, sand, marks, sentence):
    """That is no fault: nothing is marked as one, and what was marked stays."""
    page = shown(keeper, sand, marks=marks)
    assert sentence in page
    assert 'class="problem"' not in page
    assert sent_from(page)["marks"] == [marks]


@pytest.mark.parametrize(
    ("marks", "sentence"),
    [
        ("brown, here and there", "“brown, here and there” cannot be read. Write each on a line of its own: region: "),
        (": 200 200 8", "“: 200 200 8” cannot be read."),
        ("brown: 300 200", "“brown”: “300 200” should be across, down and radius, 3 numbers."),
        ("region: 10 10 5; 900 20", "“region”: “10 10 5” should be across and down, 2 numbers."),
        ("sand: left 200 8", "“sand”: “left” is not a number"),
        (f"{CORNERS}\nsand: 110 110 6\nbrown: 4000 300 6", "Dab 1 of “brown” lies outside the picture."),
        ("region: 900 10; 990 10; 990 90\n" + DABS, "The marked region holds no part of the picture"),
        (f"{CORNERS}\n{DABS}\nwhite: 4000 10 5", "The white patch lies outside the picture."),
        (f"{CORNERS}\nsand: 110 110 6\nbrown: 200 200 0", "“200 200 0” has no size; a dab's radius is above 0"),
        (f"{CORNERS}\nsand: 110 110 6\n{'x' * 50}: 200 200 6", "is too long for a name; 40 letters are kept."),
        (
            CORNERS + "".join(f"\nkind{one}: 200 200 6" for one in range(13)),
            "There are dabs of 13 kinds; at most 12 can be told apart.",
        ),
        (f"{CORNERS}\nbrown: {'200 200 6; ' * 101}", "“brown” has 101 places; at most 100 are used."),
        (f"region: {'9' * 400} 1; 2 2", "“region”: a place on a photo is a few thousand pixels"),
    ],
)
def test_marks_that_cannot_be_used_get_a_sentence_and_stay(keeper, sand, marks, sentence):
    """So that they can be mended in the box they stand in."""
    page = shown(keeper, sand, marks=marks)
    assert sentence in page
    assert sent_from(page)["marks"] == [marks]
    assert link_of(page, WRITE_IT) == ""
    assert "How much each kind covers" not in page
    assert "Still to set" not in page


def test_many_dabs_are_measured_and_written(keeper, sand):
    """A hundred of each kind: the address that holds them is shorter than what the server takes."""
    random = np.random.default_rng(1)
    lines = [marks_as_text(tank()).partition("\n")[0]]
    for name, ((x, y, _), *_) in tank().dabs.items():
        places = [f"{x + one:.1f} {y + other:.1f} 3.0" for one, other in random.uniform(-2, 2, (100, 2))]
        lines.append(f"{name}: {'; '.join(places)}")
    page = shown(keeper, sand, marks="\n".join(lines))
    assert len(link_of(page, WRITE_IT)) < LONGEST_ADDRESS
    assert write_it(keeper, page).by == "dabs"


def test_kinds_that_look_alike_are_told_in_a_few_lines(keeper, sand):
    """Ten names for one spot are 45 pairs."""
    alike = "".join(f"\nkind{one}: 400 300 6; 402 300 6" for one in range(10))
    page = shown(keeper, sand, marks=f"{CORNERS}{alike}")
    assert page.count("have nearly the same colour") == 3
    assert "So have 42 more pairs of kinds: dab fewer kinds." in page


@pytest.mark.parametrize(
    ("spoil", "sentence"),
    [
        (lambda pixels: cv2.GaussianBlur(pixels, (0, 0), 6), "This picture is blurred"),
        (
            lambda pixels: cv2.convertScaleAbs(pixels, alpha=4),
            "This picture is burnt out: nearly all of it is plain white.",
        ),
        (lambda pixels: pixels // 16, "This picture is too dark to tell colours on."),
        (lambda pixels: np.full_like(pixels, 255), "This picture is burnt out"),
        (np.zeros_like, "This picture is too dark"),
    ],
    ids=["blurred", "overexposed", "dark", "white", "black"],
)
def test_a_photo_too_poor_to_measure_on_is_refused_in_a_sentence(keeper, spoil, sentence):
    """It says what would be right; nothing is offered to be written, and nothing is."""
    sha256 = a_photo(jpeg_of(spoil(tank().pixels)))
    before = entry_count()
    page = shown(keeper, f"/photos/{sha256}/cover/", marks=marks_as_text(tank()))
    assert sentence in page
    assert link_of(page, WRITE_IT) == ""
    assert entry_count() == before


def test_a_photo_whose_file_is_gone_says_so(keeper):
    """The entry stays; once its file is back, from an export, it is measured."""
    sha256 = a_photo(tank(9).jpeg)
    photo_path(sha256).unlink()
    page = shown(keeper, f"/photos/{sha256}/cover/", marks=marks_as_text(tank(9)))
    assert "The file is missing from this home; restore it from an export." in page
    assert link_of(page, WRITE_IT) == ""
    a_photo(tank(9).jpeg)
    assert link_of(shown(keeper, f"/photos/{sha256}/cover/", marks=marks_as_text(tank(9))), WRITE_IT)


@pytest.mark.parametrize("page", ["cover/", "cover/seen.jpg", "cells/", "points/"])
def test_a_photo_nobody_wrote_of_is_not_found(keeper, page):
    """Neither is one that is no hash."""
    for unknown in ("0" * 64, "nothing"):
        assert keeper.get(f"/photos/{unknown}/{page}").status_code == 404


@pytest.mark.parametrize("page", ["cover/", "cover/seen.jpg", "cells/", "points/"])
def test_nothing_is_measured_by_sending(keeper, page):
    """Marks are in the address; the pages take no other request than one to look."""
    assert keeper.post(f"/photos/{a_photo(tank().jpeg)}/{page}").status_code == 405


def test_the_page_of_the_growth_leads_here(keeper, sand):
    """With the growth chosen; its name leads back."""
    growth = shown(keeper, f"/growths/{CASE}/")
    assert f'href="{sand}?case={CASE}"' in growth
    assert f'href="/growths/{CASE}/">Brown dust</a>' in shown(keeper, sand, case=CASE)
