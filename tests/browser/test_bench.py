"""The bench on a phone in headless Chromium, with and without script, over the demo household."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.browser.conftest import Server

pytestmark = pytest.mark.browser

NARROWEST = {"width": 360, "height": 740}
# One sound request for every card, and a few words of its answer.
CARDS = {
    "salinity": ("way=specific-gravity&specific_gravity=1.0264&reference=25/25", "The salinity is 35.0"),
    "ammonia": ("total=0.5&counted_as=N&ph=8.2&temperature=25&salinity=35", "Un-ionised ammonia is 0.03"),
    "alkalinity": ("alkalinity=8&into=meq/L", "The alkalinity is 2.857"),
    "carbonate": ("alkalinity=8&ph=8.2&salinity=35&temperature=25.5", "Ω of aragonite is 4.3"),
    "oxygen": ("salinity=35&temperature=25", "holds 6.77"),
    "ions": ("calcium=420&magnesium=1300&alkalinity=8&salinity=35&temperature=25", "of the ocean's calcium"),
    "convert": ("amount=10&unit=mg/L NO3-N&into=mg/L NO3", "is 44.3"),
    "dose": ("substance=copper_ionic&volume=100&raise=0.2&balance=0.01", "Dissolve 78.6"),
    "mix": ("way=steps&salinity=35&target=33&incoming=0&volume=100&pace=1", "Two swaps"),
    "stock": ("substance=copper_ionic&strength=1&bottle=1000", "Dissolve 3.93"),
    "dilution": ("level=40&volume=100&changed_volume=20", "the level is 32.0"),
}
ONE_FIELD = {"salinity": "specific_gravity", "stock": "bottle", "mix": "volume"}


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("address", ["", *(f"{name}/?{query}&opened=yes" for name, (query, _) in CARDS.items())])
def test_every_card_can_be_read_by_everyone(
    page: Page, demo_server: Server, axe: Callable[[], list[str]], complaints: list[str], address: str, scheme: Any
):
    """axe finds nothing, folds opened; nothing scrolls sideways on the narrowest phone; no request leaves."""
    page.emulate_media(color_scheme=scheme)
    page.goto(f"{demo_server.url}/bench/{address}")
    assert axe() == []
    page.set_viewport_size(NARROWEST)
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROWEST["width"]


@pytest.mark.parametrize("name", list(CARDS))
def test_every_card_answers_without_script(browser: Browser, demo_server: Server, name: str):
    """A link shows its answer; the button reckons again and comes to the same, at the answer's place on the page."""
    query, words = CARDS[name]
    context = browser.new_context(java_script_enabled=False, viewport=NARROWEST)
    page = context.new_page()
    page.goto(f"{demo_server.url}/bench/{name}/?{query}")
    expect(page.locator("#answer .gist")).to_contain_text(words)
    page.get_by_role("button", name="Reckon").click()
    expect(page).to_have_url(re.compile("#answer$"))
    expect(page.locator("#answer .gist")).to_contain_text(words)
    context.close()


@pytest.mark.parametrize("name", list(CARDS))
def test_every_card_answers_as_it_is_typed(page: Page, demo_server: Server, complaints: list[str], name: str):
    """A number typed anew changes the answer and the address with no button pressed, and nothing else is lost."""
    query, words = CARDS[name]
    page.goto(f"{demo_server.url}/bench/{name}/?{query}")
    gist = page.locator("#answer .gist")
    expect(gist).to_contain_text(words)
    answered = gist.inner_text()
    first = re.split("[=&]", query.removeprefix("way=specific-gravity&").removeprefix("way=steps&"))[0]
    box = page.locator(f"input[type=text][name={ONE_FIELD.get(name, first if name != 'dose' else 'volume')}]")
    was, before = box.input_value(), page.url
    slightly_more = f"{float(was) * 1.01:.5g}"
    box.fill(slightly_more)
    expect(page).not_to_have_url(before)
    expect(page).to_have_url(re.compile(re.escape(slightly_more)))
    expect(gist).not_to_have_text(answered)
    box.fill(was)
    expect(gist).to_have_text(answered)


def test_the_button_brings_the_answer_into_sight_at_once(page: Page, demo_server: Server, complaints: list[str]):
    """Pressed right after typing, before the page has answered by itself: the answer is not left under the bar."""
    page.set_viewport_size(NARROWEST)
    page.goto(f"{demo_server.url}/bench/dose/?{CARDS['dose'][0]}")
    page.locator("#field-volume").fill("200")
    page.get_by_role("button", name="Reckon").click()
    gist = page.locator("#answer .gist")
    expect(gist).to_contain_text("Dissolve 157")
    expect(gist).to_be_in_viewport(ratio=1)
    bar = page.locator("nav.bar").bounding_box()
    told = gist.bounding_box()
    assert bar is not None
    assert told is not None
    assert told["y"] + told["height"] <= bar["y"]


def test_the_button_tells_each_problem_at_its_field(page: Page, demo_server: Server, complaints: list[str]):
    """With script as without: what is missing says why it is needed, where it is to be filled in."""
    page.goto(f"{demo_server.url}/bench/salinity/?way=specific-gravity&redraw=way")
    page.locator("#field-specific_gravity").fill("1.0264")
    page.get_by_role("button", name="Reckon").click()
    expect(page.locator("#field-reference-problem")).to_contain_text("means little without its two temperatures")
    expect(page.locator("#field-specific_gravity")).to_have_value("1.0264")
    expect(page.get_by_role("button", name="Reckon")).to_be_focused()


def test_another_way_asks_other_questions_and_keeps_what_was_typed(
    page: Page, demo_server: Server, complaints: list[str]
):
    """The questions change under the thumb; the temperature that both ask stays."""
    page.goto(f"{demo_server.url}/bench/salinity/")
    page.locator("#field-temperature").fill("24")
    page.get_by_role("radio", name="A density").check()
    expect(page.locator("#field-density")).to_be_visible()
    expect(page.locator("#field-temperature")).to_have_value("24")
    expect(page.locator("#bench .problem")).to_have_count(0)
    page.locator("#field-density").fill("1023.64")
    expect(page.locator("#answer .gist")).to_contain_text("The salinity is 35.0")


def test_another_way_can_be_asked_without_script(browser: Browser, demo_server: Server):
    """A button stands in for the script."""
    context = browser.new_context(java_script_enabled=False, viewport=NARROWEST)
    page = context.new_page()
    page.goto(f"{demo_server.url}/bench/salinity/")
    page.get_by_role("radio", name="A refractometer").check()
    page.get_by_role("button", name="Show what this asks").click()
    expect(page.locator("#field-refractometer")).to_be_visible()
    context.close()


def test_an_answer_goes_into_the_ledger_in_one_tap(page: Page, demo_server: Server):
    """From the salinity to the filled-in form of readings of one system."""
    query, _ = CARDS["salinity"]
    page.goto(f"{demo_server.url}/bench/salinity/?{query}")
    page.locator("#answer").get_by_role("link", name="Lazaret").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Readings in Lazaret")
    expect(page.locator("input[name=salinity]")).to_have_value("35.0")


def test_on_paper_the_working_is_open_and_the_questions_are_gone(page: Page, demo_server: Server):
    """What is carried to the sink is the answer, its cautions, its working."""
    query, _ = CARDS["dose"]
    page.goto(f"{demo_server.url}/bench/dose/?{query}")
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    expect(page.locator("form[data-bench]")).to_be_hidden()
    expect(page.get_by_text("Molar mass of")).to_be_visible()
    expect(page.locator("#answer .caution").first).to_be_visible()


def test_the_line_of_pages_fits_every_width(page: Page, demo_server: Server):
    """With the bench among them the pages stay on one line across the top, and five words on the phone's bar."""
    for width in (896, 960, 1100, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        page.goto(f"{demo_server.url}/bench/")
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        tops = page.eval_on_selector_all(
            ".masthead nav a", "links => links.map(one => one.getBoundingClientRect().top)"
        )
        assert len(set(tops)) == 1
    page.set_viewport_size(NARROWEST)
    expect(page.locator("nav.bar a")).to_have_text(["Rounds", "Systems", "Write", "Animals", "More"])
