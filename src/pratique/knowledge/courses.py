"""What goes with a course besides its dose, what must not be combined, and which way is open to sensitive animals."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from pratique.knowledge.loading import read
from pratique.knowledge.status import Status

type NoteKind = Literal["start", "ramp", "make_up", "media", "air", "wash_out"]


@dataclass(frozen=True)
class CourseNote:
    """One thing to do before, during or after a course of any of `substances`, in words for the keeper."""

    key: str
    kind: NoteKind
    substances: tuple[str, ...]
    words: str
    source: str
    status: Status


@dataclass(frozen=True)
class Combination:
    """Two sides that must not be in the same water or the same animal at once, and the days between them.

    `is_violent` says that they react so that a person may be hurt.
    """

    key: str
    one: tuple[str, ...]
    other: tuple[str, ...]
    days_apart: float
    words: str
    source: str
    status: Status
    is_violent: bool = False

    def joins(self, a: str, b: str) -> bool:
        """Return whether two substances are its two sides."""
        return a != b and ((a in self.one and b in self.other) or (b in self.one and a in self.other))


@dataclass(frozen=True)
class Alternative:
    """Another protocol for animals that take an agent badly: of these families, or by their copper caution."""

    key: str
    agent: str
    families: tuple[str, ...]
    cautions: tuple[str, ...]
    words: str
    protocols: tuple[str, ...]
    source: str
    status: Status


@cache
def _notes() -> Mapping[str, CourseNote]:
    return read("courses.toml", CourseNote)


@cache
def _combinations() -> Mapping[str, Combination]:
    return read("combinations.toml", Combination)


@cache
def _alternatives() -> Mapping[str, Alternative]:
    return read("alternatives.toml", Alternative)


def course_notes() -> tuple[CourseNote, ...]:
    """Return every note."""
    return tuple(_notes().values())


def notes_for(substance: str) -> tuple[CourseNote, ...]:
    """Return what goes with a course of a substance, in the order it is done."""
    return tuple(one for one in _notes().values() if substance in one.substances)


def combinations() -> tuple[Combination, ...]:
    """Return every pair that must not be combined."""
    return tuple(_combinations().values())


def combination_of(a: str, b: str) -> Combination | None:
    """Return what stands against two substances together, the longest gap first, or None."""
    found = [one for one in combinations() if one.joins(a, b)]
    return max(found, key=lambda one: one.days_apart, default=None)


def alternatives() -> tuple[Alternative, ...]:
    """Return every alternative, the most pressing first."""
    return tuple(_alternatives().values())
