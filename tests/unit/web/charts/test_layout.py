"""Where things stand on a chart. Distances are in drawing units; y grows downwards."""

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.builders.sheets import BEGAN, ZONE, a_copper_chart, a_ribbon_chart, an_empty_chart, entry

from pratique.casework.sheets import ChartMark, ChartReading
from pratique.web.charts.layout import DESK, PHONE, has_picture, lay_out

CANVASES = pytest.mark.parametrize("canvas", [PHONE, DESK], ids=["phone", "desk"])


def a_chart_with(*readings: ChartReading):
    """Return the copper chart with these readings only."""
    return replace(a_copper_chart(), readings=readings, line=())


def a_reading(low: float, centre: float, high: float, shape: str = "bar") -> ChartReading:
    """Return a reading a day after the beginning."""
    return ChartReading(BEGAN + timedelta(days=1), low, centre, high, shape, "said", entry(1))  # type: ignore[arg-type]


@CANVASES
def test_a_reading_at_the_top_of_the_band_is_drawn_there(canvas):
    """A dot at 0.20 mg/L stands on the band's upper line."""
    picture = lay_out(a_chart_with(a_reading(0.18, 0.20, 0.22)), ZONE, canvas)
    assert picture.band is not None
    assert picture.readings[0].centre == pytest.approx(picture.band[0])


@CANVASES
def test_a_box_spans_its_marks(canvas):
    """A reading between 0.15 and 0.20 mg/L reaches from the lower to the upper band line."""
    picture = lay_out(a_chart_with(a_reading(0.15, 0.175, 0.20, "box")), ZONE, canvas)
    assert picture.band == pytest.approx((picture.readings[0].top, picture.readings[0].foot))


def test_a_reading_beyond_a_limit_has_an_arrow_long_enough_to_see():
    """`Above 0.25` has no upper end, and `below 0.005` hardly a lower one; both are drawn pointing the right way."""
    above = lay_out(a_chart_with(a_reading(0.25, 0.25, 0.25, "above")), ZONE, PHONE).readings[0]
    below = lay_out(a_chart_with(a_reading(0.0, 0.005, 0.005, "below")), ZONE, PHONE).readings[0]
    assert above.foot - above.top >= 9
    assert below.foot - below.top >= 9


@CANVASES
def test_nothing_is_drawn_outside_the_picture(canvas):
    """The ribbon's highest point and the highest reading set the axis: nothing is cut off."""
    picture = lay_out(a_copper_chart(), ZONE, canvas)
    points = [point for stretch in picture.stretches for edge in (stretch.line, *stretch.outer) for point in edge]
    assert all(canvas.left - 0.01 <= x <= canvas.width - canvas.right + 0.01 for x, _ in points)
    assert all(canvas.top - 0.01 <= y <= canvas.height - canvas.bottom + 0.01 for _, y in points)
    assert all(sign.top >= 0 and sign.foot <= canvas.height for sign in (*picture.readings, *picture.marks))


def test_a_dose_breaks_the_line_and_the_leap_is_drawn():
    """Thirty days with a dose a day are thirty-one stretches, joined by thirty leaps upright in time."""
    chart = a_copper_chart()
    picture = lay_out(chart, ZONE, DESK)
    assert len(picture.stretches) == sum(point.jump for point in chart.line) + 1
    assert len(picture.leaps) == len(picture.stretches) - 1


def test_a_water_change_stands_above_a_dose_at_the_same_moment():
    """A change and its make-up dose do not hide each other."""
    both = (ChartMark(BEGAN, "dose", "dose", entry(1)), ChartMark(BEGAN, "change", "change", entry(2)))
    dose, change = lay_out(replace(a_copper_chart(), marks=both), ZONE, PHONE).marks
    assert dose.x == change.x
    assert change.foot < dose.top


def test_what_happened_outside_the_chart_is_left_out():
    """A dose before the first day shown is not drawn at the edge."""
    early = ChartMark(BEGAN - timedelta(days=3), "dose", "dose", entry(1))
    assert lay_out(replace(a_copper_chart(), marks=(early,)), ZONE, PHONE).marks == ()


def test_without_data_there_is_no_picture():
    """Nobody has read nitrate: there is nothing to draw."""
    assert not has_picture(an_empty_chart())
    assert has_picture(a_copper_chart())


def test_an_axis_need_not_begin_at_zero():
    """pH is drawn where it lies."""
    chart = replace(a_chart_with(a_reading(8.0, 8.1, 8.2)), band=None, hard_upper=None, y_from_zero=False)
    picture = lay_out(chart, ZONE, PHONE)
    assert float(picture.values[0].words) > 7.5


@CANVASES
def test_the_inner_range_lies_within_the_outer(canvas):
    """Half of the belief lies nearer to the median than nine tenths and a half of it: upper edges stand higher up."""
    picture = lay_out(a_ribbon_chart(), ZONE, canvas)
    for stretch in picture.stretches:
        rows = zip(stretch.outer[1], stretch.inner[1], stretch.line, stretch.inner[0], stretch.outer[0], strict=True)
        assert all(list(ys) == sorted(ys) for row in rows for ys in [[y for _, y in row]])


def test_what_is_to_be_expected_begins_where_the_past_ends():
    """The ribbon is cut at that moment and goes on from the same point, so that no gap is seen."""
    chart = a_ribbon_chart()
    picture = lay_out(chart, ZONE, DESK)
    past = [stretch for stretch in picture.stretches if not stretch.is_expected]
    ahead = [stretch for stretch in picture.stretches if stretch.is_expected]
    assert picture.expected_from == pytest.approx(past[-1].line[-1][0], abs=2)
    assert ahead[0].line[0] == past[-1].line[-1]
    assert all(x >= picture.expected_from - 2 for stretch in ahead for x, _ in stretch.line)


def test_what_is_only_planned_is_marked_so():
    """A dose nobody has given yet has no entry and is drawn as planned."""
    marks = lay_out(a_ribbon_chart(), ZONE, PHONE).marks
    assert [mark.is_planned for mark in marks] == [False, True]
