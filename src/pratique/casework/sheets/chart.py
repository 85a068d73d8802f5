"""What one chart shows, and so what its table shows. No HTML here."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal
from uuid import UUID


@dataclass(frozen=True, slots=True)
class ChartReading:
    """A reading on a chart: a bar as long as its error, or a box between two marks, or an arrow beyond a limit."""

    at: datetime
    low: float
    centre: float
    high: float
    shape: Literal["bar", "box", "below", "above"]
    words: str
    entry: UUID


@dataclass(frozen=True, slots=True)
class ChartMark:
    """A dose, a water change or another event, marked on the time axis."""

    at: datetime
    kind: Literal["dose", "change", "move", "note"]
    words: str
    entry: UUID


@dataclass(frozen=True, slots=True)
class ChartPoint:
    """One point of a reckoned line with its 95 % range. `jump` starts a new stretch of line."""

    at: datetime
    low: float
    value: float
    high: float
    jump: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """Everything one chart shows, and so everything its table shows. Times are aware; the page makes them local."""

    title: str
    description: str
    unit: str
    decimals: int
    start: datetime
    end: datetime
    line: tuple[ChartPoint, ...] = ()
    readings: tuple[ChartReading, ...] = ()
    marks: tuple[ChartMark, ...] = ()
    band: tuple[float, float] | None = None
    band_words: str = ""
    hard_upper: float | None = None
    y_from_zero: bool = True
    note: str = ""
