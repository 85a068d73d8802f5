"""What a page that lists things shows. No HTML here."""

from dataclasses import dataclass

from pratique.casework.sheets.concern import Weight
from pratique.casework.sheets.lines import About


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
