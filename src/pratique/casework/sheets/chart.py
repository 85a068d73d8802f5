"""What one chart shows, and so what its table shows. No HTML here."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal
from uuid import UUID

from pratique.casework.sheets.lines import Reason


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
    """A dose, a water change or another event, marked on the time axis; one without an entry is only thought of."""

    at: datetime
    kind: Literal["dose", "change", "move", "note"]
    words: str
    entry: UUID | None


@dataclass(frozen=True, slots=True)
class ChartPoint:
    """One point of a reckoned line: the median, its 95 % range, and its 50 % range where that is told.

    `jump` starts a new stretch of line.
    """

    at: datetime
    low: float
    value: float
    high: float
    jump: bool = False
    inner_low: float | None = None
    inner_high: float | None = None


@dataclass(frozen=True, slots=True)
class ChartLine:
    """A sentence that stands under a chart, with what it rests on and the cautions of any dose it names."""

    words: str
    reasons: tuple[Reason, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """Everything one chart shows, and so everything its table shows. Times are aware; the page makes them local.

    After `expected_from` the line is not what was but what is to be expected. `said` are sentences under it;
    `leads_to` is the system and the constituent whose own page shows more, `way_on` the words
    of the link there.
    """

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
    expected_from: datetime | None = None
    said: tuple[ChartLine, ...] = ()
    leads_to: tuple[str, str] | None = None
    way_on: str = ""
