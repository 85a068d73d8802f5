"""The parts of the pages, drawn from invented sheets."""

import re
from dataclasses import replace

import pytest
from django.template.loader import render_to_string
from django.test import RequestFactory
from django.utils import timezone
from tests.builders import sheets

from pratique.casework.sheets import About, NextStep
from pratique.web.templatetags.reading import about_url, step_url


@pytest.fixture(autouse=True)
def _keepers_zone():
    with timezone.override(sheets.ZONE):
        yield


def draw(part: str, **context: object) -> str:
    """Return a part's HTML as it stands on the rounds."""
    request = RequestFactory().get("/")
    return render_to_string(f"pratique/reading/parts/{part}.html", {"request": request, "on": "", **context})


@pytest.mark.parametrize(
    ("kind", "url"),
    [
        ("system", "/systems/x/"),
        ("animal", "/animals/x/"),
        ("batch", "/passages/x/"),
        ("course", "/courses/x/"),
        ("case", "/growths/x/"),
        ("household", "/"),
    ],
)
def test_each_thing_leads_to_its_page(kind, url):
    """What a line is about has a page of its own; the household's is the rounds."""
    assert about_url(About(kind, "x", "X")) == url


def test_a_next_step_opens_its_form_filled_in():
    """What is already known is in the address."""
    step = NextStep("Change 24 L", "water-change", (("system", "lazaret"), ("volume", "24 & more")))
    assert step_url(step) == "/write/water-change/?system=lazaret&volume=24+%26+more"
    assert step_url(NextStep("Open", about=About("case", "dust", "Dust"))) == "/growths/dust/"
    assert step_url(NextStep("Look")) == "/"


def test_a_concern_says_its_weight_in_words_and_its_first_step_first():
    """Weight is a class and a word; the first next step is the main button; coincidence is never called cause."""
    page = draw("concern", concern=sheets.a_concern())
    assert 'class="concern now"' in page
    assert ">act now<" in page
    buttons = re.findall(r'class="(btn[^"]*)"', page)
    assert buttons == ["btn main", "btn"]
    assert "moved to Haven on 18 November" in page
    assert "(coincidence, not cause)" in page
    assert "Source: custom of the trade (common practice)." in page


def test_cautions_of_a_concern_stand_outside_the_fold():
    """A caution is seen without opening anything."""
    page = draw("concern", concern=sheets.a_concern(cautions=("Gloves and goggles.",)))
    assert page.index("Gloves and goggles.") < page.index("<details")


def test_of_many_cautions_the_first_stand_open_and_none_is_lost():
    """The worst three are always seen; the others are one tap away, and all of them where a dose is advised."""
    many = tuple(f"Caution {number}." for number in range(9))
    folded = draw("cautions", cautions=many)
    assert folded.index("Caution 2.") < folded.index("<details") < folded.index("Caution 3.")
    assert "6 more cautions" in folded
    assert all(one in folded for one in many)
    assert "<details" not in draw("cautions", cautions=many, show_all=True)


def test_a_step_that_leads_to_this_very_page_is_left_out():
    """Nobody is sent where they are."""
    here = NextStep("Open the rounds", about=About("household", "", "Harbour Row"))
    page = draw("steps", steps=(here, NextStep("Feed", "feeding")))
    assert "Open the rounds" not in page
    assert "Feed" in page


def test_a_chart_without_data_is_a_sentence():
    """No empty frame is drawn."""
    page = draw("charts", charts=(sheets.an_empty_chart(),))
    assert "<svg" not in page
    assert "nothing to draw yet" in page


def test_a_chart_carries_its_table_and_its_figures_for_the_script():
    """Both drawings, the tables and the data stand in the page."""
    page = draw("charts", charts=(sheets.a_copper_chart(),))
    assert page.count("<svg") == 2
    assert page.count("<table") == 2
    assert "data-plot=" in page
    assert "Europe/Lisbon" in page
    assert "95\u202f%" in page


def test_moments_are_shown_on_the_keepers_clock():
    """A dose at 19:00 in Lisbon in summer time is shown at 19:00."""
    assert "20 Oct 19:00" in draw("charts", charts=(sheets.a_copper_chart(),))


def test_withheld_advice_is_not_a_button():
    """Where no dose is advised there is nothing to press."""
    advice = sheets.a_course_sheet().advice
    page = draw("advice", advice=replace(advice, is_withheld=True, step=None, title="No dose is advised"))
    assert "No dose is advised" in page
    assert 'class="advice withheld"' in page
    assert "btn" not in page


def test_a_name_with_markup_in_it_is_shown_as_typed():
    """Names come from the keeper; they are words, never markup."""
    page = draw("concern", concern=replace(sheets.a_concern(), title="<b>Goby</b>"))
    assert "<b>Goby" not in page
    assert "&lt;b&gt;Goby" in page


def test_the_signs_are_told_once_and_folded_under_later_charts():
    """Ten charts need no ten legends; each chart's own band and limit stay in sight."""
    page = draw("charts", charts=(sheets.a_copper_chart(), sheets.a_copper_chart()))
    first, second = page.split("<section>")[1:]
    assert "What the signs mean" not in first
    folded, shown = second.split("What the signs mean")[1].split("</details>", 1)
    assert "dot in a bar" in folded
    assert "dot in a bar" not in shown
    assert "between dashed lines (green): target" in shown.split("</figcaption>")[0]


def test_what_has_no_unit_is_tabled_without_one():
    """pH is a bare number: its table does not say `in ,`."""
    page = draw("charts", charts=(replace(sheets.a_copper_chart(), unit=""),))
    assert "the level reckoned, every" in page
    assert "in ," not in page
