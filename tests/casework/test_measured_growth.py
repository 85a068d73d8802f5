"""What was measured of the demo's brown dust: it turns the page, or says nothing where it must not."""

from functools import cache
from pathlib import Path
from uuid import UUID

import pytest
from tests.casework.dust import CASE, page, write
from tests.casework.test_growth_page import DINOFLAGELLATES

from pratique.casework.measuring.clips import measure_clip
from pratique.casework.sheets import GrowthSheet
from pratique.casework.sheets.growth import WhyLine
from pratique.ledger.kinds.care import Finding, Withdrawal
from pratique.ledger.kinds.measured import Cells, Motion

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("harbour_row")]

EXAMPLES = Path(__file__).parents[2] / "examples"


def why(entry: UUID) -> tuple[WhyLine, ...]:
    """Return the reasons that lead to an entry."""
    return tuple(one for one in page().why if one.entry == entry)


def chances(sheet: GrowthSheet) -> dict[str, float]:
    """Return how likely each candidate is."""
    return {one.key: one.chance for one in sheet.candidates}


@cache
def motion_on(clip: str) -> Motion:
    """Return how cells move on a clip that ships, measured at one µm to a pixel, as it is written down."""
    found = measure_clip((EXAMPLES / clip).read_bytes(), 1.0).found
    return Motion(
        case=CASE,
        manner=found.manner,
        median_um_per_s=found.median_um_per_s,
        q05_um_per_s=found.q05_um_per_s,
        q95_um_per_s=found.q95_um_per_s,
        moving_fraction=found.moving_fraction,
        tracks=len(found.tracks),
        um_per_px=1.0,
    )


def moving(manner: str, **more: float) -> Motion:
    """Return a movement typed by hand."""
    return Motion.model_validate({"case": CASE, "manner": manner, **more})


@pytest.fixture(scope="module")
def before(harbour_row) -> GrowthSheet:
    """Return the page before anything was measured under the microscope."""
    return page()


def test_boats_that_glide_turn_it_to_pennate_diatoms(before):
    """Before, they are none of the first three; the reason leads to the entry of the clip."""
    assert "pennate_diatoms" not in [one.key for one in before.candidates[:3]]
    entry = write(motion_on("gliding.mp4"))
    after = page()
    assert after.candidates[0].key == "pennate_diatoms"
    assert "pennate diatoms" in after.gist
    assert after.why[0].words.startswith("Cells glide, the middle one at 9.9")
    assert {one.entry for one in after.why if "glide" in one.words} == {entry}


def test_drops_that_spin_turn_it_to_a_dinoflagellate(before):
    """Pennate diatoms, which never spin, become less likely than they were."""
    write(motion_on("spinning.mp4"))
    after = page()
    assert after.candidates[0].key in DINOFLAGELLATES
    assert chances(after)["pennate_diatoms"] < chances(before)["pennate_diatoms"]
    assert any("spin or swing on one point" in one.words and one.words.startswith("Yes") for one in after.why)


@pytest.mark.parametrize("clip", ["gliding.mp4", "spinning.mp4"])
def test_withdrawing_the_clips_entry_turns_the_page_back(before, clip):
    """To exactly what it was, every word and number of it."""
    entry = write(motion_on(clip))
    assert page() != before
    write(Withdrawal(words="another slide"), withdraws=entry, hours_ago=1)
    assert page() == before


def test_the_newest_clip_counts():
    """A second look at a better slide takes the place of the first."""
    first = write(motion_on("spinning.mp4"), hours_ago=3)
    write(motion_on("gliding.mp4"), hours_ago=2)
    assert page().candidates[0].key == "pennate_diatoms"
    assert why(first) == ()


@pytest.mark.parametrize(
    "told",
    [
        moving("still", tracks=12),
        moving("still", tracks=12, minutes_old=45.0),
        moving("gliding", tracks=3, median_um_per_s=8.0),
        moving("spinning", tracks=4),
        moving("not told", tracks=12, median_um_per_s=28.0),
    ],
    ids=["still, of no known age", "still, and old", "three that glide", "four that spin", "not told"],
)
def test_what_cannot_speak_says_nothing(before, told):
    """Cold and stale cells stop, and few cells are not the many: the verdict stays, and the reason says why."""
    entry = write(told)
    after = page()
    (line,) = why(entry)
    assert line.says.startswith("Says nothing")
    assert (after.candidates, after.gist, after.contradictions) == (before.candidates, before.gist, ())
    assert after.why == (line, *before.why)


@pytest.mark.parametrize(
    ("told", "reason"),
    [
        (moving("still", tracks=12), "cold or stale cells stop moving. Only a sample under 30 minutes old"),
        (moving("swimming", tracks=4), "too few cells were followed"),
        (moving("still", tracks=3, minutes_old=10.0), "too few cells were followed"),
    ],
)
def test_why_it_says_nothing_is_told(told, reason):
    """So that the next clip is a better one."""
    (line,) = why(write(told))
    assert reason in line.says


def test_a_fresh_sample_at_rest_speaks_against_all_that_moves(before):
    """Ten minutes old: gliders, swimmers and those that spin all lose, detritus gains."""
    write(moving("still", tracks=12, minutes_old=10.0))
    after = chances(page())
    for mover in ("pennate_diatoms", "small_amphidinium", "large_amphidinium", "ostreopsis"):
        assert after[mover] < chances(before)[mover]
    assert page().candidates[0].key == "detritus"


@pytest.mark.parametrize(
    ("lengths_um", "gains", "loses"),
    [
        ((13.0, 15.0, 18.0), "small_amphidinium", "ostreopsis"),
        ((48.0, 50.0, 55.0), "prorocentrum", "bacterial_film"),
        ((0.6, 0.7), "bacterial_film", "pennate_diatoms"),
    ],
)
def test_the_cells_sizes_speak_for_and_against(before, lengths_um, gains, loses):
    """By the ranges of the reference table: Amphidinium carterae is 11 to 24 µm long, Ostreopsis 36 and more."""
    names = {one.key: one.name for one in before.candidates}
    entry = write(Cells(case=CASE, lengths_um=lengths_um))
    (line,) = why(entry)
    speaks_for, _, against = line.says.partition(", and against ")
    assert speaks_for.startswith("Speaks for ")
    assert names[gains].casefold() in speaks_for.casefold()
    assert names[loses].casefold() in against.casefold()
    assert chances(page())[gains] > chances(before)[gains]
    assert chances(page())[loses] < chances(before)[loses]


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        (Cells(case=CASE, lengths_um=(14.0,)), "One cell measured, 14.0 µm long"),
        (Cells(case=CASE, lengths_um=(12.0, 14.0, 19.0)), "3 cells measured, the middle one 14.0 µm long"),
        (
            Cells(case=CASE, lengths_um=(12.0, 14.0, 20.0), widths_um=(6.0, 7.0, 5.0)),
            "3 cells measured, the middle one 14.0 µm long and 2.0 times as long as wide",
        ),
    ],
)
def test_measured_cells_are_told_in_words(cells, words):
    """How many, how long, and their form where their width was taken."""
    (line,) = why(write(cells))
    assert line.words.replace("\u202f", " ") == words


def test_sizes_and_movement_speak_together(before):
    """Boats of 60 µm that glide: the same verdict as by the movement alone."""
    write(Cells(case=CASE, lengths_um=(55.0, 60.0, 66.0)), hours_ago=3)
    write(motion_on("gliding.mp4"), hours_ago=2)
    after = page()
    assert after.candidates[0].key == "pennate_diatoms"
    assert [one.words.split()[0] for one in after.why[:2]] == ["3", "Cells"]
    assert chances(after)["bacterial_film"] < chances(before)["bacterial_film"]


@pytest.mark.parametrize(("hours_ago", "leading"), [(3.0, "clip"), (1.0, "keeper")])
def test_the_newer_of_a_clip_and_a_look_by_eye_counts(hours_ago, leading):
    """A yes by eye to gliding gives way to a clip on which cells spin, unless the keeper looked again since."""
    clip = write(motion_on("spinning.mp4"), hours_ago=2)
    look = write(Finding(case=CASE, finding="glide_and_reverse", state="present"), hours_ago=hours_ago)
    (line,) = (one for one in page().why if "Cells glide slowly" in one.words)
    expected = {"clip": ("No", clip), "keeper": ("Yes", look)}[leading]
    assert (line.words.split(":")[0], line.entry) == expected
    (said,) = (one for one in page().contradictions if "the cells followed say" in one)
    assert "was noted as yes, and the cells followed say no" in said
    assert f"the {'clip' if leading == 'clip' else 'note'}." in said


def test_a_look_by_eye_that_says_what_the_clip_says_is_no_contradiction():
    """Neither is one that was taken back."""
    write(motion_on("spinning.mp4"), hours_ago=2)
    write(Finding(case=CASE, finding="spin_on_a_point", state="present"), hours_ago=1)
    gliding = write(Finding(case=CASE, finding="glide_and_reverse", state="present"), hours_ago=0.8)
    assert any("the cells followed say" in one for one in page().contradictions)
    write(Withdrawal(words="it drifted"), withdraws=gliding, hours_ago=0.5)
    assert not any("the cells followed say" in one for one in page().contradictions)
