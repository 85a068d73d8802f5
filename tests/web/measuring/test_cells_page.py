"""`/photos/…/cells/`: a scale, cells found or tapped by hand, and their sizes on the way into the ledger."""

import re
from functools import cache

import numpy as np
import pytest
from tests.builders.drawn_cells import boat, drawn_picture
from tests.builders.pictures import png_of
from tests.web.measuring.case import CASE, WRITE_IT, a_photo, link_of, sent_from, shown, write_it
from tests.web.writing.household import newest, written_since

from pratique.ledger.photos import photo_path
from pratique.ledger.queries import entry_count

# Six boats of 90 by 22 pixels; 400 pixels are 20 divisions of a micrometer.
COUNT, LENGTH_PX, UM_PER_PX = 6, 90.0, 0.5
LINES = "scale: 100 60; 500 60"
NO_SCALE = "Without a scale nothing can be told in µm, and nothing is written down."


@cache
def still() -> bytes:
    """Return a picture of six boats."""
    return png_of(drawn_picture([boat(LENGTH_PX, 22.0) for _ in range(COUNT)], seed=4))


@pytest.fixture
def boats(keeper) -> str:
    """Return the address of the page on which the boats are measured."""
    return f"/photos/{a_photo(still())}/cells/"


def found(client, address: str, **given: str | list[str]) -> str:
    """Return the page after its cells were asked for."""
    return shown(client, address, find="yes", **given)


def lengths_on(page: str) -> dict[str, float]:
    """Return the length of each cell found, by its number, as the page says it."""
    return {number: float(size) for number, size in re.findall(r"(\d+): ([\d.]+) (?:µm|pixels) long", page)}


def test_without_a_scale_nothing_is_told_in_um(keeper, boats):
    """The cells are found all the same, and told in pixels; no way into the ledger is offered."""
    page = found(keeper, boats)
    assert NO_SCALE in page
    assert len(lengths_on(page)) == COUNT
    assert list(lengths_on(page).values()) == [pytest.approx(LENGTH_PX, rel=0.05)] * COUNT
    assert "µm long" not in page
    assert link_of(page, WRITE_IT) == ""


@pytest.mark.parametrize(
    "given",
    [
        {"um-per-px": "0,5"},
        {"marks": LINES, "divisions": "20"},
        {"marks": LINES, "divisions": "20", "um-per-px": "2"},
        {"marks": LINES, "divisions": "40", "division-um": "5"},
        {"marks": LINES, "field-um": "200"},
        {"marks": f"{LINES}\nscale: 100 60; 300 60", "divisions": "10"},
    ],
    ids=["typed", "micrometer", "tapped before typed", "other divisions", "field", "the last two taps"],
)
def test_each_way_to_a_scale_gives_the_true_sizes(keeper, boats, given):
    """A number known already, two lines of a micrometer, or both edges of a known field."""
    page = found(keeper, boats, **given)
    assert NO_SCALE not in page
    assert re.search(r"0\.500( ± 0\.0\d+)? µm to a pixel", page)
    assert list(lengths_on(page).values()) == [pytest.approx(UM_PER_PX * LENGTH_PX, rel=0.05)] * COUNT


def test_a_tapped_scale_tells_how_sure_it_is_and_a_typed_one_does_not(keeper, boats):
    """A thumb misses the line by a little."""
    assert "±" in found(keeper, boats, marks=LINES, divisions="20").partition("µm to a pixel")[0][-20:]
    assert "0.500 µm to a pixel" in found(keeper, boats, **{"um-per-px": "0.5"})


def test_sizes_are_said_with_how_sure_they_are(keeper, boats):
    """The middle cell and its range, how many, and their form: a boat of 90 by 22 is 4.1 times as long as wide."""
    page = found(keeper, boats, **{"um-per-px": "0.5"})
    assert re.search(r"The middle cell is 4[45]\.\d µm long, between 4\d\.\d and 4\d\.\d µm\.", page)
    assert f"{COUNT} cells counted" in page
    assert "They are 4.1 times as long as wide." in page


def test_the_sizes_are_written_by_one_press(keeper, boats):
    """Each cell's length and width, the scale, and the photo they were measured on."""
    photo = newest()[0]
    before = entry_count()
    written = write_it(keeper, found(keeper, boats, **{"um-per-px": "0.5"}))
    assert written_since(before) == 1
    assert (written.case, written.photo, written.um_per_px) == (CASE, photo.raw["sha256"], UM_PER_PX)
    assert written.lengths_um == (pytest.approx(45.0, rel=0.05),) * COUNT
    assert written.widths_um == (pytest.approx(11.0, rel=0.1),) * COUNT
    assert newest()[0].happened_at == photo.happened_at.replace(second=0, microsecond=0)


def test_what_is_no_cell_is_left_out(keeper, boats):
    """The boxes stay ticked, the count goes down, and the others alone are written."""
    every = lengths_on(found(keeper, boats, **{"um-per-px": "0.5"}))
    page = found(keeper, boats, rejected=["2", "5", "77", "x", "9" * 5000], **{"um-per-px": "0.5"})
    assert sent_from(page)["rejected"] == ["2", "5"]
    assert f"{COUNT - 2} cells counted" in page
    kept = [length for number, length in every.items() if number not in {"2", "5"}]
    assert list(write_it(keeper, page).lengths_um) == kept


def test_with_every_cell_left_out_nothing_can_be_written(keeper, boats):
    """Nor is a size said."""
    page = found(keeper, boats, rejected=[str(number + 1) for number in range(COUNT)], **{"um-per-px": "0.5"})
    assert "The middle cell" not in page
    assert "Every cell that was found is left out." in page
    assert link_of(page, WRITE_IT) == ""


def test_a_cell_is_measured_between_two_taps(keeper, boats):
    """100 pixels at half a µm, without the others being looked for; a tap without its other end waits for it."""
    page = shown(keeper, boats, marks=f"{LINES}\ncell: 200 310; 300 310; 17 18", divisions="20")
    assert "50.0 µm long, by hand." in page
    assert lengths_on(page) == {}
    written = write_it(keeper, page)
    assert (written.lengths_um, written.widths_um) == ((50.0,), ())


@pytest.mark.parametrize(
    ("marks", "sentence"),
    [
        ("cell: 100 100; 100 100", "“cell”: both ends lie on one spot"),
        (f"cell: {'9' * 400} 1; 2 2", "“cell”: a place on a photo is a few thousand pixels"),
        ("cell: 1e9 1; 2 2", "An end of a cell lies outside the picture"),
        ("scale: 100 60; 5000 60", "An end of a scale lies outside the picture"),
        ("cell 100 60; 500 60", "“cell 100 60; 500 60” cannot be read."),
        ("cells: 100 60; 500 60", "“cells” is neither a scale nor a cell."),
    ],
)
def test_taps_that_cannot_be_used_are_told_at_their_box_and_kept(keeper, boats, marks, sentence):
    """And nothing can be written as long as they stand there."""
    page = shown(keeper, boats, marks=marks, find="yes", **{"um-per-px": "0.5"})
    assert sentence in page
    assert 'aria-describedby="marks-hint marks-problem"' in page
    assert sent_from(page)["marks"] == [marks]
    assert link_of(page, WRITE_IT) == ""


def test_taps_alone_need_a_scale_too(keeper, boats):
    """A length in pixels says nothing of a cell."""
    page = shown(keeper, boats, marks="cell: 200 310; 300 310")
    assert "µm long" not in page
    assert link_of(page, WRITE_IT) == ""


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"um-per-px": "500"}, "A pixel of a microscope picture is 0.01 to 50 µm; 500 is not. Calibrate first."),
        ({"um-per-px": "0"}, "A pixel of a microscope picture is 0.01 to 50 µm; 0 is not."),
        ({"um-per-px": "half"}, "“half” is not a number; write it like 0.18 or 0,18."),
        ({"marks": LINES, "divisions": "0"}, "The number of divisions between the points must be above 0"),
        ({"marks": LINES, "divisions": "20000"}, "This would be 500 µm per pixel; a light microscope with a camera"),
        ({"marks": LINES, "divisions": "20", "division-um": "0"}, "The length of a division must be above 0 µm"),
        ({"marks": LINES, "field-um": "-3"}, "The diameter of the field must be above 0 µm"),
        ({"marks": "scale: 100 60; 100 60", "divisions": "20"}, "“scale”: both ends lie on one spot"),
        ({"marks": "scale: 100 60; 102 60", "divisions": "20"}, "set the points further apart"),
        ({"marks": "scale: 100 60 5; 500 60", "divisions": "20"}, "“100 60 5” should be across and down, 2 numbers."),
        ({"marks": "scale: left 60; 500 60", "divisions": "20"}, "“scale”: “left” is not a number"),
    ],
)
def test_a_scale_that_cannot_be_is_told_and_everything_typed_is_kept(keeper, boats, given, sentence):
    """No size is told by it, and none can be written."""
    page = found(keeper, boats, **given)
    assert sentence in page
    assert NO_SCALE in page
    assert link_of(page, WRITE_IT) == ""
    assert {name: sent_from(page)[name] for name in given} == {name: [text] for name, text in given.items()}


@pytest.mark.parametrize(
    ("pixels", "sentence"),
    [
        (np.full((200, 200), 180, np.uint8), "Nothing stands out from the ground: focus on the cells"),
        (np.full((20, 20), 180, np.uint8), "The picture is too small: each side must have at least 64 pixels."),
    ],
    ids=["an empty slide", "a stamp"],
)
def test_a_picture_without_cells_is_told_in_a_sentence(keeper, pixels, sentence):
    """And what would be right."""
    page = found(keeper, f"/photos/{a_photo(png_of(pixels))}/cells/", **{"um-per-px": "0.5"})
    assert sentence in page
    assert link_of(page, WRITE_IT) == ""


def test_the_scale_of_the_last_measurement_stands_there_the_next_time(keeper, boats):
    """A microscope seldom changes."""
    assert sent_from(shown(keeper, boats, case=CASE))["um-per-px"] == [""]
    write_it(keeper, found(keeper, boats, **{"um-per-px": "0.5"}))
    assert sent_from(shown(keeper, boats, case=CASE))["um-per-px"] == ["0.5"]


def test_a_photo_whose_file_is_gone_says_so(keeper):
    """Where its cells are looked for."""
    sha256 = a_photo(png_of(drawn_picture([boat(80.0, 20.0)], seed=9)))
    photo_path(sha256).unlink()
    assert "The file is missing from this home" in found(keeper, f"/photos/{sha256}/cells/")
