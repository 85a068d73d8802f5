"""Growths that are followed, pictures, chores and notes."""

from datetime import UTC, datetime
from io import BytesIO

import pytest
from PIL import Image
from tests.writing.conftest import NOW, at, desk, doubts_of, problems_of, put

from pratique.casework.writing.forms import write_form
from pratique.ledger.household import load_household
from pratique.ledger.kinds import care
from pratique.ledger.photos import photo_path

pytestmark = pytest.mark.usefixtures("harbour_row")
_TAKEN = 0x9003


def _picture(taken: str = "") -> bytes:
    picture, content = Image.new("RGB", (8, 6), (120, 90, 40)), BytesIO()
    exif = Image.Exif()
    if taken:
        exif.get_ifd(0x8769)[_TAKEN] = taken
    picture.save(content, "JPEG", exif=exif)
    return content.getvalue()


def test_a_growth_is_followed_from_a_name_and_a_place() -> None:
    """Its key is made from its name."""
    write_form("growth-case", desk(), {"name": "Brown dust", "system": "skerry", "where": "new rock"})
    assert load_household().cases["brown-dust"].where == "new rock"
    again = {"name": "brown dust", "system": "skerry"}
    assert "is followed already" in doubts_of("growth-case", again)["name"]


def test_a_finding_is_there_or_not_or_graded() -> None:
    """A number goes only with a grade, and a grade needs its number."""
    put(care.GrowthCase(key="film", name="Film", system="skerry"), at(3))
    film = {"case": "film", "finding": "back_within_a_day"}
    assert write_form("finding", desk(), film | {"state": "absent"})[0].raw["state"] == "absent"
    assert "grade" in problems_of("finding", film | {"state": "graded"})
    assert "grade" in problems_of("finding", film | {"state": "present", "grade": "2"})
    assert "Did you mean" in problems_of("finding", film | {"finding": "back_within_day", "state": "present"})[
        "finding"
    ].replace("did", "Did")


def test_a_finding_on_a_closed_growth_is_asked_about() -> None:
    """It may have come back."""
    put(care.GrowthCase(key="film", name="Film", system="skerry"), at(3))
    write_form("case-closed", desk(), {"case": "film", "moment": "2026-11-20T09:00"})
    answers = {"case": "film", "finding": "back_within_a_day", "state": "present"}
    assert doubts_of("finding", answers)["case"] == "Film was closed on 20 November. Write it all the same?"


def test_a_picture_is_dated_by_its_camera_where_no_moment_is_typed() -> None:
    """The camera's clock is the household's; a moment that is typed wins, and so does the wish for now."""
    content = _picture("2026:10:20 12:00:00")
    by_camera = write_form("photo", desk(), {"file": content})[0]
    assert by_camera.happened_at == datetime(2026, 10, 20, 11, tzinfo=UTC)
    assert photo_path(by_camera.raw["sha256"]) is not None
    assert write_form("photo", desk(), {"file": content, "taken": "now"})[0].happened_at == NOW
    assert write_form("photo", desk(), {"file": content, "moment": "08:00"})[0].happened_at == at(25, 8)


def test_a_camera_ahead_of_time_is_not_believed() -> None:
    """A picture from the future is dated now."""
    assert write_form("photo", desk(), {"file": _picture("2031:01:01 00:00:00")})[0].happened_at == NOW


def test_what_is_no_picture_is_a_problem_at_the_file() -> None:
    """Nothing chosen, or something else."""
    assert set(problems_of("photo", {})) == {"file"}
    assert "not a picture" in problems_of("photo", {"file": b"no picture"})["file"]


def test_a_chore_is_about_what_it_was_done_for() -> None:
    """By key, name or full subject; a slip is answered with the nearest."""
    done = write_form("task-done", desk(), {"task": "Siphoned", "subjects": "skerry, Maiden goby, course/x"[:20]})[0]
    assert done.raw["subjects"] == ["system/skerry", "animal/maiden-goby"]
    assert problems_of("note", {"words": "Dim.", "subjects": "skery"})["subjects"] == (
        "There is nothing called “skery” here. Did you mean Skerry?"
    )
