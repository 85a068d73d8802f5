"""Where everything on a chart stands, in drawing units: a pure step from `Chart` to shapes."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, tzinfo
from itertools import pairwise
from typing import TypeGuard

from pratique.casework.sheets import Chart, ChartMark, ChartPoint, ChartReading
from pratique.web.charts.thinning import stretches, thinned
from pratique.web.charts.ticks import decimals_of, nice_range, time_ticks


@dataclass(frozen=True, slots=True)
class Canvas:
    """The size of a drawing and how much fits on it; text is 12 units high."""

    width: float
    height: float
    left: float
    right: float
    top: float
    bottom: float
    most_days: int
    most_values: int
    most_points: int


PHONE = Canvas(width=328, height=212, left=36, right=16, top=24, bottom=24, most_days=5, most_values=6, most_points=100)
DESK = Canvas(width=600, height=262, left=42, right=16, top=26, bottom=26, most_days=9, most_values=7, most_points=180)


type Run = tuple[ChartPoint, ...]

_ARROW = 9.0


@dataclass(frozen=True, slots=True)
class Tick:
    """A place on an axis and its words."""

    at: float
    words: str


@dataclass(frozen=True, slots=True)
class Sign:
    """A reading or an event where it is drawn, with the words that tell of it. `top` is the higher end on the page."""

    shape: str
    x: float
    top: float
    centre: float
    foot: float
    words: str
    is_planned: bool = False


type Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A run of the reckoned line between two jumps: its median, and the edges of its 95 % and its 50 % range.

    `inner` is empty where only the 95 % range is told. What is expected has not happened yet.
    """

    line: Points
    outer: tuple[Points, Points]
    inner: tuple[Points, Points]
    is_expected: bool


@dataclass(frozen=True, slots=True)
class Picture:
    """Everything a chart draws, in drawing units with the origin at the upper left."""

    canvas: Canvas
    values: tuple[Tick, ...]
    days: tuple[Tick, ...]
    band: tuple[float, float] | None
    hard_upper: float | None
    stretches: tuple[Stretch, ...]
    leaps: tuple[tuple[float, float, float], ...]
    readings: tuple[Sign, ...]
    marks: tuple[Sign, ...]
    expected_from: float | None = None


@dataclass(frozen=True, slots=True)
class _Scale:
    canvas: Canvas
    start: datetime
    end: datetime
    low: float
    high: float

    def x(self, at: datetime) -> float:
        span = max((self.end - self.start).total_seconds(), 1.0)
        room = self.canvas.width - self.canvas.left - self.canvas.right
        return self.canvas.left + room * (at - self.start).total_seconds() / span

    def y(self, value: float) -> float:
        room = self.canvas.height - self.canvas.top - self.canvas.bottom
        return self.canvas.top + room * (self.high - value) / (self.high - self.low)


def has_picture(chart: Chart) -> bool:
    """Return whether there is anything to draw."""
    return bool(chart.line or chart.readings)


def lay_out(chart: Chart, zone: tzinfo, canvas: Canvas) -> Picture:
    """Return where everything on the chart stands; days are the keeper's own."""
    low, high, ticks = nice_range(*_extent(chart), at_most=canvas.most_values)
    scale = _Scale(canvas, chart.start, chart.end, low, high)
    decimals = decimals_of(ticks)
    runs = stretches(thinned(chart.line, at_most=canvas.most_points))
    return Picture(
        canvas=canvas,
        values=tuple(Tick(scale.y(tick), f"{tick:.{decimals}f}".replace("-", "\u2212")) for tick in ticks),
        days=tuple(
            Tick(scale.x(moment), words)
            for moment, words in time_ticks(chart.start, chart.end, zone, at_most=canvas.most_days)
        ),
        band=(scale.y(chart.band[1]), scale.y(chart.band[0])) if chart.band else None,
        hard_upper=None if chart.hard_upper is None else scale.y(chart.hard_upper),
        stretches=tuple(
            _stretch(part, scale, is_expected=is_expected)
            for run in runs
            for part, is_expected in _parts(run, chart.expected_from)
        ),
        leaps=tuple(
            (scale.x(after[0].at), scale.y(before[-1].value), scale.y(after[0].value))
            for before, after in pairwise(runs)
        ),
        readings=tuple(_reading(reading, scale) for reading in chart.readings),
        marks=tuple(_mark(mark, scale) for mark in chart.marks if chart.start <= mark.at <= chart.end),
        expected_from=scale.x(chart.expected_from) if _is_inside(chart.expected_from, chart) else None,
    )


def _is_inside(moment: datetime | None, chart: Chart) -> TypeGuard[datetime]:
    return moment is not None and chart.start <= moment < chart.end


def _extent(chart: Chart) -> tuple[float, float]:
    """Return the lowest and highest value that must be seen: nothing a chart shows is cut off."""
    values = [value for point in chart.line for value in (point.low, point.high)]
    values += [value for reading in chart.readings for value in (reading.low, reading.centre, reading.high)]
    values += [] if chart.band is None else list(chart.band)
    values += [] if chart.hard_upper is None else [chart.hard_upper]
    values += [0.0] if chart.y_from_zero else []
    return min(values), max(values)


def _parts(run: Run, expected_from: datetime | None) -> tuple[tuple[Run, bool], ...]:
    """Return a run cut where the past ends; the point at the cut belongs to both, so that no gap is seen."""
    if expected_from is None or run[-1].at <= expected_from:
        return ((run, False),)
    past = tuple(point for point in run if point.at <= expected_from)
    if not past:
        return ((run, True),)
    return (past, False), ((past[-1], *run[len(past) :]), True)


def _stretch(run: Run, scale: _Scale, *, is_expected: bool) -> Stretch:
    def edge(value_of: Callable[[ChartPoint], float | None]) -> Points:
        return tuple((scale.x(point.at), scale.y(value)) for point in run if (value := value_of(point)) is not None)

    return Stretch(
        line=edge(lambda point: point.value),
        outer=(edge(lambda point: point.low), edge(lambda point: point.high)),
        inner=(edge(lambda point: point.inner_low), edge(lambda point: point.inner_high)),
        is_expected=is_expected,
    )


def _reading(reading: ChartReading, scale: _Scale) -> Sign:
    top, foot = scale.y(reading.high), scale.y(reading.low)
    # What lies beyond a limit has no other end: the arrow is as long as it must be to be seen.
    if reading.shape == "above":
        top = min(top, foot - _ARROW)
    if reading.shape == "below":
        foot = max(foot, top + _ARROW)
    return Sign(
        shape=reading.shape,
        x=scale.x(reading.at),
        top=top,
        centre=scale.y(reading.centre),
        foot=foot,
        words=reading.words,
    )


def _mark(mark: ChartMark, scale: _Scale) -> Sign:
    ground = scale.y(scale.low)
    # Water changes stand above doses, so that a change and its make-up dose are both seen.
    lift = {"dose": 0.0, "change": 9.0, "move": 18.0, "note": 18.0}[mark.kind]
    foot = ground - lift
    return Sign(
        shape=mark.kind,
        x=scale.x(mark.at),
        top=foot - 7,
        centre=foot - 3.5,
        foot=foot,
        words=mark.words,
        is_planned=mark.entry is None,
    )
