"""The pages on which entries are written, on a phone in headless Chromium, over a copy of the demo household."""

import json
import subprocess
import sys
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from tests.browser.conftest import Server, household_environment

from pratique.casework.writing.forms import FORMS

pytestmark = pytest.mark.browser

MOST_TAPS = 25
NARROWEST = {"width": 360, "height": 740}
PAGES = [
    "/write/",
    "/write/readings/?system=lazaret",
    "/write/feeding/?system=haven",
    "/write/feeding/",
    "/write/dose/?stock=copper-stock",
    *(f"/write/{name}/" for name in FORMS if name not in {"feeding", "dose"}),
    "/ledger/",
    "/more/",
    "/settings/",
    "/settings/author/",
    "/nowhere/",
]
STEPS = ["eager", "steady", "takes a few", "looks, spits", "steady", "eager"]


class Thumb:
    """One thumb that counts its taps; typing a number counts as one."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.taps = 0

    def tap(self, target: Locator) -> None:
        """Tap something."""
        target.tap()
        self.taps += 1

    def type(self, target: Locator, number: str) -> None:
        """Type a number into a box."""
        target.fill(number)
        self.taps += 1


@pytest.fixture
def complaints(page: Page) -> Iterator[list[str]]:
    """Collect what the console and the page complain of, and every request that leaves this machine."""
    found: list[str] = []
    page.on("console", lambda said: found.append(said.text) if said.type in {"error", "warning"} else None)
    page.on("pageerror", lambda error: found.append(str(error)))
    page.on(
        "request",
        lambda asked: (
            None if asked.url.startswith(("http://127.0.0.1:", "data:", "blob:")) else found.append(asked.url)
        ),
    )
    yield found
    # A page that says what is wrong has its status; the browser repeats it, and that is no complaint of ours.
    assert [one for one in found if "the server responded with a status of 4" not in one] == []


def _entries(server: Server, count: int) -> list[dict[str, Any]]:
    """Return the entries recorded last, the last first, as another process reads them."""
    said = subprocess.run(
        [sys.executable, "-m", "pratique", "ledger", "history", "--limit", str(count), "--json"],
        env=household_environment(server.home),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=True,
    )
    return [line["entry"] for line in json.loads(said.stdout)]


def test_a_round_of_readings_and_six_animals_takes_few_taps(page: Page, own_server: Server, complaints: list[str]):
    """From the rounds: three readings in Lazaret and six animals fed in three places, in at most 25 taps."""
    thumb = Thumb(page)
    page.goto(f"{own_server.url}/")
    bar = page.get_by_role("navigation", name="Main")

    thumb.tap(bar.get_by_role("link", name="Write"))
    thumb.tap(page.get_by_role("link", name="Readings in Lazaret"))
    thumb.type(page.get_by_label("Copper", exact=True), "0.02")
    thumb.type(page.get_by_label("pH", exact=True), "8.1")
    thumb.type(page.get_by_label("Temperature", exact=True), "25.4")
    thumb.tap(page.get_by_role("button", name="Keep 3"))
    expect(page.get_by_role("status")).to_contain_text("Written: 3 entries.")

    thumb.tap(bar.get_by_role("link", name="Write"))
    thumb.tap(page.get_by_role("link", name="Feed everyone"))
    names = ["Royal gramma", "Two-spined angelfish", "Banggai pair", "Maiden goby", "Six-line wrasse"]
    for name, step in zip([*names, "Tomini bristletooth"], STEPS, strict=True):
        animal = page.get_by_role("group", name=name)
        thumb.tap(animal.locator("label", has_text=step))
    thumb.tap(page.get_by_role("button", name="Keep 6 of 8"))
    expect(page.get_by_role("status")).to_contain_text("Written: 3 entries.")

    written = _entries(own_server, 6)
    assert [entry["kind"] for entry in written] == ["feeding"] * 3 + ["reading"] * 3
    assert sum(len(entry["payload"]["fed"]) for entry in written[:3]) == 6
    assert thumb.taps <= MOST_TAPS
    assert complaints == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_page_of_writing_is_for_everyone(
    page: Page, demo_server: Server, axe: Callable[[], list[str]], complaints: list[str], scheme: Any
):
    """axe finds nothing; nothing scrolls sideways on the narrowest phone; no request leaves the origin."""
    page.emulate_media(color_scheme=scheme)
    for path in PAGES:
        page.goto(demo_server.url + path)
        assert axe() == [], path
        page.set_viewport_size(NARROWEST)
        assert page.evaluate("document.documentElement.scrollWidth") <= NARROWEST["width"], path
        page.set_viewport_size({"width": 390, "height": 844})


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_page_that_says_what_is_wrong_is_for_everyone(
    page: Page, demo_server: Server, axe: Callable[[], list[str]], complaints: list[str], scheme: Any
):
    """The summary has the focus, its link leads to the box, and axe finds nothing; a question is the same."""
    page.emulate_media(color_scheme=scheme)
    page.goto(f"{demo_server.url}/write/readings/?system=lazaret")
    page.get_by_label("Salinity", exact=True).fill("350")
    page.get_by_role("button", name="Keep").tap()
    summary = page.get_by_role("alert")
    expect(summary).to_contain_text("Salinity of 350 cannot be")
    expect(summary).to_be_focused()
    assert axe() == []
    summary.get_by_role("link", name="Salinity").tap()
    box = page.get_by_label("Salinity", exact=True)
    expect(box).to_have_value("350")
    expect(box).to_have_attribute("aria-invalid", "true")
    box.fill("50")
    page.get_by_role("button", name="Keep").tap()
    expect(page.get_by_role("button", name="Yes, write it")).to_be_visible()
    assert axe() == []


def test_a_double_tap_writes_one_entry(page: Page, own_server: Server, complaints: list[str]):
    """Two taps before the page has gone send it once."""
    page.goto(f"{own_server.url}/write/readings/?system=lazaret")
    before = page.locator("input[name=entry_id]").input_value()
    page.get_by_label("pH", exact=True).fill("8.11")
    page.get_by_role("button", name="Keep").dblclick()
    expect(page.get_by_role("status")).to_contain_text("Written.")
    written = _entries(own_server, 2)
    assert written[0]["payload"]["value"] == 8.11
    assert written[1]["payload"].get("value") != 8.11
    assert written[0]["id"] == before


def test_the_phone_makes_the_id(page: Page, demo_server: Server):
    """Where the script runs, the id is the phone's own UUIDv7 (RFC 9562) and not the one the server sent."""
    page.goto(f"{demo_server.url}/write/note/")
    field = page.locator("input[name=entry_id]")
    expect(field).not_to_have_attribute("data-fresh", "")
    assert field.input_value()[14] == "7"


def test_a_slip_of_the_thumb_is_taken_back(page: Page, demo_server: Server):
    """A chosen word tapped again is taken back: not seen."""
    page.goto(f"{demo_server.url}/write/feeding/?system=haven")
    word = page.get_by_role("group", name="Maiden goby").locator("label", has_text="steady")
    word.tap()
    expect(page.get_by_role("button", name="Keep 1 of 2")).to_be_visible()
    word.tap()
    expect(page.get_by_role("button", name="Keep", exact=True)).to_be_visible()
    assert page.locator("input:checked[type=radio]").count() == 0


def test_undo_is_one_tap_after_writing(page: Page, own_server: Server, complaints: list[str]):
    """The message after writing carries the button."""
    page.goto(f"{own_server.url}/write/note/")
    page.get_by_label("Words").fill("a quiet evening")
    page.get_by_role("button", name="Keep").tap()
    page.get_by_role("button", name="Undo").tap()
    expect(page.get_by_role("status")).to_contain_text("Undone.")
    assert _entries(own_server, 1)[0]["kind"] == "withdrawal"


def test_a_stock_chosen_draws_the_dose_anew(page: Page, demo_server: Server, complaints: list[str]):
    """The unit follows the bottle, the cautions appear, and what was typed stays."""
    page.goto(f"{demo_server.url}/write/dose/")
    page.get_by_label("Amount", exact=True).fill("4.6")
    stock = page.get_by_role("group", name="Stock solution")
    stock.locator("label").nth(1).tap()
    expect(page.get_by_label("Unit of Amount")).to_have_value("mL")
    expect(page.get_by_label("Amount", exact=True)).to_have_value("4.6")
    expect(page.locator(".caution p")).not_to_have_count(0)


def test_the_ledger_grows_downwards(page: Page, demo_server: Server, complaints: list[str]):
    """Older entries are put below those shown, without leaving the page."""
    page.goto(f"{demo_server.url}/ledger/")
    lines = page.locator(".line")
    shown = lines.count()
    page.get_by_role("link", name="Older").tap()
    expect(lines).to_have_count(2 * shown)
    page.get_by_role("link", name="Older").tap()
    expect(lines).to_have_count(3 * shown)
    assert page.url.endswith("/ledger/")


def test_writing_works_without_script(browser: Browser, own_server: Server):
    """Readings, feeding, a dose drawn anew and a withdrawal need no script."""
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{own_server.url}/write/readings/?system=lazaret")
    page.get_by_label("pH", exact=True).fill("8.12")
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("status")).to_contain_text("Written.")
    page.goto(f"{own_server.url}/write/feeding/?system=haven")
    page.get_by_role("group", name="Maiden goby").get_by_label("steady").check(force=True)
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("status")).to_contain_text("Written.")
    page.goto(f"{own_server.url}/write/dose/")
    page.get_by_role("group", name="Stock solution").get_by_role("radio").nth(1).check(force=True)
    page.get_by_role("button", name="Show what this asks").first.click()
    expect(page.get_by_label("Unit of Amount")).to_have_value("mL")
    entry = _entries(own_server, 1)[0]["id"]
    page.goto(f"{own_server.url}/entries/{entry}/withdraw/")
    page.get_by_label("Why, in a few words").fill("another tank")
    page.get_by_role("button", name="Withdraw it").click()
    expect(page.get_by_text("another tank")).to_be_visible()
    context.close()


def test_a_new_household_is_welcomed(page: Page, tmp_path: Any, axe: Callable[[], list[str]], complaints: list[str]):
    """From nothing to a household with one system, on the phone."""
    server = Server(tmp_path / "fresh")
    server.start()
    try:
        page.goto(server.url)
        assert axe() == []
        page.get_by_label("Name of the household").fill("Harbour Row")
        page.get_by_label("Time zone").fill("Europe/London")
        page.get_by_role("button", name="Keep").tap()
        page.get_by_label("Name", exact=True).fill("Skerry")
        page.locator("label", has_text="Display").tap()
        page.get_by_label("Gross volume, sump included", exact=True).fill("480")
        assert axe() == []
        page.get_by_role("button", name="Keep").tap()
        expect(page.get_by_role("heading", name="Harbour Row is set up")).to_be_visible()
        assert axe() == []
        page.get_by_role("link", name="To the rounds").tap()
        expect(page.get_by_role("heading", level=1)).to_be_visible()
    finally:
        server.stop()
