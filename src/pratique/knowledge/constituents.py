"""What can be read in water: units, and what is impossible or doubtful."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class Constituent:
    """One constituent; outside `possible` a value is refused, outside `usual` it is asked once."""

    key: str
    name: str
    unit: str
    symbol: str
    possible_lower: float
    possible_upper: float
    usual_lower: float
    usual_upper: float
    decimals: int
    source: str
    status: Status


@cache
def _constituents() -> Mapping[str, Constituent]:
    return read("constituents.toml", Constituent)


def constituents() -> tuple[Constituent, ...]:
    """Return every constituent, in the order a keeper reads them."""
    return tuple(_constituents().values())


def constituent(key: str) -> Constituent:
    """Return one constituent; KeyError with a plain sentence for an unknown key."""
    return pick(_constituents(), key, what="constituent")
