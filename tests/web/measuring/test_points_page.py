"""`/photos/…/points/`: forty places of a photo judged one at a time, and the shares they give."""

import re
from collections.abc import Callable

import numpy as np
import pytest
from tests.builders.drawn_tanks import true_cover
from tests.web.measuring.case import (
    CASE,
    WRITE_IT,
    Page,
    a_photo,
    link_of,
    marks_as_text,
    sent_from,
    shown,
    tank,
    write_it,
)
from tests.web.writing.household import newest, written_since

from pratique.ledger.queries import entry_count

COUNT = 40
UNSURE = "cannot tell"
_HIDDEN = ("marks", "judged")


@pytest.fixture
def points(keeper) -> str:
    """Return the address of the page on which points of a drawn tank's photo are judged."""
    return f"/photos/{a_photo(tank(3).jpeg)}/points/"


def press(client, address: str, page: Page, **button: str) -> Page:
    """Press a button of the page: what stands hidden in it goes along."""
    boxes = sent_from(page)
    return shown(client, address, **{name: boxes[name][0] for name in _HIDDEN}, **button)


def place_on(page: Page) -> tuple[float, float]:
    """Return where the cross is, in pixels of the photo, across and down."""
    (place, *_) = re.findall(r"translate\(([\d.]+) ([\d.]+)\)", page)
    return float(place[0]), float(place[1])


def walk(client, address: str, judge: Callable[[int, Page], str], *, marks: str = "") -> Page:
    """Judge every point in turn and return the page after the last; `judge` gets its number and its page."""
    page = shown(client, address, marks=marks)
    for number in range(1, COUNT + 1):
        assert f"Point {number} of {COUNT}." in page
        page = press(client, address, page, say=judge(number, page))
    return page


def what_lies_there(_number: int, page: Page) -> str:
    """Return what the drawn tank truly shows under the cross."""
    across, down = place_on(page)
    return tank(3).classes[tank(3).shows[int(down), int(across)]]


def test_judging_every_point_truly_gives_the_true_cover(keeper, points):
    """The shares sum to one, and the true share of each kind lies in its range."""
    photo = newest()[0]
    before = entry_count()
    page = walk(keeper, points, what_lies_there, marks=marks_as_text(tank(3)))
    assert written_since(before) == 0
    assert "Of 40 points, spread over equal pieces." in page
    written = write_it(keeper, page)
    assert written_since(before) == 1
    assert (written.case, written.photo, written.by, written.marks) == (CASE, photo.raw["sha256"], "points", "")
    assert sum(one.fraction for one in written.shares) == pytest.approx(1.0, abs=0.002)
    for one in written.shares:
        assert one.low <= true_cover(tank(3))[one.name] <= one.high


def test_points_lie_in_the_marked_region_and_apart(keeper, points):
    """None twice, and none nearer to another than a fifth of their usual distance."""
    left, top, right, foot = 200, 150, 600, 450
    region = f"region: {left} {top}; {right} {top}; {right} {foot}; {left} {foot}"
    places = []

    def looked(_number: int, page: Page) -> str:
        places.append(place_on(page))
        return "sand"

    walk(keeper, points, looked, marks=region)
    found = np.array(places)
    assert (found >= (left, top)).all()
    assert (found <= (right, foot)).all()
    steps = np.hypot(*np.diff(found, axis=0).T)
    assert np.median(steps) > 0.5 * np.sqrt((right - left) * (foot - top) / COUNT)
    assert len(set(places)) == COUNT


def test_the_same_photo_shows_the_same_points_again(keeper, points):
    """So that a walk broken off goes on where it was."""
    page = press(keeper, points, shown(keeper, points), say="sand")
    assert place_on(page) == place_on(press(keeper, points, shown(keeper, points), say="brown"))


def test_one_back_takes_the_last_judgement_back(keeper, points):
    """The point before comes again; on the first there is nothing to take back."""
    first = shown(keeper, points)
    assert "One back" not in first
    second = press(keeper, points, first, say="sand")
    third = press(keeper, points, second, say="brown")
    assert sent_from(third)["judged"] == ["sand|brown"]
    again = press(keeper, points, third, back="yes")
    assert sent_from(again)["judged"] == ["sand"]
    assert place_on(again) == place_on(second)
    assert "Point 2 of 40." in again


def test_what_cannot_be_told_is_left_out_and_counted(keeper, points):
    """Of forty, eight could not be told; of the other 32, a quarter is brown."""

    def judged(number: int, _page: Page) -> str:
        if number % 5 == 0:
            return UNSURE
        return "brown" if number % 5 == 1 else "sand"

    page = walk(keeper, points, judged)
    assert "8 of 40 points could not be told and are left out." in page
    shares = {one.name: one.fraction for one in write_it(keeper, page).shares}
    assert shares == {"sand": 0.75, "brown": 0.25}


def test_where_no_point_could_be_told_there_is_no_share(keeper, points):
    """The walk ends all the same, and says what would be right."""
    page = shown(keeper, points, judged="|".join([UNSURE] * COUNT))
    assert "Hardly any point could be told" in page
    assert "Point 41" not in page
    assert link_of(page, WRITE_IT) == ""


def test_a_kind_the_page_does_not_offer_is_not_taken(keeper, points):
    """By an address somebody mended."""
    assert "Point 2 of 40." in shown(keeper, points, judged="sand|gold bars", say="silver")


def test_where_every_point_could_be_told_nothing_is_said_of_it(keeper, points):
    """One kind everywhere is all of it, yet not for certain."""
    page = shown(keeper, points, judged="|".join(["sand"] * COUNT))
    assert "could not be told" not in page
    (share,) = write_it(keeper, page).shares
    assert (share.fraction, share.high) == (1.0, 1.0)
    assert 0.85 < share.low < 0.95


@pytest.mark.parametrize(
    ("marks", "sentence"),
    [
        ("region, somewhere", "“region, somewhere” cannot be read."),
        ("region: 100 100; 700 100", "A region needs at least three corners."),
        ("region: 900 10; 990 10; 990 90", "The marked region holds no part of the picture"),
        ("region: 1 1; 1 3; 3 3", "The region is too small for 40 points"),
    ],
)
def test_a_region_without_room_for_points_is_told_in_a_sentence(keeper, points, marks, sentence):
    """No point is shown, and nothing can be written."""
    page = shown(keeper, points, marks=marks)
    assert sentence in page
    assert "What is under the cross?" not in page
    assert link_of(page, WRITE_IT) == ""


def test_the_page_of_cover_leads_here_with_its_region(keeper, points):
    """For a keeper who would rather judge than dab."""
    cover = shown(keeper, points.replace("points", "cover"), case=CASE, marks="region: 10 10; 90 10; 90 90")
    page = shown(keeper, link_of(cover, "Say what lies under forty points"))
    assert sent_from(page)["marks"] == ["region: 10 10; 90 10; 90 90"]
    assert sent_from(page)["case"] == [CASE]
