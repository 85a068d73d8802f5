"""What the page of one system shows. No HTML here."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from pratique.casework.sheets.chart import Chart
from pratique.casework.sheets.concern import Concern
from pratique.casework.sheets.lines import About, FeedMark, NextStep


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
    without_fish: str = ""
