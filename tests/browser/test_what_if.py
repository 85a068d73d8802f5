"""Trying a dose before it is given, on a phone in headless Chromium, over the demo household."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from tests.browser.conftest import Server

pytestmark = pytest.mark.browser

PAGE = "/systems/skerry/alkalinity/"
NARROWEST = {"width": 360, "height": 740}
IN_TWO_DAYS = f"{datetime.now().astimezone() + timedelta(days=2):%Y-%m-%dT%H:00}"
DOSE = f"?what1=salt-sodium_bicarbonate&amount1=10&at1={IN_TWO_DAYS}"


def knob(page: Page) -> Locator:
    """Return the handle of the first dose."""
    return page.get_by_role("slider").first


def drag(page: Page, *, right: float = 0, down: float = 0) -> None:
    """Take the first dose's knob and move it by some pixels."""
    box = page.locator(".handle > span").first.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + right, y + down, steps=12)
    page.mouse.up()


def ribbon(page: Page) -> str:
    """Return the outline of the ribbon that is seen."""
    return str(
        page.evaluate(
            """() => [...document.querySelectorAll('svg.for-phone .ribbon95')]
                .map(one => one.getAttribute('points')).join('|')"""
        )
    )


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", [PAGE + DOSE, "/systems/lazaret/copper/", "/systems/skerry/temperature/"])
def test_the_page_can_be_read_by_everyone(
    page: Page, demo_server: Server, axe: Callable[[], list[str]], complaints: list[str], path: str, scheme: Any
):
    """axe finds nothing with all folds opened; nothing scrolls sideways on the narrowest phone; no request leaves."""
    page.emulate_media(color_scheme=scheme)
    page.goto(f"{demo_server.url}{path}{'&' if '?' in path else '?'}opened=yes")
    assert axe() == []
    page.set_viewport_size(NARROWEST)
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROWEST["width"]


def test_it_works_without_script(browser: Browser, demo_server: Server):
    """A dose is typed, the button is pressed, and the picture comes with the dose in it and room for one more."""
    context = browser.new_context(java_script_enabled=False, viewport=NARROWEST)
    page = context.new_page()
    page.goto(demo_server.url + PAGE)
    page.get_by_label("1, how much").fill("10")
    page.get_by_role("button", name="Reckon").click()
    expect(page.locator("svg.for-phone .planned")).to_have_count(1)
    expect(page.get_by_label("2, how much")).to_be_visible()
    expect(page.get_by_text("Caution.")).to_be_visible()
    context.close()


def test_a_dose_dragged_sideways_moves_in_time_and_the_ribbon_with_it(
    page: Page, demo_server: Server, complaints: list[str]
):
    """Its moment changes, its amount does not; the picture is drawn anew, and the address keeps it."""
    page.goto(demo_server.url + PAGE + DOSE)
    before = ribbon(page)
    drag(page, right=30)
    expect(page.get_by_label("When").first).not_to_have_value(IN_TWO_DAYS)
    expect(page.get_by_label("1, how much")).to_have_value("10")
    page.wait_for_function(
        """before => [...document.querySelectorAll('svg.for-phone .ribbon95')]
            .map(one => one.getAttribute('points')).join('|') !== before""",
        arg=before,
    )
    assert page.get_by_label("When").first.input_value().replace(":", "%3A") in page.url


def test_a_dose_dragged_upwards_grows_and_stays_where_it_is(page: Page, demo_server: Server, complaints: list[str]):
    """Its amount changes, its moment does not."""
    page.goto(demo_server.url + PAGE + DOSE)
    drag(page, down=-60)
    expect(page.get_by_label("1, how much")).to_have_value("12.5")
    expect(page.get_by_label("When").first).to_have_value(IN_TWO_DAYS)


def test_a_dose_dragged_too_high_is_refused_in_words(page: Page, demo_server: Server, complaints: list[str]):
    """The sentence comes under the picture, and the button that would write it down goes."""
    page.goto(demo_server.url + PAGE + DOSE)
    expect(page.get_by_role("link", name="Write 10")).to_be_visible()
    page.get_by_label("1, how much").fill("400")
    expect(page.locator("#outlook")).to_contain_text("is refused. It is left out of the picture.")
    expect(page.get_by_role("link", name="as done")).to_have_count(0)


def test_the_arrow_keys_do_what_a_finger_does(page: Page, demo_server: Server, complaints: list[str]):
    """Right is an hour later, up is a step more; the handle keeps the focus and says where it stands."""
    page.goto(demo_server.url + PAGE + DOSE)
    knob(page).focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowUp")
    later = datetime.fromisoformat(IN_TWO_DAYS) + timedelta(hours=1)
    expect(page.get_by_label("When").first).to_have_value(f"{later:%Y-%m-%dT%H:%M}")
    expect(page.get_by_label("1, how much")).to_have_value("10.5")
    expect(knob(page)).to_be_focused()
    expect(knob(page)).to_have_attribute("aria-valuetext", f"10.5 g of sodium bicarbonate, {later:%Y-%m-%d %H:%M}")


def test_the_write_button_opens_the_form_filled_in(page: Page, demo_server: Server):
    """System, salt and amount are there; the keeper says when it was done."""
    page.goto(demo_server.url + PAGE + DOSE)
    page.get_by_role("link", name="Write 10").click()
    expect(page.get_by_label("Amount", exact=True)).to_have_value("10")
    expect(page.get_by_role("radio", name="Skerry")).to_be_checked()
