"""What the page of a growth case shows. No HTML here."""

from dataclasses import dataclass, field
from datetime import date, datetime
from uuid import UUID

from pratique.casework.sheets.concern import Concern
from pratique.casework.sheets.lines import About, Evidence, NextStep
from pratique.casework.sheets.passage import CriterionLine


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
