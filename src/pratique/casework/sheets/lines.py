"""What every page says its lines with: what is meant, what it rests on, what to do next. No HTML here."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID


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
