"""Passages compared on a phone in headless Chromium, over the demo household."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import Server

pytestmark = pytest.mark.browser

PAGE = "/passages/compare/"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("query", ["?opened=1", "?batch=b2&opened=1", "?protocol=copper-30&species=unicorn&opened=1"])
def test_the_comparison_can_be_read_by_everyone(
    page: Page, demo_server: Server, axe: Callable[[], list[str]], complaints: list[str], query: str, scheme: Any
):
    """axe finds nothing with all folds opened; nothing scrolls sideways on the narrowest phone; no request leaves."""
    page.emulate_media(color_scheme=scheme)
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(demo_server.url + PAGE + query)
    assert axe() == []
    width = page.evaluate("() => document.documentElement.scrollWidth")
    assert width <= 360


def test_a_keeper_chooses_passages_and_a_fish_and_sees_them_side_by_side(page: Page, demo_server: Server):
    """The answer lies in the address, so that a link holds it."""
    page.goto(demo_server.url + PAGE)
    page.get_by_text("All kinds").click()
    page.get_by_label("Yellow tang").check()
    page.get_by_role("button", name="Compare").click()
    expect(page.locator("svg.curves:visible .curve")).to_have_count(3)
    expect(page.get_by_role("heading", name="Side by side")).to_be_visible()
    assert "species=yellow_tang" in page.url


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("query", ["?system=skerry&opened=1", "?temperature=70"])
def test_a_tank_without_fish_can_be_read_by_everyone(
    page: Page, demo_server: Server, axe: Callable[[], list[str]], complaints: list[str], query: str, scheme: Any
):
    """As the comparison: axe finds nothing, and nothing scrolls sideways on the narrowest phone."""
    page.emulate_media(color_scheme=scheme)
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"{demo_server.url}/passages/fallow/{query}")
    assert axe() == []
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 360
