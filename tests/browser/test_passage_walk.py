"""A batch walked from arrival to clearance on a phone, over a copy of the demo household."""

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from urllib.parse import urlencode

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import Server

pytestmark = pytest.mark.browser

NARROWEST = {"width": 360, "height": 740}
WHY = "Tried out by the test: this is not how a fish is brought in."
ANIMAL = "Blue-green chromis"


class Keeper:
    """One who fills in forms on the phone, at moments so many days ago."""

    def __init__(self, page: Page, server: Server) -> None:
        self.page = page
        self.server = server

    def open(self, form: str, **answers: str) -> None:
        """Open a form with answers in its address."""
        self.page.goto(f"{self.server.url}/write/{form}/?{urlencode(answers)}")

    def keep(self, *, days_ago: float | None = None, words: str = "") -> None:
        """Fill in when and why, keep it, and say yes where it is asked."""
        expect(self.page.get_by_role("button", name="Keep").first).to_be_visible()
        # When and why are folded away where they are seldom needed.
        self.page.evaluate("document.querySelectorAll('form details').forEach(one => { one.open = true; })")
        if days_ago is not None:
            moment = datetime.now() - timedelta(days=days_ago)  # noqa: DTZ005 - as the phone's clock shows it
            self.page.locator("[name=moment]").fill(f"{moment:%Y-%m-%dT%H:%M}")
        if words:
            self.page.locator("[name=words]").fill(words)
        self.page.get_by_role("button", name="Keep").first.tap()
        yes = self.page.get_by_role("button", name="Yes, write it")
        if yes.count():
            yes.tap()

    def expect_written(self) -> None:
        """Expect the message after writing."""
        expect(self.page.get_by_role("status")).to_contain_text("Written")


@pytest.fixture
def keeper(page: Page, own_server: Server) -> Keeper:
    """Return a keeper at the phone."""
    return Keeper(page, own_server)


def test_a_batch_is_walked_from_arrival_to_clearance(keeper: Keeper, page: Page, axe: Callable[[], list[str]]):
    """Arrival, legs past shut gates in words, moves, the gate's evidence, an override, and the clearance."""
    answers = {"animal-1-species": "blue_green_chromis", "animal-1-name": ANIMAL}
    keeper.open("batch", name="B3", protocol="observation", system="lazaret", **answers)
    keeper.keep(days_ago=12)
    keeper.expect_written()

    keeper.open("leg", batch="b3", leg="treat")
    keeper.keep(days_ago=11)
    expect(page.get_by_role("alert")).to_contain_text("is shut")
    keeper.keep(words=WHY)
    keeper.expect_written()
    _onwards(keeper, "recover", "haven", days_ago=8)
    _onwards(keeper, "introduce", "skerry/creel", days_ago=4)
    _onwards(keeper, "settle", "skerry", days_ago=1)

    page.goto(f"{keeper.server.url}/passages/b3/?opened=yes")
    expect(page.get_by_role("heading", name="What went another way")).to_be_visible()
    expect(page.get_by_text("Free of disease: not yet", exact=False).first).to_be_visible()
    expect(page.get_by_text("the disease clock of all of them", exact=False).first).to_be_visible()
    assert axe() == []
    page.set_viewport_size(NARROWEST)
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROWEST["width"]

    page.get_by_role("link", name="Let it count").filter(has_text="No living flukes").first.tap()
    keeper.keep(words="Its gills were looked at under a microscope twice, a week apart.")
    keeper.expect_written()
    page.goto(f"{keeper.server.url}/passages/b3/?opened=yes")
    expect(page.get_by_text("under a microscope twice", exact=False).first).to_be_visible()

    page.get_by_role("link", name=f"Clear {ANIMAL} although its last gate is shut").tap()
    keeper.keep()
    expect(page.get_by_role("alert")).to_contain_text("Its last gate is shut")
    assert axe() == []
    keeper.keep(words=WHY)
    keeper.expect_written()
    page.goto(f"{keeper.server.url}/passages/b3/")
    expect(page.get_by_text("Cleared today", exact=False)).to_be_visible()
    assert axe() == []

    page.goto(f"{keeper.server.url}/passages/b3/?opened=yes")
    page.get_by_role("link", name=re.compile(f"Its pass ?: {ANIMAL}")).tap()
    expect(page.get_by_text("Cleared today", exact=False)).to_be_visible()
    assert axe() == []
    with page.expect_download() as taken:
        page.get_by_role("link", name="Take it as a PDF").tap()
    assert taken.value.path().read_bytes().startswith(b"%PDF")


def _onwards(keeper: Keeper, leg: str, place: str, *, days_ago: float) -> None:
    """Begin a leg in words, and move there."""
    keeper.open("leg", batch="b3", leg=leg)
    keeper.keep(days_ago=days_ago, words=WHY)
    keeper.expect_written()
    keeper.open("move", animals=_key(), place=place)
    keeper.keep(days_ago=days_ago - 0.01)
    keeper.expect_written()


def _key() -> str:
    return ANIMAL.lower().replace(" ", "-")


def test_a_gate_says_the_two_answers_apart_in_the_demo(page: Page, demo_server: Server):
    """The wrasse eats, yet thins; the goby has an earliest day; what the dip did stands in numbers."""
    page.goto(f"{demo_server.url}/passages/b1/?opened=yes")
    main = page.locator("main")
    expect(main).to_contain_text("It eats, yet grows thin. Look for flukes")
    expect(main).to_contain_text("What the dip of Copper for B1 did:")
    expect(main).to_contain_text("Fit on")
    expect(main).to_contain_text("outside the leg its batch is on")
