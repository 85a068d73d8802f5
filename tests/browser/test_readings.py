"""The scale of a pH and a hydrometer's number, on a phone in headless Chromium, over a copy of the demo household."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import Server

pytestmark = pytest.mark.browser


def test_another_scale_of_ph_is_chosen_under_its_name(page: Page, own_server: Server, axe: Callable[[], list[str]]):
    """NBS goes without saying; another scale is said under the name, and in the entry."""
    page.goto(f"{own_server.url}/write/readings/?system=skerry")
    row = page.locator(".reading", has=page.get_by_label("pH", exact=True))
    how = row.locator("[data-how]")
    said = how.inner_text()
    row.locator("summary").tap()
    expect(row.get_by_label("Scale")).to_have_value("nbs")
    row.get_by_label("Scale").select_option("Total scale")
    expect(how).to_contain_text("Total scale")
    assert axe() == []
    page.set_viewport_size({"width": 360, "height": 740})
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    row.get_by_label("Scale").select_option("nbs")
    expect(how).to_have_text(said)
    row.get_by_label("Scale").select_option("total")
    page.get_by_label("pH", exact=True).fill("8.05")
    page.get_by_role("button", name="Keep 1").tap()
    expect(page.get_by_text("on the total scale").first).to_be_visible()


def test_a_specific_gravity_leads_to_the_bench(page: Page, own_server: Server, axe: Callable[[], list[str]]):
    """One tap from the sentence that says what is wrong."""
    page.goto(f"{own_server.url}/write/readings/?system=skerry")
    page.get_by_label("Salinity", exact=True).fill("1.025")
    page.get_by_role("button", name="Keep").tap()
    problem = page.locator("#field-salinity-problem")
    expect(problem).to_contain_text("1.025 looks like a specific gravity")
    assert axe() == []
    problem.get_by_role("link", name="Open the bench").tap()
    expect(page).to_have_url(f"{own_server.url}/bench/salinity/")
