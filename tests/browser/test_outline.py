"""A body measured on a picture, with a thumb and with keys, on a phone in headless Chromium."""

import json
import math
import subprocess
import sys
from collections.abc import Callable
from io import BytesIO
from typing import Any

import pytest
from PIL import Image, ImageDraw
from playwright.sync_api import Page, expect
from tests.browser.conftest import Server, household_environment

pytestmark = pytest.mark.browser

WIDTH, HEIGHT = 800, 600
RATIO, LENGTH = 0.48, 600.0
TILT = math.radians(6.0)
# Where a thumb lands beside the point it means, in dots of the screen.
JITTER = ((0.6, -0.4), (-0.5, 0.5), (0.4, 0.6), (-0.6, -0.3))


def _at(along: float, off: float) -> tuple[float, float]:
    """Return a point of the fish, half lengths along its axis and off it, in pixels of the picture."""
    x, y = along * LENGTH / 2, off * LENGTH / 2
    return WIDTH / 2 + x * math.cos(TILT) - y * math.sin(TILT), HEIGHT / 2 + x * math.sin(TILT) + y * math.cos(TILT)


POINTS = (_at(-1, 0), _at(1, 0), _at(0, -RATIO), _at(0, RATIO))


def _drawn_fish() -> bytes:
    picture = Image.new("RGB", (WIDTH, HEIGHT), "#24506a")
    ink = ImageDraw.Draw(picture)
    ink.polygon([_at(0.96, 0.0), _at(1.2, 0.2), _at(1.2, -0.2)], fill="#d9b13b")
    ink.polygon([_at(math.cos(a / 60), RATIO * math.sin(a / 60)) for a in range(377)], fill="#e0c35a")
    out = BytesIO()
    picture.save(out, "PNG")
    return out.getvalue()


def written_entries(server: Server, count: int) -> list[dict[str, Any]]:
    said = subprocess.run(
        [sys.executable, "-m", "pratique", "ledger", "history", "--limit", str(count), "--json"],
        env=household_environment(server.home),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=True,
    )
    return [line["entry"] for line in json.loads(said.stdout)]


def _keep_picture(page: Page, server: Server) -> None:
    """Write the drawn fish down as a picture of the tang, and open the page to measure it."""
    page.goto(f"{server.url}/write/photo/?subjects=animal/tomini-bristletooth")
    page.locator("input[type=file]").set_input_files(
        {"name": "fish.png", "mimeType": "image/png", "buffer": _drawn_fish()}
    )
    page.get_by_role("button", name="Keep").first.click()
    page.goto(f"{server.url}/animals/tomini-bristletooth/")
    page.get_by_role("link", name="Measure it on the picture of").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Measure a body")


def test_four_taps_recover_the_depth_of_a_drawn_fish(page: Page, own_server: Server, axe: Callable[[], list[str]]):
    """Tapped up to a dot beside the points, depth over length is within 2 %; two presses more and it is written."""
    _keep_picture(page, own_server)
    drawing = page.locator("form.outline svg")
    drawing.scroll_into_view_if_needed()
    box = drawing.bounding_box()
    scale = box["width"] / WIDTH
    expect(page.locator("[data-next]")).to_have_text("Tap the picture: 1. Tip of the snout")
    for (x, y), (across, down) in zip(POINTS, JITTER, strict=True):
        drawing.tap(position={"x": x * scale + across, "y": y * scale + down})
    expect(page.locator("[data-next]")).to_have_text("All four are set. A tap moves: 4. Lowest point of the belly")
    expect(page.locator("#answer .gist")).to_contain_text("Depth over length 0.4")
    assert axe() == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390

    page.get_by_role("link", name="Write it into the ledger").click()
    page.get_by_role("button", name="Keep").first.click()
    expect(page.get_by_role("status")).to_contain_text("Written.")
    written = written_entries(own_server, 1)[0]["payload"]
    assert written["animal"] == "tomini-bristletooth"
    assert written["depth_over_length"] == pytest.approx(RATIO, rel=0.02)
    assert 0.0 < written["depth_over_length_plus_minus"] < 0.06


def test_keys_move_a_point_by_a_pixel(page: Page, own_server: Server):
    """Typed, then moved by the up and down keys; the mark on the picture moves along."""
    _keep_picture(page, own_server)
    for key, (x, y) in zip(("snout", "tail", "back", "belly"), POINTS, strict=True):
        page.locator(f"input[name={key}-across]").fill(str(round(x)))
        page.locator(f"input[name={key}-down]").fill(str(round(y)))
    down = page.locator("input[name=back-down]")
    before = int(down.input_value())
    down.press("ArrowUp")
    down.press("Shift+ArrowUp")
    expect(down).to_have_value(str(before - 11))
    mark = page.locator("[data-mark=back]")
    expect(mark).to_have_attribute("transform", f"translate({round(POINTS[2][0])} {before - 11})")
    expect(page.locator("#answer .gist")).to_contain_text("Depth over length 0.49")
    assert "back-down=" in page.url
