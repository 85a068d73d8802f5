"""What the page of a course of treatment shows. No HTML here."""

from dataclasses import dataclass
from datetime import date

from pratique.casework.sheets.chart import Chart
from pratique.casework.sheets.concern import Concern
from pratique.casework.sheets.lines import About, Coincidence, NextStep, Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class DayCell:
    """One day of a course: how likely it was held, whether it counts, and the lowest level reckoned that day.

    `probability` is that of a level at or above the target all day, `counts` that it has stood unbroken since,
    `reached` that the required days in a row had been held by its end; None where nothing tells the level. `lowest`
    is the median of the level at its lowest, `lowest_low` and `lowest_high` its 95 % range.
    """

    day: int
    date: date
    held: bool
    is_dip: bool
    is_lost: bool
    words: str
    is_known: bool = True
    probability: float | None = None
    counts: float | None = None
    reached: float | None = None
    lowest: float | None = None
    lowest_low: float | None = None
    lowest_high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LikelyDip:
    """A stretch in which the level likely fell under the band once it had been reached, and what went before it."""

    words: str
    probability: float
    is_likely: bool
    just_before: tuple[Coincidence, ...]


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
    """A course of treatment: what was held and how surely, what was lost, what to do next.

    `days_credited` stand with the chance a gate asks for; `probability` is that of the required days in a row, None
    where it is not known. `day_words` tell the days by stretches, `said` what the counting comes to.
    """

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
    probability: float | None
    chart: Chart | None
    days: tuple[DayCell, ...]
    day_words: tuple[str, ...]
    said: tuple[str, ...]
    dips: tuple[LikelyDip, ...]
    advice: Advice | None
    concerns: tuple[Concern, ...]
    cautions: tuple[str, ...]
    beside: tuple[Reason, ...] = ()
    reasons: tuple[Reason, ...]
    steps: tuple[NextStep, ...]
