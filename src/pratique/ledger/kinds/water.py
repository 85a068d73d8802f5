"""Entries about the water: readings, doses, changes and top-offs."""

from collections.abc import Iterator
from typing import ClassVar, Literal, Self

from pydantic import Field, model_validator

from pratique.ledger.kinds.payload import Finite, Key, Link, NotNegative, Payload, Positive, Text, place_links

type PhScale = Literal["nbs", "total", "free"]


class Reading(Payload):
    """A measured value of one constituent: a number, an interval, or beyond what the method can show.

    Exactly one of `value`, `low` with `high`, `below` or `above` is given, in the constituent's canonical unit. `scale`
    is of pH only: NBS is what a hobby meter reads (common practice, no source), and is left out of the entry's text.
    """

    kind: ClassVar[str] = "reading"
    # The second version can hold a scale.
    version: ClassVar[int] = 2

    system: Key
    compartment: Key | None = None
    constituent: str
    value: Finite | None = None
    low: Finite | None = None
    high: Finite | None = None
    below: Finite | None = None
    above: Finite | None = None
    scale: PhScale = "nbs"
    method: str | None = None
    words: Text = ""

    @model_validator(mode="after")
    def _one_shape(self) -> Self:
        interval = self.low is not None or self.high is not None
        shapes = [self.value is not None, interval, self.below is not None, self.above is not None]
        if sum(shapes) != 1:
            message = "a reading is one number, one interval, or one 'below' or 'above'"
            raise ValueError(message)
        if interval and (self.low is None or self.high is None or self.low > self.high):
            message = "an interval needs a low end that is not above its high end"
            raise ValueError(message)
        if self.scale != "nbs" and self.constituent != "ph":
            message = "only pH has a scale"
            raise ValueError(message)
        return self

    @property
    def written_version(self) -> int:
        """Return the first version unless it has a scale: entries of before stay as they were."""
        return 1 if self.scale == "nbs" else 2

    @property
    def centre(self) -> float:
        """Return the one number that stands for this reading on a line: the middle, or the limit named."""
        if self.low is not None and self.high is not None:
            return (self.low + self.high) / 2
        return next(number for number in (self.value, self.below, self.above) if number is not None)

    def links(self) -> Iterator[Link]:
        """Speak of the system, by constituent."""
        yield Link(f"system/{self.system}", self.constituent, self.centre)


class Dose(Payload):
    """A substance put into a system's water, weighed or measured out of a stock solution."""

    kind: ClassVar[str] = "dose"

    system: Key
    substance: str
    stock: Key | None = None
    amount_ml: Positive | None = None
    amount_g: Positive | None = None
    # What counts for the reckoning: milligrams of the constituent (of copper, not of its salt), as it is read: nitrate
    # as NO3, total ammonia as N; of alkalinity as CaCO3.
    amount_mg: Positive | None = None
    course: Key | None = None
    words: Text = ""

    @model_validator(mode="after")
    def _some_amount(self) -> Self:
        if self.amount_ml is None and self.amount_g is None and self.amount_mg is None:
            message = "a dose needs an amount"
            raise ValueError(message)
        return self

    def links(self) -> Iterator[Link]:
        """Speak of the system, by substance, and of the course it belongs to."""
        yield Link(f"system/{self.system}", self.substance, self.amount_mg)
        if self.course is not None:
            yield Link(f"course/{self.course}", "dose", self.amount_mg)


class WaterChange(Payload):
    """Water taken out and replaced; `emptied` means all of it, with nothing of the old water left."""

    kind: ClassVar[str] = "water-change"

    system: Key
    volume_l: Positive | None = None
    emptied: bool = False
    incoming_mg_per_l: dict[str, NotNegative] = Field(default_factory=dict)
    words: Text = ""

    @model_validator(mode="after")
    def _how_much(self) -> Self:
        if self.emptied == (self.volume_l is not None):
            message = "a water change is a volume, or the whole tank emptied and refilled"
            raise ValueError(message)
        return self

    def links(self) -> Iterator[Link]:
        """Speak of the system, with the litres changed."""
        yield Link(f"system/{self.system}", "emptied" if self.emptied else "", self.volume_l)


class TopOff(Payload):
    """Fresh water added for what evaporated; it takes no constituent away."""

    kind: ClassVar[str] = "top-off"

    system: Key
    volume_l: Positive
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the system, with the litres added."""
        yield from place_links(self.system, None)
