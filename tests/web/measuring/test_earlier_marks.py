"""A photo of the same place measured by the marks of an earlier one, or refused where that is unsafe."""

import json

import pytest
from tests.builders.drawn_tanks import DrawnTank, true_cover
from tests.web.measuring.case import CASE, WRITE_IT, a_photo, link_of, picture_of, shown, tank, write_it
from tests.web.writing.household import put

from pratique.ledger.entries import new_entry_id
from pratique.ledger.kinds.measured import Cover, CoverShare
from pratique.ledger.queries import entry_count

USE = "Use the marks of the photo of"


@pytest.fixture
def marked(keeper) -> str:
    """Return the hash of a photo of five days ago on which the cover was measured by marks of its own."""
    return a_marked_photo(tank().marks())


def a_marked_photo(marks: dict[str, object], of: DrawnTank | None = None, *, days_ago: float = 5.0) -> str:
    """Keep a photo and a cover measured on it by these marks."""
    sha256 = a_photo((of or tank()).jpeg, days_ago=days_ago)
    shares = (CoverShare(name="brown", fraction=0.07, low=0.05, high=0.08),)
    put(Cover(case=CASE, photo=sha256, by="dabs", shares=shares, marks=json.dumps(marks)), days_ago=days_ago)
    return sha256


def later_page() -> str:
    """Keep a photo of three days later, the camera moved, and return the address of its page."""
    return f"/photos/{a_photo(tank(day=3, moved=True).jpeg)}/cover/"


def test_a_later_photo_is_measured_by_one_tap(keeper, marked):
    """The camera moved and the light changed: the cover of each kind is still told, and both are named."""
    page = shown(keeper, later_page())
    after = shown(keeper, link_of(page, USE))
    assert "Measured by the marks of the photo of" in after
    written = write_it(keeper, after)
    for name, share in true_cover(tank(day=3, moved=True)).items():
        (found,) = (one for one in written.shares if one.name == name)
        assert found.fraction == pytest.approx(share, abs=0.03)


def test_marks_stay_with_the_photo_they_were_set_on(keeper, marked):
    """Each later one is laid over the first, so that errors do not add up: the new entry holds none."""
    written = write_it(keeper, shown(keeper, link_of(shown(keeper, later_page()), USE)))
    assert (written.marks, written.by) == ("", "dabs")
    assert written.photo != marked
    again = f"/photos/{a_photo(tank(day=4, moved=True).jpeg, days_ago=0.5)}/cover/"
    assert shown(keeper, again).count(USE) == 1


def test_the_picture_to_check_is_of_the_later_photo(keeper, marked):
    """The page asks for it by itself, with the marks of the earlier one."""
    page = shown(keeper, link_of(shown(keeper, later_page()), USE))
    address = picture_of(page, "cover/seen.jpg")
    assert f"on={marked}" in address
    assert keeper.get(address).headers["Content-Type"] == "image/jpeg"


def test_a_photo_of_another_place_is_refused(keeper, marked):
    """Nothing is laid over what does not match; the sentence says how to take it, and marks of its own are offered."""
    address = f"/photos/{a_photo(tank(3).jpeg)}/cover/"
    before = entry_count()
    page = shown(keeper, address, on=marked)
    assert "The later picture cannot be laid over the earlier one" in page
    assert "Take it from where the first was taken" in page
    assert link_of(page, WRITE_IT) == ""
    assert link_of(page, "Mark this photo by itself instead") == f"{address}?case={CASE}"
    assert entry_count() == before


def test_without_white_on_the_earlier_photo_its_dabs_are_not_used(keeper):
    """Two lights cannot be told from two colours."""
    marks = {name: one for name, one in tank().marks().items() if name != "white"}
    page = shown(keeper, later_page(), on=a_marked_photo(marks))
    assert "both need something white or grey in view" in page
    assert link_of(page, WRITE_IT) == ""


def test_marks_typed_by_hand_that_are_none_are_refused_by_the_form(keeper):
    """Every later photo of the growth would be measured by them."""
    sha256 = a_photo(tank().jpeg)
    answers = {"entry_id": str(new_entry_id()), "case": CASE, "shares": "brown: 23 (19 to 27)", "by": "eye"}
    response = keeper.post("/write/cover/", {**answers, "photo": sha256, "marks": "hello"})
    assert response.status_code == 422
    assert "The page where cover is measured fills this in" in response.content.decode()


def test_marks_in_the_ledger_that_cannot_be_read_leave_the_page_whole(keeper):
    """Written by an earlier version, say: they are not offered."""
    sha256 = a_photo(tank().jpeg, days_ago=5)
    shares = (CoverShare(name="brown", fraction=0.07, low=0.05, high=0.08),)
    put(Cover(case=CASE, photo=sha256, by="dabs", shares=shares, marks="hello"), days_ago=5)
    assert USE not in shown(keeper, later_page(), case=CASE)


def test_marks_of_a_photo_without_any_are_not_offered(keeper, marked):
    """Neither is the photo itself, nor one that is not of this growth."""
    assert USE not in shown(keeper, f"/photos/{marked}/cover/")
    unmarked = a_photo(tank(9).jpeg, days_ago=2)
    page = shown(keeper, later_page(), on=unmarked)
    assert page.count(USE) == 1
    assert "Measured by the marks of" not in page
