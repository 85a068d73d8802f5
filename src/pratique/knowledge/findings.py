"""What can be looked for on a nuisance growth, in plain words."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class FindingKind:
    """One feature to look for: the tool it takes, the minutes it costs, and that it is answered yes or no."""

    key: str
    words: str
    group: str
    tool: Literal["eye", "torch", "kitchen filter", "microscope", "test kit"]
    minutes: float
    source: str
    status: Status
    grade: Literal["yes_no"] = "yes_no"


@cache
def _kinds() -> Mapping[str, FindingKind]:
    return read("findings.toml", FindingKind)


def finding_kinds() -> tuple[FindingKind, ...]:
    """Return every kind of finding."""
    return tuple(_kinds().values())


def finding_kind(key: str) -> FindingKind:
    """Return one kind of finding; KeyError with a plain sentence for an unknown key."""
    return pick(_kinds(), key, what="finding")
