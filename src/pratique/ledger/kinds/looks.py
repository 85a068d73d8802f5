"""The entry of a close look at animals, for parasites that the eye beside the tank does not see."""

from collections.abc import Iterator
from typing import Annotated, ClassVar, Self

from pydantic import Field, model_validator

from pratique.ledger.kinds.payload import Key, Link, Payload, Text

# Keys of the shipped figures are joined by underscores.
FigureKey = Annotated[str, Field(max_length=26, pattern=r"^[a-z0-9]+(_[a-z0-9]+)*$")]


class Look(Payload):
    """One look by a method at each of some animals: which parasites were seen on any of them, and which on none."""

    kind: ClassVar[str] = "look"

    animals: Annotated[tuple[Key, ...], Field(min_length=1)]
    method: FigureKey
    seen: tuple[FigureKey, ...] = ()
    not_seen: tuple[FigureKey, ...] = ()
    words: Text = ""

    @model_validator(mode="after")
    def _says_something_once(self) -> Self:
        if not self.seen and not self.not_seen:
            message = "a look says of at least one parasite whether it was seen"
            raise ValueError(message)
        if set(self.seen) & set(self.not_seen):
            message = "a parasite was seen or was not"
            raise ValueError(message)
        return self

    def links(self) -> Iterator[Link]:
        """Speak of each animal, once for each parasite: 1 where it was seen, 0 where not."""
        for animal in dict.fromkeys(self.animals):
            for number, parasites in ((1.0, self.seen), (0.0, self.not_seen)):
                yield from (Link(f"animal/{animal}", f"{self.method}: {one}", number) for one in parasites)
