"""`/clips/…/`: cells followed on a clip once its scale is known, and the way into the ledger."""

import re
from functools import cache
from pathlib import Path

import pytest
from tests.builders.drawn_clips import DrawnClip, mp4_of
from tests.web.measuring.case import CASE, WRITE_IT, a_kept_clip, link_of, sent_from, shown, write_it
from tests.web.writing.household import newest, written_since

from pratique.ledger.photos import photo_path
from pratique.ledger.queries import entry_count

EXAMPLES = Path(__file__).parents[3] / "examples"


@pytest.fixture
def gliding(keeper) -> str:
    """Return the address of the clip of boats that ships as an example: 8 µm/s, at 0.8 µm to a pixel."""
    return f"/clips/{a_kept_clip((EXAMPLES / 'gliding.mp4').read_bytes())}/"


@cache
def resting() -> bytes:
    """Return a clip on which nothing moves."""
    return mp4_of(DrawnClip("still", 0.0, seed=1))


def followed(client, address: str, um_per_px: str, **given: str) -> str:
    """Return the page after its cells were followed."""
    return shown(client, address, follow="yes", **{"um-per-px": um_per_px}, **given)


def test_following_asks_for_the_scale(keeper, gliding):
    """A speed needs one; nothing is followed before, and the page just opened asks for nothing."""
    asked = "A speed needs a scale: how many µm one pixel of this clip is."
    assert asked not in shown(keeper, gliding)
    page = followed(keeper, gliding, " ")
    assert asked in page
    assert "The ways of the cells" not in page
    assert link_of(page, WRITE_IT) == ""


def test_how_the_cells_move_is_said_in_words_and_figures(keeper, gliding):
    """Boats glide; the middle speed is the true one, and each way is drawn."""
    page = followed(keeper, gliding, "0,8")
    assert "The cells glide slowly along their length." in page
    (speed,) = re.findall(r"The middle cell moves at ([\d.]+) µm/s", page)
    assert float(speed) == pytest.approx(8.0, rel=0.05)
    (count,) = re.findall(r"(\d+) cells were followed over 4\.0 seconds", page)
    assert page.count("<polyline") == int(count)


def test_the_movement_is_written_by_one_press(keeper, gliding):
    """With the clip, its scale and how long the sample had lain."""
    clip = newest()[0]
    before = entry_count()
    written = write_it(keeper, followed(keeper, gliding, "0.8", **{"minutes-old": "12"}))
    assert written_since(before) == 1
    assert (written.case, written.clip, written.manner) == (CASE, clip.raw["sha256"], "gliding")
    assert (written.um_per_px, written.minutes_old) == (0.8, 12.0)
    assert written.median_um_per_s == pytest.approx(8.0, rel=0.05)
    assert written.q05_um_per_s <= written.median_um_per_s <= written.q95_um_per_s
    assert written.tracks > 5
    assert written.moving_fraction > 0.8
    assert newest()[0].happened_at == clip.happened_at.replace(second=0, microsecond=0)


def test_cells_that_spin_are_told_from_cells_that_glide(keeper):
    """The other clip that ships."""
    address = f"/clips/{a_kept_clip((EXAMPLES / 'spinning.mp4').read_bytes())}/"
    page = followed(keeper, address, "1")
    assert "The cells spin on one point, as if tethered." in page
    assert write_it(keeper, page).manner == "spinning"


def test_cells_at_rest_come_with_the_caution_that_stale_cells_stop(keeper):
    """No movement is no evidence until the sample is known to be fresh."""
    page = followed(keeper, f"/clips/{a_kept_clip(resting())}/", "0.5")
    assert "The cells do not move." in page
    assert "No movement counts only where the sample is under 30 minutes old and as warm as the tank" in page


def test_a_clip_too_short_is_refused_in_a_sentence(keeper):
    """Five frames tell no way from noise; the sentence says how long is long enough."""
    short = mp4_of(DrawnClip("gliding", 8.0, seconds=0.2, seed=1))
    page = followed(keeper, f"/clips/{a_kept_clip(short)}/", "0.5")
    assert "This clip is too short: 5 frames in 0.2 s. Film five to ten seconds" in page
    assert link_of(page, WRITE_IT) == ""


def test_one_cell_is_one_cell(keeper):
    """The sentences count as people do; water that hardly drifted is not spoken of."""
    one = mp4_of(DrawnClip("gliding", 8.0, cells=1, seed=1))
    page = followed(keeper, f"/clips/{a_kept_clip(one)}/", "0.5")
    assert "1 cell was followed" in page
    assert "1 cells" not in page
    assert "drifted at 0.0" not in page


def test_a_clip_without_cells_is_refused_in_a_sentence(keeper):
    """Nothing is there to be followed."""
    empty = mp4_of(DrawnClip("gliding", 8.0, cells=0, seed=1))
    page = followed(keeper, f"/clips/{a_kept_clip(empty)}/", "0.5")
    assert "No cell could be followed for long enough." in page
    assert link_of(page, WRITE_IT) == ""


@pytest.mark.parametrize(
    ("um_per_px", "sentence"),
    [
        ("500", "A pixel of a microscope picture is 0.01 to 50 µm; 500 is not. Calibrate first."),
        ("0", "A pixel of a microscope picture is 0.01 to 50 µm; 0 is not."),
        ("-1", "A pixel of a microscope picture is 0.01 to 50 µm; -1 is not."),
        ("1e99", "A pixel of a microscope picture is 0.01 to 50 µm; 1e+99 is not."),
        ("one", "“one” is not a number; write it like 0.18 or 0,18."),
        ("1,234", "“1,234” can be read as 1234 or as 1.234"),
    ],
)
def test_a_scale_that_cannot_be_is_told_and_kept(keeper, gliding, um_per_px, sentence):
    """Nothing is followed by it, and nothing can be written."""
    page = followed(keeper, gliding, um_per_px, **{"minutes-old": "12"})
    assert sentence in page
    assert 'id="um-per-px-problem"' in page
    assert (sent_from(page)["um-per-px"], sent_from(page)["minutes-old"]) == ([um_per_px], ["12"])
    assert link_of(page, WRITE_IT) == ""


@pytest.mark.parametrize(
    ("minutes", "sentence"),
    [("-5", "0 or more, a day at most"), ("9000", "a day at most"), ("a while", "not a number")],
)
def test_an_age_that_cannot_be_is_told_and_kept(keeper, gliding, minutes, sentence):
    """It may be left empty, but not wrong: the movement is not offered to be written with it."""
    page = followed(keeper, gliding, "0.8", **{"minutes-old": minutes})
    assert sentence in page
    assert link_of(page, WRITE_IT) == ""
    assert sent_from(page)["minutes-old"] == [minutes]


def test_the_scale_of_the_last_measurement_stands_there_the_next_time(keeper, gliding):
    """Until another is typed."""
    write_it(keeper, followed(keeper, gliding, "0.8"))
    assert sent_from(shown(keeper, gliding, case=CASE))["um-per-px"] == ["0.8"]
    assert sent_from(shown(keeper, gliding, case=CASE, **{"um-per-px": ""}))["um-per-px"] == [""]


def test_a_clip_whose_file_is_gone_says_so(keeper):
    """The entry stays; its file comes back from an export."""
    sha256 = a_kept_clip(resting())
    photo_path(sha256).unlink()
    page = followed(keeper, f"/clips/{sha256}/", "0.4")
    assert "The file is missing from this home; restore it from an export." in page


def test_a_clip_nobody_wrote_of_is_not_found(keeper, gliding):
    """Neither is one that is no hash; and a clip is no photo to measure on."""
    for unknown in ("0" * 64, "nothing"):
        assert keeper.get(f"/clips/{unknown}/").status_code == 404
    assert keeper.get(gliding.replace("/clips/", "/photos/") + "cover/").status_code == 404
    assert keeper.post(gliding).status_code == 405


def test_the_page_of_the_growth_leads_here(keeper, gliding):
    """With the growth chosen."""
    assert f'href="{gliding}?case={CASE}"' in shown(keeper, f"/growths/{CASE}/")
