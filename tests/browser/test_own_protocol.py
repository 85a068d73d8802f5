"""A protocol of the keeper's own, kept on a phone in headless Chromium, over a copy of the demo household."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import Server

pytestmark = pytest.mark.browser

NARROWEST = {"width": 360, "height": 740}


def test_a_protocol_is_begun_from_an_example_put_right_and_followed(
    page: Page, own_server: Server, axe: Callable[[], list[str]]
):
    """A copy is chosen, a slip is told with its line, nothing typed is lost, and a batch can then follow it."""
    page.set_viewport_size(NARROWEST)
    page.goto(f"{own_server.url}/write/")
    page.get_by_role("link", name="Keep a protocol of your own").tap()
    page.get_by_label("Begin with a copy of").select_option(label="Tank transfer")
    box = page.get_by_label("The protocol", exact=True)
    expect(box).to_have_value(re.compile("our_tank_transfer"))
    text = box.input_value()
    box.fill(text.replace("every_hours = 72.0", "every_hours = 96.0"))
    page.get_by_role("button", name="Keep").first.tap()
    expect(page.get_by_role("alert")).to_contain_text("moves 96 hours apart")
    expect(page.get_by_role("alert")).to_contain_text("every_hours = 96.0")
    assert axe() == []
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROWEST["width"]
    box = page.get_by_label("The protocol", exact=True)
    box.fill(box.input_value().replace("every_hours = 96.0", "every_hours = 60.0"))
    page.get_by_role("button", name="Keep").first.tap()
    expect(page.get_by_role("status")).to_contain_text("Written")
    page.goto(f"{own_server.url}/write/batch/")
    assert page.locator("option", has_text="Ours: Tank transfer").count() == 1
    assert axe() == []
