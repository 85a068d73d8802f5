"""What the page of a growth case shows. No HTML here."""

from dataclasses import dataclass, field
from datetime import date, datetime
from uuid import UUID

from pratique.casework.sheets.chart import Chart
from pratique.casework.sheets.concern import Concern
from pratique.casework.sheets.lines import About, Evidence, NextStep
from pratique.casework.sheets.measures import MeasureLine


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingLine:
    """A finding made on a growth case."""

    words: str
    state: str
    happened_at: datetime
    entry: UUID
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CandidateLine:
    """One thing it may be: its chance with the 90 % range that the doubt of the table leaves."""

    key: str
    name: str
    chance: float
    low: float
    high: float
    harm: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyLine:
    """One finding and what it does to the verdict."""

    words: str
    says: str
    entry: UUID | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LookLine:
    """One look that is left: with what, how long, the bits it is expected to tell, and what either answer would say."""

    words: str
    picture: str
    tool: str
    minutes: float
    says: str
    bits: float
    step: NextStep


@dataclass(frozen=True, slots=True, kw_only=True)
class CasePhoto:
    """One photo of a growth; `cover` is what was measured on it, in short."""

    sha256: str
    words: str
    happened_at: datetime
    entry: UUID
    cover: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseClip:
    """One clip of a growth."""

    sha256: str
    words: str
    happened_at: datetime
    entry: UUID


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
    candidates: tuple[CandidateLine, ...]
    why: tuple[WhyLine, ...]
    contradictions: tuple[str, ...]
    turning: str
    measures: tuple[MeasureLine, ...]
    looks: tuple[LookLine, ...]
    regrowth_words: str
    photos: tuple[CasePhoto, ...]
    clips: tuple[CaseClip, ...]
    charts: tuple[Chart, ...]
    course_said: tuple[str, ...]
    concerns: tuple[Concern, ...]
    steps: tuple[NextStep, ...]
    cautions: tuple[str, ...] = field(default=())
