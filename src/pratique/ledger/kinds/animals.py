"""Entries about animals: how they came, moved and left, how they fed, and what was seen of them."""

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field

from pratique.ledger.kinds.payload import Finite, Key, Link, Name, NotNegative, Payload, Positive, Text, place_links

FOOD_TOPIC = "food: "
FeedingStep = Annotated[int, Field(ge=0, le=4)]


class Batch(Payload):
    """Animals that arrive together, and the protocol that will bring them to the display."""

    kind: ClassVar[str] = "batch"

    key: Key
    name: Name
    protocol: str
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the batch."""
        yield Link(f"batch/{self.key}", "set-up")


class Leg(Payload):
    """A batch begins a leg of its passage; going on past a shut gate needs words."""

    kind: ClassVar[str] = "leg"

    batch: Key
    leg: str
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the batch."""
        yield Link(f"batch/{self.batch}", self.leg)


class Arrival(Payload):
    """An animal, or an uncounted group of one species, comes into the household."""

    kind: ClassVar[str] = "arrival"

    key: Key
    name: Name
    species: str
    count: Annotated[int, Field(ge=1, le=10_000)] | None = 1
    system: Key
    compartment: Key | None = None
    batch: Key | None = None
    length_cm: Positive | None = None
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the animal, its place and its batch."""
        yield Link(f"animal/{self.key}")
        yield from place_links(self.system, self.compartment, "arrival")
        if self.batch is not None:
            yield Link(f"batch/{self.batch}", "arrival")


class Move(Payload):
    """Animals go to another system, or to another compartment of the same one."""

    kind: ClassVar[str] = "move"

    animals: Annotated[tuple[Key, ...], Field(min_length=1)]
    system: Key
    compartment: Key | None = None
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of each animal and of where it goes."""
        yield from (Link(f"animal/{animal}") for animal in self.animals)
        yield from place_links(self.system, self.compartment, "move")


class Loss(Payload):
    """An animal is not to be found; it is not known to be dead."""

    kind: ClassVar[str] = "loss"

    animal: Key
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the animal."""
        yield Link(f"animal/{self.animal}")


class Death(Payload):
    """An animal died."""

    kind: ClassVar[str] = "death"

    animal: Key
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the animal."""
        yield Link(f"animal/{self.animal}")


class FoodGiven(BaseModel):
    """One food of a feeding; the mass is as fed, water included."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    food: Annotated[str, Field(min_length=1, max_length=50)]
    amount_g: NotNegative | None = None


class Feeding(Payload):
    """Food offered in one place, and how each animal fed where that was seen.

    Steps: 0 ignores, 1 looks and spits, 2 takes a few, 3 steady, 4 eager. An animal in `offered_to` without a
    step was not seen, which is not the same as not having eaten.
    """

    kind: ClassVar[str] = "feeding"

    system: Key
    compartment: Key | None = None
    foods: tuple[FoodGiven, ...] = ()
    offered_to: tuple[Key, ...] = ()
    fed: dict[Key, FeedingStep] = Field(default_factory=dict)
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the place, each food, and each animal with its step (none where it was not seen)."""
        grams = [food.amount_g for food in self.foods if food.amount_g is not None]
        yield Link(f"system/{self.system}", "feeding", sum(grams) if grams else None)
        for food in dict.fromkeys(one.food for one in self.foods):
            yield Link(f"system/{self.system}", f"{FOOD_TOPIC}{food}")
        for animal in dict.fromkeys((*self.offered_to, *self.fed)):
            step = self.fed.get(animal)
            yield Link(f"animal/{animal}", "fed", None if step is None else float(step))


Sign = Literal[
    "spots",
    "dust",
    "torn fins",
    "cloudy eye",
    "wound",
    "redness",
    "slime",
    "swelling",
    "scratching",
    "gasping",
    "hiding",
    "lying down",
    "darting",
    "being chased",
    "chasing",
    "no signs",
]


class Observation(Payload):
    """What was seen of one animal, or of a system as a whole.

    `depth_over_length` is body depth divided by standard length from one photo; its ± is 95 %.
    `condition_step`: 0 rounded, 1 flat belly, 2 pinched belly, 3 pinched belly and hollow nape.
    """

    kind: ClassVar[str] = "observation"

    animal: Key | None = None
    system: Key | None = None
    beats_per_min: Positive | None = None
    counted_s: Positive = 20.0
    spots: Annotated[int, Field(ge=0)] | None = None
    signs: tuple[Sign, ...] = ()
    depth_over_length: Annotated[float, Field(gt=0, lt=3)] | None = None
    depth_over_length_plus_minus: NotNegative | None = None
    condition_step: Annotated[int, Field(ge=0, le=3)] | None = None
    length_cm: Positive | None = None
    weight_g: Positive | None = None
    charges: Annotated[int, Field(ge=0)] | None = None
    watched_min: Finite | None = None
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the animal or system, once for each thing seen."""
        subject = f"animal/{self.animal}" if self.animal else f"system/{self.system}" if self.system else "household"
        numbers = {
            "beats": self.beats_per_min,
            "counted": self.counted_s if self.beats_per_min is not None else None,
            "spots": self.spots,
            "depth": self.depth_over_length,
            "depth-plus-minus": self.depth_over_length_plus_minus,
            "condition": self.condition_step,
            "charges": self.charges,
        }
        seen = [Link(subject, topic, number) for topic, number in numbers.items() if number is not None]
        yield from seen
        yield from (Link(subject, f"sign: {sign}") for sign in self.signs)
        if not seen and not self.signs:
            yield Link(subject, "words")
