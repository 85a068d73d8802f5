"""The pages that are read, on a phone in headless Chromium, over the demo household."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.browser.conftest import Server

pytestmark = pytest.mark.browser

LISTS = ["/", "/systems/", "/animals/", "/passages/", "/growths/"]
SHEETS = [
    "/systems/lazaret/",
    "/systems/skerry/",
    "/animals/maiden-goby/",
    "/animals/six-line-wrasse/",
    "/animals/six-line-wrasse/introduction/",
    "/animals/six-line-wrasse/pass/",
    "/passages/b1/",
    "/courses/b1-copper/",
    "/courses/b2-copper/",
    "/growths/brown-dust/",
]
PAGES = [*LISTS, *SHEETS]
# Pairs of words in one drawing whose boxes overlap; three pixels of a line's height are empty.
OVERLAPPING_WORDS = """() => [...document.querySelectorAll('svg.chart')]
  .filter(svg => svg.getClientRects().length)
  .flatMap(svg => {
    const words = [...svg.querySelectorAll('text')].map(text => [text.textContent, text.getBoundingClientRect()]);
    const meet = (p, q) => p.left < q.right && q.left < p.right && p.top + 3 < q.bottom && q.top + 3 < p.bottom;
    return words.flatMap(([one, box], place) => words.slice(place + 1)
      .filter(([, other]) => meet(box, other)).map(([another]) => `${one} over ${another}`));
  })"""
NARROWEST = {"width": 360, "height": 740}


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", PAGES)
def test_every_page_can_be_read_by_everyone(
    page: Page, demo_server: Server, axe: Callable[[], list[str]], complaints: list[str], path: str, scheme: Any
):
    """axe finds nothing with all folds opened; nothing scrolls sideways on the narrowest phone; no request leaves."""
    page.emulate_media(color_scheme=scheme)
    page.goto(f"{demo_server.url}{path}?opened=yes")
    assert axe() == []
    page.set_viewport_size(NARROWEST)
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROWEST["width"]


@pytest.mark.parametrize("path", PAGES)
def test_every_page_works_without_script(browser: Browser, demo_server: Server, path: str):
    """Heading, pictures and tables are there with script switched off; a fold opens by itself."""
    context = browser.new_context(java_script_enabled=False, viewport=NARROWEST)
    page = context.new_page()
    page.goto(demo_server.url + path)
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    expect(page.get_by_role("button", name="Read values, look closer")).to_have_count(0)
    opened, folded = page.locator("main details[open]"), page.locator("main details:not([open]) > summary")
    before = opened.count()
    if folded.count():
        folded.first.click()
        expect(opened).to_have_count(before + 1)
    context.close()


def test_text_in_a_chart_is_large_enough_on_the_narrowest_phone(page: Page, demo_server: Server):
    """At 360 px no word in a chart is under 11 px high."""
    page.set_viewport_size(NARROWEST)
    page.goto(f"{demo_server.url}/systems/lazaret/")
    sizes = page.evaluate(
        """() => [...document.querySelectorAll('svg.for-phone text')].map(
            text => parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a)"""
    )
    assert len(sizes) > 20
    assert min(sizes) >= 11


def test_words_in_a_chart_do_not_run_into_each_other(page: Page, demo_server: Server):
    """Labels along the foot and up the side stand apart, at phone and at desk width."""
    for width in (360, 390, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        for path in ("/courses/b1-copper/", "/systems/skerry/", "/animals/six-line-wrasse/"):
            page.goto(demo_server.url + path)
            overlapping = page.evaluate(OVERLAPPING_WORDS)
            assert overlapping == [], (width, path)


def test_a_finger_reads_the_chart(page: Page, demo_server: Server, axe: Callable[[], list[str]], complaints: list[str]):
    """The live chart says day, level and range under the finger, comes closer, and gives the drawing back."""
    page.goto(f"{demo_server.url}/courses/b1-copper/")
    page.get_by_role("button", name="Read values, look closer").tap()
    over = page.locator(".u-over")
    box = over.bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    said = page.locator(".under-finger")
    expect(said).to_contain_text("level 0.")
    expect(said).to_contain_text("mg/L")
    page.get_by_role("button", name="Closer").tap()
    page.get_by_role("button", name="Wider").tap()
    assert axe() == []
    page.get_by_role("button", name="Back to the drawing").tap()
    expect(page.locator("svg.for-phone")).to_be_visible()
    expect(page.locator(".plot")).to_have_count(0)


def test_a_printed_page_has_everything_opened_and_no_bars(page: Page, demo_server: Server):
    """On paper the folds are open, the desk drawing stands, and next steps are lines to read."""
    page.goto(f"{demo_server.url}/courses/b1-copper/")
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    expect(page.locator("nav.bar")).to_be_hidden()
    expect(page.locator("svg.for-desk").first).to_be_visible()
    expect(page.locator("main details table").first).to_be_visible()
    page.emulate_media(media="screen")
    page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    expect(page.locator("main details[open]")).to_have_count(0)


def test_a_printed_system_is_a_sheet_to_carry(page: Page, demo_server: Server):
    """Each level is on paper as its picture; the figures under it only where somebody unfolded them."""
    page.goto(f"{demo_server.url}/systems/lazaret/")
    unfolded = page.locator("figure.picture", has_text="As a table: Copper in Lazaret").locator("details").last
    unfolded.locator("summary").tap()
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    expect(page.locator(".charts svg.for-desk").first).to_be_visible()
    expect(unfolded.locator("table").first).to_be_visible()
    assert page.locator(".charts .picture table").filter(visible=True).count() == unfolded.locator("table").count()


def test_yesterday_is_one_tap_away(page: Page, demo_server: Server):
    """From the rounds to yesterday and back to now."""
    page.goto(f"{demo_server.url}/")
    page.get_by_role("link", name="Yesterday").tap()
    expect(page.get_by_text("As it stood at the end of")).to_be_visible()
    page.get_by_role("link", name="Show it as it is now").tap()
    expect(page.get_by_text("As it stood at the end of")).to_have_count(0)
