"""Cover, cells and movement measured by touch on a phone, over a copy of the demo household."""

import json
import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import ROOT, Server
from tests.browser.test_outline import written_entries
from tests.builders.drawn_cells import boat, drawn_picture
from tests.builders.pictures import png_of

from pratique.demo.drawn import sand

pytestmark = pytest.mark.browser

# Where a thumb lands beside the point it means, in dots of the screen.
JITTER = ((0.6, -0.4), (-0.5, 0.5), (0.4, 0.6), (-0.6, -0.3))
BOATS, UM_PER_PX, LENGTH_PX = 6, 0.5, 90.0


@pytest.fixture
def tap(page: Page) -> Callable[[float, float], None]:
    """Return a function that taps the drawing at a pixel of its picture, a little beside it as thumbs do."""
    count = 0

    def tapped(x: float, y: float) -> None:
        nonlocal count
        drawing = page.locator("form.outline figure svg")
        drawing.scroll_into_view_if_needed()
        box = drawing.bounding_box()
        width = float(str(drawing.get_attribute("viewBox")).split()[2])
        across, down = JITTER[count % len(JITTER)]
        count += 1
        drawing.tap(position={"x": x * box["width"] / width + across, "y": y * box["width"] / width + down})

    return tapped


@pytest.fixture
def is_sound(page: Page, axe: Callable[[], list[str]]) -> Callable[[], None]:
    """Return a function that fails where the page is wider than the phone or axe finds something."""

    def looked() -> None:
        assert axe() == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 390

    return looked


def upload(page: Page, server: Server, form: str, file: Path | dict[str, Any]) -> None:
    """Write a file down as a photo or clip of the brown dust."""
    page.goto(f"{server.url}/write/{form}/?subjects=case/brown-dust")
    page.locator("input[type=file]").set_input_files(file)
    page.get_by_role("button", name="Keep").first.tap()
    expect(page.get_by_role("status")).to_contain_text("Written")
    page.goto(f"{server.url}/growths/brown-dust/")


def keep_answer(page: Page, server: Server) -> dict[str, Any]:
    """Press what writes the answer down, keep it, and return what was written."""
    page.get_by_role("link", name="Write it into the ledger").tap()
    page.get_by_role("button", name="Keep").first.tap()
    expect(page.get_by_role("status")).to_contain_text("Written")
    return written_entries(server, 1)[0]["payload"]


def choose(page: Page, words: str) -> None:
    """Choose what the next tap marks."""
    page.get_by_role("group", name="The next tap marks").get_by_role("radio", name=words, exact=True).tap()


def test_dabs_on_the_demos_newest_photo_give_its_cover(page: Page, own_server: Server, tap, is_sound):
    """Four corners, a few dabs of each kind; the answer is near what the marks of the first photo give."""
    page.goto(f"{own_server.url}/growths/brown-dust/")
    page.get_by_text("Earlier photos").tap()
    page.get_by_role("link", name="Measure Cover on the photo of").last.tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Measure cover")
    marks = json.loads(sand().marks)
    for corner in marks["region"]:
        tap(*corner)
    for kind, dabs in marks["dabs"].items():
        choose(page, kind.capitalize())
        for x, y, _ in dabs:
            tap(x, y)
    choose(page, "Something white")
    tap(*marks["white"][:2])
    page.get_by_role("button", name="Measure", exact=True).tap()
    expect(page.get_by_role("link", name="Write it into the ledger")).to_be_visible()
    is_sound()
    page.get_by_role("button", name="Show rock").tap()
    expect(page.get_by_role("img", name=re.compile("taken for rock"))).to_be_visible()
    written = keep_answer(page, own_server)
    told = {one["name"]: one for one in written["shares"]}
    for share in sand().shares["first"]:
        assert told[share.name]["fraction"] == pytest.approx(share.fraction, abs=0.03)
    assert json.loads(written["marks"])["dabs"].keys() == marks["dabs"].keys()


def test_the_newest_photo_is_measured_by_the_marks_of_an_earlier_one(page: Page, own_server: Server, is_sound):
    """One tap: they are laid over it."""
    page.goto(f"{own_server.url}/growths/brown-dust/")
    page.get_by_role("link", name="Measure Cover on the photo of").first.tap()
    page.get_by_role("link", name="Use the marks of").tap()
    expect(page.get_by_text("laid over this one")).to_be_visible()
    is_sound()
    (brown,) = (one for one in keep_answer(page, own_server)["shares"] if one["name"] == "brown")
    assert 0.2 < brown["low"] < brown["high"] < 0.35


def drawn_still() -> np.ndarray:
    """Return boats of 90 pixels, and two lines of a micrometer 400 pixels apart along the top."""
    still = drawn_picture([boat(LENGTH_PX, 22.0) for _ in range(BOATS)], seed=4, side_px=(480, 640))
    margin = drawn_picture([], seed=5, side_px=(120, 640))[:60]
    for x in (100, 500):
        cv2.line(margin, (x, 10), (x, 50), 60, 2)
    return np.vstack([margin, still])


def test_a_scale_and_a_cell_are_measured_by_four_taps(page: Page, own_server: Server, tap, is_sound):
    """Twenty divisions lie between the lines; both ends of one boat are tapped, then the others are found."""
    still = drawn_still()
    upload(page, own_server, "photo", {"name": "a.png", "mimeType": "image/png", "buffer": png_of(still)})
    page.get_by_role("link", name="Measure Cells on the photo of").first.tap()
    tap(100, 30)
    tap(500, 30)
    page.get_by_label("Divisions between the two ends").fill("20")
    choose(page, "An end of a cell")
    for end in ends_of_a_boat(still):
        tap(*end)
    page.get_by_role("button", name="Measure my taps only").tap()
    expect(page.locator("#answer .gist")).to_contain_text("The middle cell is 4")
    is_sound()
    assert keep_answer(page, own_server)["lengths_um"] == [pytest.approx(UM_PER_PX * LENGTH_PX, rel=0.05)]


def test_found_cells_are_left_out_by_a_tap(page: Page, own_server: Server, tap, is_sound):
    """A tap on the picture does what its box below does; the others give the answer."""
    still = drawn_still()
    upload(page, own_server, "photo", {"name": "a.png", "mimeType": "image/png", "buffer": png_of(still)})
    page.get_by_role("link", name="Measure Cells on the photo of").first.tap()
    page.get_by_label("Or: µm to a pixel").fill("0,5")
    page.get_by_role("button", name="Find the cells").tap()
    boxes = page.get_by_role("group", name="Leave out what is no cell").get_by_role("checkbox")
    expect(boxes).to_have_count(BOATS)
    first, second = ends_of_a_boat(still)
    tap((first[0] + second[0]) / 2, (first[1] + second[1]) / 2)
    expect(page.locator("input[data-reject]:checked")).to_have_count(1)
    page.get_by_role("button", name="Measure without those").tap()
    expect(page.locator("[data-cell].rejected")).to_have_count(1)
    is_sound()
    lengths = keep_answer(page, own_server)["lengths_um"]
    assert len(lengths) == BOATS - 1
    assert sorted(lengths)[len(lengths) // 2] == pytest.approx(UM_PER_PX * LENGTH_PX, rel=0.05)


def ends_of_a_boat(still: np.ndarray) -> Sequence[tuple[float, float]]:
    """Return both ends of one drawn boat, by the largest dark patch below the margin."""
    dark = (cv2.GaussianBlur(still, (0, 0), 2) < 140).astype(np.uint8)
    dark[:60] = 0
    _, labels, stats, _ = cv2.connectedComponentsWithStats(dark)
    largest = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
    (x, y), (wide, tall), turn = cv2.minAreaRect(np.argwhere(labels == largest)[:, ::-1].astype(np.float32))
    along = np.deg2rad(turn if wide > tall else turn + 90)
    half = LENGTH_PX / 2
    return [(x + side * half * np.cos(along), y + side * half * np.sin(along)) for side in (-1.0, 1.0)]


@pytest.mark.parametrize(
    ("clip", "says", "verdict"),
    [
        ("gliding.mp4", "glide slowly along their length", "pennate diatoms"),
        ("spinning.mp4", "spin on one point", "Ostreopsis|Coolia|Amphidinium|Prorocentrum|Gambierdiscus"),
    ],
)
def test_a_clip_turns_what_the_page_says(page: Page, own_server: Server, is_sound, clip, says, verdict):
    """Uploaded, followed and written down, all by taps: boats turn it one way, spinning drops the other."""
    upload(page, own_server, "clip", ROOT / "examples" / clip)
    expect(page.locator(".gist")).to_contain_text("Not settled")
    page.get_by_role("link", name="follow its cells").tap()
    page.get_by_label("µm to a pixel of this clip").fill("1")
    page.get_by_role("button", name="Follow the cells").tap()
    expect(page.locator("#answer .gist")).to_contain_text(says)
    is_sound()
    keep_answer(page, own_server)
    page.goto(f"{own_server.url}/growths/brown-dust/")
    expect(page.locator("h1 + .gist")).to_have_text(re.compile(verdict))
    is_sound()


def test_forty_points_are_judged_with_a_thumb(page: Page, own_server: Server, is_sound):
    """One enlarged point at a time; the shares go into the ledger."""
    page.goto(f"{own_server.url}/growths/brown-dust/")
    page.get_by_role("link", name="Measure Cover on the photo of").first.tap()
    page.get_by_role("link", name="Say what lies under forty points").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("What is under the cross?")
    is_sound()
    for number in range(40):
        expect(page.get_by_text(f"Point {number + 1} of 40.")).to_be_visible()
        page.get_by_role("button", name="Brown" if number % 4 == 0 else "Sand", exact=True).tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Judge points")
    is_sound()
    written = keep_answer(page, own_server)
    assert {one["name"]: one["fraction"] for one in written["shares"]} == {"sand": 0.75, "brown": 0.25}
