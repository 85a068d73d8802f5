"""The animals home keepers keep: families, sizes and how they take copper."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status

_FILES = ("fishes.toml", "invertebrates.toml")


@dataclass(frozen=True)
class Species:
    """One kind of animal; `adult_length_cm` is the range of adult total length, `copper_note` is for the keeper."""

    key: str
    name: str
    latin: str
    family: str
    copper_caution: Literal["low", "medium", "high"]
    copper_note: str
    is_invertebrate: bool
    feeds_per_day: float
    source: str
    status: Status
    adult_length_cm: tuple[float, float] | None = None


@cache
def _species() -> Mapping[str, Species]:
    return {key: kind for file in _FILES for key, kind in read(file, Species).items()}


def all_species() -> tuple[Species, ...]:
    """Return every kind, fishes first."""
    return tuple(_species().values())


def species(key: str) -> Species:
    """Return one kind; KeyError with a plain sentence for an unknown key."""
    return pick(_species(), key, what="kind of animal")
