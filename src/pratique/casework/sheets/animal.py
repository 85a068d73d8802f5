"""What the page of one animal shows. No HTML here."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from pratique.casework.sheets.body import BodyTold
from pratique.casework.sheets.chart import Chart
from pratique.casework.sheets.concern import Concern
from pratique.casework.sheets.lines import About, Evidence, FeedMark, NextStep, Reason


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
    body: BodyTold | None = None
