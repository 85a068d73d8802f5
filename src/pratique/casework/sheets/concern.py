"""What should worry the keeper, what is due, and the day's rounds. No HTML here."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from pratique.casework.sheets.lines import About, Coincidence, Evidence, FeedMark, NextStep, Reason

Weight = Literal["now", "today", "watch"]
WEIGHT_ORDER: dict[Weight, int] = {"now": 0, "today": 1, "watch": 2}


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounds:
    """The day's walk past every system and animal."""

    day: date
    household: str
    gist: str
    concerns: tuple[Concern, ...]
    due: tuple[Due, ...]
    looked_at: str = ""
