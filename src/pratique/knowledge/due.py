"""How often something should be read, fed or counted."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from pratique.knowledge.loading import read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class DueRule:
    """One rule: in such a state of a system, `constituent` (or "feeding", or "breathing") is due so often."""

    key: str
    when: Literal["course_at_target", "course_ramp", "quarantine_stocked", "display"]
    constituent: str
    every_hours: float
    words: str
    source: str
    status: Status


@cache
def _rules() -> Mapping[str, DueRule]:
    return read("due.toml", DueRule)


def due_rules() -> tuple[DueRule, ...]:
    """Return every rule."""
    return tuple(_rules().values())
