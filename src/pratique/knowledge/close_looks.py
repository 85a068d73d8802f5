"""Looks that find what the eye does not: a skin scrape, a fresh-water dip; and how surely each finds a parasite."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class Finds:
    """How likely one look at an animal with ten of a parasite finds any; 90 % of what is believed lies low to high."""

    parasite: str
    at_burden_10: float
    low: float
    high: float
    source: str
    status: Status

    def __post_init__(self) -> None:
        if not 0.0 < self.low <= self.at_burden_10 <= self.high < 1.0:
            raise ValueError(f"{self.at_burden_10} is no chance between {self.low} and {self.high}")


@dataclass(frozen=True)
class CloseLook:
    """One way to look closely: what it is, what it can hurt, and what it can find."""

    key: str
    name: str
    words: str
    cautions: str
    finds: tuple[Finds, ...]
    source: str
    status: Status

    def of(self, parasite: str) -> Finds | None:
        """Return how surely it finds a parasite, None for one it cannot show."""
        return next((one for one in self.finds if one.parasite == parasite), None)


@cache
def _close_looks() -> Mapping[str, CloseLook]:
    return read("close_looks.toml", CloseLook)


def close_looks() -> tuple[CloseLook, ...]:
    """Return every way to look closely."""
    return tuple(_close_looks().values())


def close_look(key: str) -> CloseLook:
    """Return one way to look closely; KeyError with a plain sentence for an unknown one."""
    return pick(_close_looks(), key, what="way to look")
