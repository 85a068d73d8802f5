"""The pieces every page is made of: sentences with evidence, next steps, concerns, chart data. No HTML here."""

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Literal
from uuid import UUID

Weight = Literal["now", "today", "watch"]
WEIGHT_ORDER: dict[Weight, int] = {"now": 0, "today": 1, "watch": 2}


@dataclass(frozen=True, slots=True)
class About:
    """What a line is about. `type` is system, animal, batch, course, case or household."""

    type: str
    key: str
    name: str


@dataclass(frozen=True, slots=True)
class Evidence:
    """An entry a conclusion rests on, in a few words."""

    words: str
    happened_at: datetime
    entry: UUID


@dataclass(frozen=True, slots=True)
class Coincidence:
    """Something that happened just before: listed as coincidence, never as cause."""

    words: str
    happened_at: datetime
    entry: UUID


@dataclass(frozen=True, slots=True)
class NextStep:
    """One plain next step. With `form` it opens that form, filled in with `answers`; else it opens `about`."""

    words: str
    form: str = ""
    answers: tuple[tuple[str, str], ...] = ()
    about: About | None = None


@dataclass(frozen=True, slots=True)
class Reason:
    """A figure or rule behind a conclusion, with its source and how well that source is known."""

    words: str
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class FeedMark:
    """One feeding of one animal: the step 0-4, or None where it was not seen."""

    happened_at: datetime
    step: int | None
    entry: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class Concern:
    """Something that should worry the keeper today.

    `said` is what is so, since when and how sure; `just_before` is coincidence; `next_steps` starts with the one to
    take. `key` is stable, so that scripts can look for it.
    """

    key: str
    about: About
    title: str
    weight: Weight
    weight_words: str
    said: tuple[str, ...]
    next_steps: tuple[NextStep, ...]
    evidence: tuple[Evidence, ...]
    since: date | None = None
    just_before: tuple[Coincidence, ...] = ()
    reasons: tuple[Reason, ...] = ()
    cautions: tuple[str, ...] = ()
    feeds: tuple[FeedMark, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """Something to be done today. `overdue_hours` is how long it has been due, 0 for later today."""

    at: datetime
    words: str
    about: About
    step: NextStep
    overdue_hours: float = 0.0
    note: str = ""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelNow:
    """The newest reading of one constituent in a system, with its error, age and what it means."""

    constituent: str
    name: str
    words: str
    method: str
    happened_at: datetime
    age_words: str
    is_old: bool
    entry: UUID
    judgement: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounds:
    """The day's walk past every system and animal."""

    day: date
    household: str
    gist: str
    concerns: tuple[Concern, ...]
    due: tuple[Due, ...]
    looked_at: str = ""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Resident:
    """An animal as it stands in a list: who, where, how it feeds."""

    about: About
    species_words: str
    latin: str
    place: str
    since: datetime
    appetite_words: str
    feeds: tuple[FeedMark, ...] = ()
    is_invertebrate: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One place in a system, the open water or a compartment, and who is there."""

    name: str
    compartment: str | None
    residents: tuple[Resident, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SystemSheet:
    """One system: what is in its water, who lives there, what is going on."""

    about: About
    role_words: str
    volume_words: str
    gist: str
    words: str
    levels: tuple[LevelNow, ...]
    places: tuple[Place, ...]
    courses: tuple[tuple[About, str], ...]
    cases: tuple[tuple[About, str], ...]
    charts: tuple[Chart, ...]
    concerns: tuple[Concern, ...]
    steps: tuple[NextStep, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalSheet:
    """One animal: how it is, how sure, and how it came to be so."""

    about: About
    species_words: str
    latin: str
    batch: About | None
    life_words: str
    gist: str
    appetite_words: str
    breathing_words: str
    condition_words: str
    rest_words: str
    copper_words: str
    species_reason: Reason
    feeds: tuple[FeedMark, ...]
    charts: tuple[Chart, ...]
    stays: tuple[tuple[str, datetime, datetime | None, UUID], ...]
    seen: tuple[Evidence, ...]
    photos: tuple[tuple[str, str, datetime, UUID], ...]
    concerns: tuple[Concern, ...]
    steps: tuple[NextStep, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CriterionLine:
    """One criterion of a gate: met, not met or not known, with its number, evidence and how to make it known."""

    status: Literal["met", "not met", "not known"]
    title: str
    words: str
    evidence: tuple[Evidence, ...]
    how_to_know: str
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalGate:
    """The gate of one leg for one animal."""

    about: About
    is_open: bool
    criteria: tuple[CriterionLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LegLine:
    """One leg of a passage: done, now or ahead; its gates stand for the leg under way and those ahead."""

    key: str
    name: str
    standing: Literal["done", "now", "ahead"]
    when_words: str
    role_words: str
    gates: tuple[AnimalGate, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PassageSheet:
    """The way of one batch from arrival to settled."""

    about: About
    protocol_name: str
    protocol_words: str
    day: int | None
    gist: str
    legs: tuple[LegLine, ...]
    animals: tuple[Resident, ...]
    courses: tuple[tuple[About, str], ...]
    concerns: tuple[Concern, ...]
    reasons: tuple[Reason, ...]
    steps: tuple[NextStep, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingLine:
    """A finding made on a growth case."""

    words: str
    state: str
    happened_at: datetime
    entry: UUID
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GrowthSheet:
    """A growth case: what was seen, what may be done about it now, what could be looked at next."""

    about: About
    system: About
    since: date
    closed: date | None
    where: str
    gist: str
    findings: tuple[FindingLine, ...]
    timeline: tuple[Evidence, ...]
    may_be_done: tuple[CriterionLine, ...]
    looks: tuple[tuple[str, str, str, NextStep], ...]
    regrowth_words: str
    photos: tuple[tuple[str, str, datetime, UUID], ...]
    concerns: tuple[Concern, ...]
    steps: tuple[NextStep, ...]
    cautions: tuple[str, ...] = field(default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class ListLine:
    """One line of a list page: a thing, what it is, and the worst that is to be said of it today."""

    about: About
    words: str
    note: str
    weight: Weight | None = None
    weight_words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListGroup:
    """Lines under one heading."""

    heading: str
    lines: tuple[ListLine, ...]
