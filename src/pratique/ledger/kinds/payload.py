"""What every kind of entry shares: a frozen, versioned payload that knows which subjects it speaks of."""

import re
from collections.abc import Iterator
from typing import Annotated, ClassVar, NamedTuple

from pydantic import AfterValidator, BaseModel, ConfigDict, Field


class Link(NamedTuple):
    """One subject an entry speaks of, the topic, and the number it gives if it gives one."""

    subject: str
    topic: str = ""
    number: float | None = None


def _check_key(key: str) -> str:
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", key):
        message = "a key is lower-case letters and digits joined by single hyphens, such as six-line-wrasse"
        raise ValueError(message)
    return key


Key = Annotated[str, Field(min_length=1, max_length=80), AfterValidator(_check_key)]
Name = Annotated[str, Field(min_length=1, max_length=80)]
Text = Annotated[str, Field(max_length=4000)]
Positive = Annotated[float, Field(gt=0, allow_inf_nan=False)]
NotNegative = Annotated[float, Field(ge=0, allow_inf_nan=False)]
Finite = Annotated[float, Field(allow_inf_nan=False)]


class Payload(BaseModel):
    """The typed body of one kind of entry.

    `confirmed` keeps the doubts the keeper was asked about before the entry was written, in the words shown.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    kind: ClassVar[str]
    version: ClassVar[int] = 1

    confirmed: tuple[str, ...] = ()

    @property
    def written_version(self) -> int:
        """Return the version its entry is written as: the oldest that can hold what it says."""
        return self.version

    def links(self) -> Iterator[Link]:
        """Yield every subject this entry speaks of; an entry of no one else's speaks of the household."""
        yield Link("household")


def place_links(system: str | None, compartment: str | None, topic: str = "") -> Iterator[Link]:
    """Yield the links of a place: its system and, where given, the compartment inside it."""
    if system is not None:
        yield Link(f"system/{system}", topic)
    if compartment is not None:
        yield Link(f"compartment/{compartment}", topic)
