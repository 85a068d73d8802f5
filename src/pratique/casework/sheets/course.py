"""What the page of a course of treatment shows. No HTML here."""

from dataclasses import dataclass
from datetime import date

from pratique.casework.sheets.chart import Chart
from pratique.casework.sheets.concern import Concern
from pratique.casework.sheets.lines import About, NextStep, Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class DayCell:
    """One day of a course: whether it counted, or nothing tells its level, and the lowest level reckoned that day."""

    day: int
    date: date
    held: bool
    is_dip: bool
    is_lost: bool
    lowest: float
    words: str
    is_known: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """A dose to give now, or why none is advised."""

    title: str
    words: str
    reasons: tuple[Reason, ...] = ()
    step: NextStep | None = None
    is_withheld: bool = False
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseSheet:
    """A course of treatment: what was held, what was lost, what to do next."""

    key: str
    name: str
    system: About
    batch: About | None
    standing: str
    heading: str
    gist: str
    band_words: str
    days_credited: int
    days_lost: int
    required_days: float
    hours_above_upper: float
    chart: Chart | None
    days: tuple[DayCell, ...]
    advice: Advice | None
    concerns: tuple[Concern, ...]
    cautions: tuple[str, ...]
    reasons: tuple[Reason, ...]
    steps: tuple[NextStep, ...]
