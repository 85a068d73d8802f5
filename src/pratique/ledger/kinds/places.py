"""Entries that set up the household: its systems, compartments, methods of reading and stock solutions."""

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from pratique.ledger.kinds.payload import Finite, Key, Link, Name, NotNegative, Payload, Positive, Text

# Keys of built-in methods are joined by underscores, those made from names by hyphens.
MethodKey = Annotated[str, Field(max_length=80, pattern=r"^[a-z0-9]+([-_][a-z0-9]+)*$")]
SystemRole = Literal["display", "quarantine", "recovery", "holding"]


class Household(Payload):
    """The household as it now wants to be known; the newest one counts."""

    kind: ClassVar[str] = "household"

    name: Name
    zone: str
    people: tuple[Name, ...] = ()
    volume_unit: Literal["L", "US gal"] = "L"
    temperature_unit: Literal["°C", "°F"] = "°C"


class System(Payload):
    """One body of water. A later entry with the same key says what has changed."""

    kind: ClassVar[str] = "system"

    key: Key
    name: Name
    role: SystemRole
    gross_volume_l: Positive
    net_volume_l: Positive | None = None
    net_volume_plus_minus_l: NotNegative | None = None
    keeps_invertebrates: bool = False
    words: Text = ""

    @model_validator(mode="after")
    def _net_fits_in_gross(self) -> Self:
        # A sump may hold more than the tank's own gross figure, but not as much again.
        if self.net_volume_l is not None and self.net_volume_l > 2 * self.gross_volume_l:
            message = "net volume is more than twice the gross volume"
            raise ValueError(message)
        return self

    def links(self) -> Iterator[Link]:
        """Speak of the system, with its net volume."""
        yield Link(f"system/{self.key}", "set-up", self.net_volume_l)


class Compartment(Payload):
    """A part of a system that holds animals apart but shares its water."""

    kind: ClassVar[str] = "compartment"

    key: Key
    name: Name
    system: Key
    form: Literal["box", "divider", "sump", "refugium"]

    def links(self) -> Iterator[Link]:
        """Speak of the compartment and of the system whose water it shares."""
        yield Link(f"compartment/{self.key}", "set-up")
        yield Link(f"system/{self.system}", "compartment")


class Method(Payload):
    """How a reading is taken, and so its error. An entry with a built-in method's key edits that method."""

    kind: ClassVar[str] = "method"

    key: MethodKey
    name: Name
    constituents: tuple[str, ...]
    resolution: Positive | None = None
    absolute_sd: NotNegative = 0.0
    relative_sd: NotNegative = 0.0
    lower_limit: Finite | None = None
    upper_limit: Finite | None = None
    marks: tuple[Finite, ...] | None = None

    def links(self) -> Iterator[Link]:
        """Speak of the method."""
        yield Link(f"method/{self.key}", "set-up")


class Stock(Payload):
    """A stock solution on the shelf: what is in it, and how strong."""

    kind: ClassVar[str] = "stock"

    key: Key
    name: Name
    substance: str
    strength_mg_per_ml: Positive
    strength_plus_minus_percent: NotNegative = 5.0

    def links(self) -> Iterator[Link]:
        """Speak of the stock solution, with its strength."""
        yield Link(f"stock/{self.key}", "set-up", self.strength_mg_per_ml)
