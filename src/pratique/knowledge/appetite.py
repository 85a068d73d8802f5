"""Chances of the hidden states of appetite, and what the alarm is set to."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class AppetiteFigure:
    """One row of chances with its unit, source and status."""

    key: str
    values: tuple[float, ...]
    unit: str
    source: str
    status: Status


@cache
def appetite_figures() -> Mapping[str, AppetiteFigure]:
    """Return every row by key."""
    return read("appetite.toml", AppetiteFigure)


def appetite_figure(key: str) -> AppetiteFigure:
    """Return one row; KeyError with a plain sentence for an unknown key."""
    return pick(appetite_figures(), key, what="figure of appetite")
