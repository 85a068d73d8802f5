"""Single figures: thresholds, defaults and rates, each under a dotted key."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class Figure:
    """One number with its unit, source and status."""

    key: str
    value: float
    unit: str
    source: str
    status: Status
    note: str = ""


@cache
def figures() -> Mapping[str, Figure]:
    """Return every single figure by key."""
    return read("thresholds.toml", Figure)


def figure(key: str) -> Figure:
    """Return one figure; KeyError with a plain sentence for an unknown key."""
    return pick(figures(), key, what="figure")
