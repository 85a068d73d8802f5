"""Foods and what they carry into the water."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class Food:
    """One food as fed: fractions of its wet mass; `portion` says what one portion of `grams_per_portion` is."""

    key: str
    name: str
    portion: str
    protein_fraction: float
    phosphorus_fraction: float
    source: str
    status: Status
    grams_per_portion: float | None = None
    moisture: float | None = None
    note: str = ""


@cache
def _foods() -> Mapping[str, Food]:
    return read("foods.toml", Food)


def foods() -> tuple[Food, ...]:
    """Return every food."""
    return tuple(_foods().values())


def food(key: str) -> Food:
    """Return one food; KeyError with a plain sentence for an unknown key."""
    return pick(_foods(), key, what="food")
