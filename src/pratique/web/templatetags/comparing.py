"""Filters of the page that compares passages."""

from collections.abc import Sequence

from django import template

from pratique import knowledge
from pratique.casework.compare_words import likely_words, looks_words
from pratique.casework.fallow_lines import line_words
from pratique.casework.sheets.compare import ComparedPassage, DayChance, Likely
from pratique.casework.sheets.fallow import FallowLine
from pratique.casework.words import listed, percent

register = template.Library()
_WEEK = 7


@register.filter
def likely(found: Likely) -> str:
    """Return a chance with its range."""
    return likely_words(found)


@register.filter
def chance(value: float) -> str:
    """Return a chance or a part in whole per cent."""
    return percent(value)


@register.filter
def looks(passage: ComparedPassage) -> str:
    """Return what looks without a sign add."""
    return looks_words(passage)


@register.filter
def weekly(passage: ComparedPassage | FallowLine) -> tuple[DayChance, ...]:
    """Return the first day, every seventh, and that of clearance."""
    last = passage.curve[-1]
    return (*(one for one in passage.curve[:-1] if one.day % _WEEK == 0), last)


@register.filter
def waiting(line: FallowLine) -> str:
    """Return how long one parasite is waited for."""
    return line_words(line)


@register.filter
def names(keys: Sequence[str]) -> str:
    """Return passages by their names, as a sentence lists them."""
    return listed([knowledge.protocol(key).name for key in keys])
