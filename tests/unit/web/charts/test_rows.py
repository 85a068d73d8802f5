"""The table under a chart, and the thinning of its line."""

from dataclasses import replace

from tests.builders.sheets import ZONE, a_copper_chart, a_ribbon_chart

from pratique.web.charts.plot_data import plot_data
from pratique.web.charts.rows import happenings, levels
from pratique.web.charts.thinning import stretches, thinned


def test_the_table_holds_every_reading_and_event_in_order():
    """Nothing drawn is missing from the table."""
    chart = a_copper_chart()
    rows = happenings(chart)
    assert len(rows) == len(chart.readings) + len(chart.marks)
    assert [row.at for row in rows] == sorted(row.at for row in rows)
    assert {row.kind for row in rows} == {"reading", "dose", "water change"}


def test_a_short_line_is_tabled_whole():
    """A line of a day is written out point by point."""
    chart = a_copper_chart(days=1)
    rows, step = levels(replace(chart, line=chart.line[:20]))
    assert len(rows) == 20
    assert step == "at every point of the line"


def test_a_long_line_is_tabled_at_a_step_one_can_read():
    """Seven hundred hours become some hundred rows, and both sides of every jump are among them."""
    chart = a_copper_chart()
    rows, step = levels(chart)
    shown = {row.at for row in rows}
    assert len(rows) < 200
    assert "every 12" in step or "every 6" in step
    for run in stretches(chart.line):
        assert run[0].at in shown
        assert run[-1].at in shown


def test_thinning_keeps_jumps_and_ends():
    """The eye loses nothing: each stretch keeps its first and last point."""
    line = a_copper_chart().line
    kept = thinned(line, at_most=160)
    assert len(kept) < len(line) / 3
    assert [run[0] for run in stretches(kept)] == [run[0] for run in stretches(line)]
    assert [run[-1] for run in stretches(kept)] == [run[-1] for run in stretches(line)]


def test_the_script_gets_the_figures_the_drawing_shows():
    """Readings, marks, band and the keeper's zone go to the live chart."""
    chart = a_copper_chart()
    plot = plot_data(chart, ZONE)
    assert plot["zone"] == "Europe/Lisbon"
    assert plot["band"] == (0.15, 0.20)
    assert len(plot["readings"]) == len(chart.readings)
    assert len(plot["marks"]) == len(chart.marks)
    assert plot["line"][0][0] == int(chart.start.timestamp())


def test_the_table_tells_both_ranges_and_what_is_only_expected():
    """Whoever reads the table learns what the drawing shows: 50 %, 95 %, and from when on nothing has happened yet."""
    chart = a_ribbon_chart()
    rows, _ = levels(chart)
    assert rows[0].inner == "0.17 to 0.19"
    assert [row.is_expected for row in rows] == [row.at > chart.expected_from for row in rows]
    assert any(row.is_expected for row in rows)


def test_a_planned_dose_is_told_as_planned_and_leads_to_no_entry():
    """Nobody can open an entry that is not written."""
    planned = happenings(a_ribbon_chart())[-1]
    assert (planned.kind, planned.entry) == ("dose, only planned", None)
