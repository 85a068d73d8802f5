"""What is seen of a growth, written by taps on pictures on a phone, over a copy of the demo household."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import Server

pytestmark = pytest.mark.browser

NARROWEST = {"width": 360, "height": 740}


def test_findings_are_tapped_and_turn_what_the_page_says(page: Page, own_server: Server, axe: Callable[[], list[str]]):
    """Boats that glide and turn back, and none that swim: the page then names pennate diatoms."""
    page.set_viewport_size(NARROWEST)
    page.goto(f"{own_server.url}/growths/brown-dust/")
    expect(page.locator(".gist")).to_contain_text("Not settled")
    page.get_by_role("link", name="Note what you see").tap()
    page.get_by_text("Under the microscope: what moves").tap()
    for words, answer in (("glide slowly along their length", "Yes"), ("swim freely off the glass", "No")):
        page.get_by_role("group", name=words).get_by_role("radio", name=answer, exact=True).tap()
    assert axe() == []
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROWEST["width"]
    page.get_by_role("button", name="Keep").first.tap()
    expect(page.get_by_role("status")).to_contain_text("Written")
    page.goto(f"{own_server.url}/growths/brown-dust/?opened=yes")
    expect(page.locator(".gist")).to_contain_text("pennate diatoms")
    expect(page.get_by_text("Weak evidence", exact=False).first).to_be_visible()
    assert axe() == []
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROWEST["width"]
