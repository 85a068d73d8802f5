"""The parts of a course's page, drawn from an invented sheet."""

import re

from django.template.loader import render_to_string
from django.test import RequestFactory
from tests.builders import sheets


def draw(part: str, **context: object) -> str:
    """Return a part's HTML."""
    request = RequestFactory().get("/")
    return render_to_string(f"pratique/reading/parts/{part}.html", {"request": request, "on": "", **context})


def test_a_day_is_filled_as_high_as_its_chance_and_says_it_in_words():
    """Day 11 of the invented course was held with 4 %: its fill is 4 of 100 high, and a screen reader hears 4 %."""
    page = draw("days", sheet=sheets.a_course_sheet())
    cells = re.findall(r"<li class=\"(\w+)\">(.*?)</li>", page, re.DOTALL)
    name, cell = cells[10]
    assert name == "dip"
    assert re.search(r'<rect width="10" y="96.0" height="4.0" />', cell)
    assert "held with a chance of 4\u202f%" in cell
    assert len(re.findall(r"<rect ", page)) == len(sheets.the_days())


def test_the_days_are_told_in_words_beside_their_cells():
    """What a fill or a hatch shows stands in a sentence, without opening the table."""
    page = draw("days", sheet=sheets.a_course_sheet())
    assert "Days 2 to 10: surely held, but lost: it lies before a dip." in page.split("<details")[0]


def test_every_day_of_the_table_has_its_chances():
    """Held that day, still counting, and the required days in a row by then."""
    page = draw("days", sheet=sheets.a_course_sheet())
    row = re.search(r"<th scope=\"row\">27</th>(.*?)</tr>", page, re.DOTALL)
    assert row is not None
    assert re.findall(r"<td>(\d+\u202f%)</td>", row[1]) == ["97\u202f%", "93\u202f%", "90\u202f%"]
    assert re.search(r"0\.16\s*<small>0\.15 to 0\.18</small>", row[1])


def test_nothing_on_the_page_of_days_is_styled_in_place():
    """The page's policy forbids style attributes: heights are attributes of the drawing."""
    assert "style=" not in draw("days", sheet=sheets.a_course_sheet())


def test_a_dip_is_told_with_what_happened_just_before_and_never_as_its_cause():
    """The water change has its own page; coincidence is called coincidence."""
    page = draw("dips", dips=sheets.a_course_sheet().dips)
    assert "under 0.15\u202fmg/L with a chance of 97 ± 1\u202f%" in page
    assert "water change of 40\u202fL on 5 November</a>" in page
    assert "(coincidence, not cause)" in page
