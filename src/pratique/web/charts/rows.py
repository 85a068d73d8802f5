"""The table under a chart: every reading and event, and the reckoned level at a step one can read."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from pratique.casework.sheets import Chart, ChartMark, ChartPoint
from pratique.web.charts.thinning import stretches

_READABLE_ROWS = 60
_STEPS = tuple(timedelta(hours=hours) for hours in (1, 3, 6, 12, 24, 72, 168, 672))


@dataclass(frozen=True, slots=True)
class Happening:
    """A reading or an event as a row of the table."""

    at: datetime
    kind: str
    words: str
    entry: UUID | None


@dataclass(frozen=True, slots=True)
class Level:
    """A reckoned level as a row of the table; `inner` is its 50 % range, empty where that is not told."""

    at: datetime
    value: str
    low: str
    high: str
    inner: str
    is_expected: bool


_KINDS = {"dose": "dose", "change": "water change", "move": "move", "note": "note"}


def happenings(chart: Chart) -> tuple[Happening, ...]:
    """Return the chart's readings and events in the order they happened."""
    found = [Happening(one.at, "reading", one.words, one.entry) for one in chart.readings]
    found += [Happening(one.at, _kind(one), one.words, one.entry) for one in chart.marks]
    return tuple(sorted(found, key=lambda one: (one.at, one.kind)))


def _kind(mark: ChartMark) -> str:
    return _KINDS[mark.kind] if mark.entry is not None else f"{_KINDS[mark.kind]}, only planned"


def levels(chart: Chart) -> tuple[tuple[Level, ...], str]:
    """Return the reckoned levels that fit a readable table, and the words for the step between them."""
    if len(chart.line) <= _READABLE_ROWS:
        return tuple(_level(point, chart) for point in chart.line), "at every point of the line"
    span = chart.line[-1].at - chart.line[0].at
    step = next((step for step in _STEPS if span / step <= _READABLE_ROWS), _STEPS[-1])
    kept: list[ChartPoint] = []
    for run in stretches(chart.line):
        due = run[0].at
        for place, point in enumerate(run):
            if point.at >= due or place == len(run) - 1:
                kept.append(point)
                due = point.at + step
    hours = step // timedelta(hours=1)
    words = f"every {hours}\u202fh" if hours < 24 else "every day" if hours == 24 else f"every {hours // 24} days"
    return tuple(_level(point, chart) for point in kept), f"{words}, and on both sides of every jump"


def _level(point: ChartPoint, chart: Chart) -> Level:
    def said(value: float) -> str:
        return f"{value:.{chart.decimals}f}".replace("-", "\u2212")

    inner = ""
    if point.inner_low is not None and point.inner_high is not None:
        inner = f"{said(point.inner_low)} to {said(point.inner_high)}"
    is_expected = chart.expected_from is not None and point.at > chart.expected_from
    return Level(point.at, said(point.value), said(point.low), said(point.high), inner, is_expected)
