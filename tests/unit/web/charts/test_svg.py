"""The SVG itself: allowed by a strict content policy, named for those who cannot see it, safe against markup."""

import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest
from tests.builders.sheets import NOW, ZONE, a_copper_chart, a_feeding_strip, a_ribbon_chart

from pratique.web.charts.feeding import feeding_strip, feeding_strips, key_svg, strip_words
from pratique.web.charts.layout import DESK, PHONE
from pratique.web.charts.legend import legend, limits, signs
from pratique.web.charts.svg import chart_svg


@pytest.mark.parametrize("canvas", [PHONE, DESK], ids=["phone", "desk"])
def test_a_chart_is_well_formed_named_and_without_style(canvas):
    """It parses as XML, says its title and description, and carries no style attribute and no script."""
    drawn = chart_svg(a_copper_chart(), ZONE, canvas, name="for-phone")
    root = ET.fromstring(drawn)  # noqa: S314 - our own text
    assert root.get("role") == "img"
    assert root.find("title").text == "Copper in Lazaret"
    assert "dipped on day 11" in root.find("desc").text
    assert not any("style" in node.attrib for node in root.iter())
    assert root.find(".//script") is None


def test_words_of_the_keeper_cannot_become_markup():
    """A name with a tag in it is shown as it was typed."""
    chart = replace(a_copper_chart(), title='<script>"&', description="a < b", unit="<b>")
    root = ET.fromstring(chart_svg(chart, ZONE, DESK, name="for-desk"))  # noqa: S314 - our own text
    assert root.find("title").text == '<script>"&'
    assert root.find(".//script") is None


def test_text_is_never_smaller_than_a_phone_can_show():
    """Text is 12 units high; at 360 px a page leaves 328 px for a drawing 328 units wide, so it stays 12 px."""
    assert PHONE.width <= 328


def test_every_dose_change_and_reading_is_drawn():
    """The drawing has as many signs as the chart has readings and events."""
    chart = a_copper_chart()
    drawn = chart_svg(chart, ZONE, DESK, name="for-desk")
    assert drawn.count('class="mark-dose"') == 30
    assert drawn.count('class="mark-change"') == 1
    assert drawn.count('class="reading"') == sum(one.shape == "bar" for one in chart.readings)
    assert drawn.count('class="between"') == 5
    assert drawn.count('class="beyond"') == 2


def test_the_two_ranges_and_the_days_ahead_are_told_apart_without_colour():
    """95 % has dotted edges, 50 % has none; what is expected stands after an upright line, under words that say so."""
    root = ET.fromstring(chart_svg(a_ribbon_chart(), ZONE, DESK, name="for-desk"))  # noqa: S314 - our own text
    kinds = [node.get("class") for node in root.iter() if node.get("class")]
    for kind in ("ribbon95", "ribbon50", "edge95", "reckoned"):
        assert kind in kinds
        assert f"{kind} expected" in kinds
    assert kinds.count("now") == 1
    assert "to be expected" in [node.text for node in root.iter("text")]
    assert "mark-dose planned" in kinds


def test_the_legend_tells_both_ranges_and_what_is_planned():
    """Each sign of the ribbon has its words."""
    said = " ".join(legend(a_ribbon_chart()))
    assert "50\u202f%" in said
    assert "95\u202f%" in said
    assert "to be expected" in said
    assert "only planned" in said
    assert "planned" not in " ".join(legend(a_copper_chart()))


def test_the_legend_names_only_what_is_there():
    """No box on the chart, no box in the legend."""
    chart = a_copper_chart()
    assert any(words.startswith("box") for words in legend(chart))
    bars = replace(chart, readings=tuple(one for one in chart.readings if one.shape == "bar"), marks=())
    said = " ".join(legend(bars))
    assert "box" not in said
    assert "dose" not in said
    assert "target 0.15 to 0.20" in said


def test_limits_are_told_by_their_lines_and_by_colour_only_after():
    """Who sees no green or red finds the band between dashed lines, and the limit at the thick one."""
    said = limits(a_copper_chart())
    assert [words.split(" (")[0] for words in said] == ["between dashed lines", "thick line across"]
    assert set(said) <= set(legend(a_copper_chart()))
    assert not set(said) & set(signs(a_copper_chart()))


def test_not_seen_is_a_tall_dashed_box_and_ignored_a_low_one():
    """An unseen feeding is not a zero: it differs from an ignored one in shape, not only in colour."""
    strip = feeding_strip(a_feeding_strip("0x4"), ZONE)
    root = ET.fromstring(strip.svg)  # noqa: S314 - our own text
    bars = {node.get("class"): float(node.get("height")) for node in root.iter("rect")}
    assert bars["ignored"] < 6
    assert bars["unseen-feed"] > 30
    assert bars["fed"] > 30


def test_bars_grow_with_the_step_and_stay_in_the_strip():
    """Steps outside the scale are drawn at its ends, never below the ground."""
    strip = feeding_strip(a_feeding_strip("01234"), ZONE)
    root = ET.fromstring(strip.svg)  # noqa: S314 - our own text
    heights = [float(node.get("height")) for node in root.iter("rect")]
    assert heights == sorted(heights)
    assert len(set(heights)) == 5
    wild = [replace(feed, step=step) for feed, step in zip(a_feeding_strip("11"), (-3, 9), strict=True)]
    tops = [float(top) for top in re.findall(r'<rect[^>]* y="([^"]+)"', feeding_strip(wild, ZONE).svg)]
    assert all(0 <= top <= 36 for top in tops)


def test_a_strip_says_itself_in_words():
    """Whoever cannot see the bars hears how many were which."""
    assert strip_words(a_feeding_strip("44x0"), ZONE) == "4 feedings, 24 Nov to 25 Nov: 2 eager, 1 ignored, 1 not seen."
    assert strip_words(a_feeding_strip("3"), ZONE) == "1 feeding, 25 Nov: 1 steady."


def test_a_long_record_is_cut_into_strips_the_newest_first():
    """Sixty feedings are three strips; every feeding is on one of them."""
    strips = feeding_strips(a_feeding_strip("4" * 60), ZONE)
    assert [strip.svg.count('class="fed"') for strip in strips] == [28, 28, 4]
    assert f"{NOW.day} {NOW:%b}" in strips[0].words


def test_without_feedings_there_is_no_strip():
    """Corals are not fed one by one."""
    assert feeding_strip((), ZONE) is None
    assert feeding_strips((), ZONE) == ()


def test_the_key_names_every_height():
    """Six bars, six words."""
    assert key_svg().count("<rect") == 6
    assert key_svg().count("<text") == 6
