"""Entries about the gates of a passage: one gone through in spite of what it says, and the last one granted."""

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field

from pratique.ledger.kinds.payload import Key, Link, Name, Payload, Text

GateStatus = Literal["met", "not met", "not known", "overridden"]
Words = Annotated[str, Field(min_length=1, max_length=4000)]


class ShownCriterion(BaseModel):
    """One criterion of a gate as the keeper saw it: its name, how it stood, and the sentence shown."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    key: Annotated[str, Field(min_length=1, max_length=60)]
    title: Name
    status: GateStatus
    words: Text


class Override(Payload):
    """The keeper lets one criterion of an animal's gate count although it is not met, or not known, and says why."""

    kind: ClassVar[str] = "override"

    animal: Key
    batch: Key
    leg: str
    shown: ShownCriterion
    words: Words

    def links(self) -> Iterator[Link]:
        """Speak of the animal and its batch."""
        yield Link(f"animal/{self.animal}", "override")
        yield Link(f"batch/{self.batch}", "override")


class Clearance(Payload):
    """An animal is let go from its passage: who grants it is the entry's author.

    `chance_clear` is the chance then that no living stage was on it or in water moved with it; None where not known.
    """

    kind: ClassVar[str] = "clearance"

    animal: Key
    batch: Key
    chance_clear: Annotated[float, Field(ge=0, le=1)] | None = None
    shown: Annotated[tuple[ShownCriterion, ...], Field(min_length=1)]
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the animal, with the chance shown, and of its batch."""
        yield Link(f"animal/{self.animal}", "clearance", self.chance_clear)
        yield Link(f"batch/{self.batch}", "clearance")
