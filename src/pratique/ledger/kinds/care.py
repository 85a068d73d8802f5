"""Entries about treatment, growth cases, pictures, chores and notes."""

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from pratique.ledger.kinds.payload import Finite, Key, Link, Name, NotNegative, Payload, Positive, Text


class Course(Payload):
    """One treatment of one system as planned: substance, band, required time. It begins with a course-start."""

    kind: ClassVar[str] = "course"

    key: Key
    name: Name
    system: Key
    substance: str
    stock: Key | None = None
    target_lower: NotNegative
    target_upper: NotNegative
    hard_upper: NotNegative
    required_days: Positive
    batch: Key | None = None
    words: Text = ""

    @model_validator(mode="after")
    def _band_in_order(self) -> Self:
        if not self.target_lower < self.target_upper <= self.hard_upper:
            message = "a band goes from target lower through target upper to hard upper"
            raise ValueError(message)
        return self

    def links(self) -> Iterator[Link]:
        """Speak of the course, its system and its batch."""
        yield Link(f"course/{self.key}", "set-up")
        yield Link(f"system/{self.system}", "course")
        if self.batch is not None:
            yield Link(f"batch/{self.batch}", "course")


class CourseStart(Payload):
    """A planned course begins."""

    kind: ClassVar[str] = "course-start"

    course: Key
    system: Key
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the course and its system."""
        yield Link(f"course/{self.course}", "start")
        yield Link(f"system/{self.system}", "course")


class CourseStop(Payload):
    """A course ends, finished or broken off."""

    kind: ClassVar[str] = "course-stop"

    course: Key
    system: Key
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the course and its system."""
        yield Link(f"course/{self.course}", "stop")
        yield Link(f"system/{self.system}", "course")


class GrowthCase(Payload):
    """A nuisance growth begins to be followed."""

    kind: ClassVar[str] = "growth-case"

    key: Key
    name: Name
    system: Key
    where: Text = ""
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the case and its system."""
        yield Link(f"case/{self.key}", "set-up")
        yield Link(f"system/{self.system}", "growth")


class Finding(Payload):
    """One observed feature of a growth: present, absent, or graded."""

    kind: ClassVar[str] = "finding"

    case: Key
    finding: str
    state: Literal["present", "absent", "graded"]
    grade: Finite | None = None
    words: Text = ""

    @model_validator(mode="after")
    def _grade_goes_with_graded(self) -> Self:
        if (self.state == "graded") != (self.grade is not None):
            message = "a graded finding needs its number, the others take none"
            raise ValueError(message)
        return self

    def links(self) -> Iterator[Link]:
        """Speak of the case, by finding."""
        yield Link(f"case/{self.case}", self.finding, self.grade)


class CaseClosed(Payload):
    """A growth case is no longer followed."""

    kind: ClassVar[str] = "case-closed"

    case: Key
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the case."""
        yield Link(f"case/{self.case}", "closed")


class Photo(Payload):
    """A stored picture: its content's SHA-256 names the file. Location is never kept."""

    kind: ClassVar[str] = "photo"

    sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
    media_type: Literal["image/jpeg", "image/png", "image/webp"]
    width_px: int
    height_px: int
    subjects: tuple[str, ...] = ()
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of everything the picture shows."""
        yield from (Link(subject, "photo") for subject in self.subjects or ("household",))


class TaskDone(Payload):
    """A chore was done, such as a siphoning or a cleaned sock."""

    kind: ClassVar[str] = "task-done"

    task: Name
    subjects: tuple[str, ...] = ()
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of everything the chore was for."""
        yield from (Link(subject, self.task[:60]) for subject in self.subjects or ("household",))


class Note(Payload):
    """Free words, about one thing or about nothing in particular."""

    kind: ClassVar[str] = "note"

    words: Annotated[str, Field(min_length=1, max_length=4000)]
    subjects: tuple[str, ...] = ()

    def links(self) -> Iterator[Link]:
        """Speak of everything the note is about."""
        yield from (Link(subject, "note") for subject in self.subjects or ("household",))


class Withdrawal(Payload):
    """An earlier entry should not stand; it stays readable."""

    kind: ClassVar[str] = "withdrawal"

    words: Annotated[str, Field(min_length=1, max_length=4000)]
