"""Passages written down as data: legs, and what must stand before the next leg may begin."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.copper import CopperForm
from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class GateCriterion:
    """One criterion of the gate at a leg's end, in the keeper's words."""

    key: str
    words: str
    required: float
    unit: str
    source: str
    status: Status


@dataclass(frozen=True)
class Leg:
    """One leg, the role of the system it runs in, and the criteria of the gate at its end."""

    key: str
    name: str
    system_role: str
    criteria: tuple[GateCriterion, ...]
    source: str
    status: Status


@dataclass(frozen=True)
class Protocol:
    """A whole passage; `copper_form` is None where no copper is used."""

    key: str
    name: str
    words: str
    legs: tuple[Leg, ...]
    source: str
    status: Status
    copper_form: CopperForm | None = None


@cache
def _protocols() -> Mapping[str, Protocol]:
    return read("protocols.toml", Protocol)


def protocols() -> tuple[Protocol, ...]:
    """Return every shipped protocol."""
    return tuple(_protocols().values())


def protocol(key: str) -> Protocol:
    """Return one protocol; KeyError with a plain sentence for an unknown key."""
    return pick(_protocols(), key, what="protocol")
