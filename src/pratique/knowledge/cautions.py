"""What can hurt a person or an animal, in plain words, by substance."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.loading import read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class Caution:
    """One caution and the substances at whose use it must stand."""

    key: str
    text: str
    substances: tuple[str, ...]
    source: str
    status: Status


@cache
def _cautions() -> Mapping[str, Caution]:
    return read("cautions.toml", Caution)


@cache
def cautions_for(substance: str) -> tuple[Caution, ...]:
    """Return the cautions of a substance in the order they should be read; none for a substance without any."""
    return tuple(caution for caution in _cautions().values() if substance in caution.substances)
