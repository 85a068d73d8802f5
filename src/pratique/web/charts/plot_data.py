"""The chart's figures for the script that shows values under a finger: plain lists, times in whole seconds."""

from datetime import tzinfo
from typing import Any

from pratique.casework.sheets import Chart, ChartPoint
from pratique.web.charts.layout import DESK
from pratique.web.charts.thinning import thinned


def plot_data(chart: Chart, zone: tzinfo) -> dict[str, Any]:
    """Return what the script plots, ready to be written as JSON; it shows times in the keeper's zone."""
    line = thinned(chart.line, at_most=DESK.most_points)
    return {
        "zone": str(zone),
        "unit": chart.unit,
        "decimals": chart.decimals,
        "band": chart.band,
        "hardUpper": chart.hard_upper,
        "fromZero": chart.y_from_zero,
        "start": int(chart.start.timestamp()),
        "end": int(chart.end.timestamp()),
        "expectedFrom": None if chart.expected_from is None else int(chart.expected_from.timestamp()),
        "line": [_row(point) for point in line],
        "readings": [
            [int(one.at.timestamp()), one.low, one.centre, one.high, one.words, one.shape] for one in chart.readings
        ],
        "marks": [[int(one.at.timestamp()), one.kind, one.words] for one in chart.marks],
    }


def _row(point: ChartPoint) -> list[float | None]:
    return [int(point.at.timestamp()), *map(_short, (point.low, point.value, point.high, *_inner(point)))]


def _inner(point: ChartPoint) -> tuple[float | None, float | None]:
    return point.inner_low, point.inner_high


def _short(value: float | None) -> float | None:
    # A pointer reads no more digits than these, and a page carries many points.
    return None if value is None else float(f"{value:.5g}")
