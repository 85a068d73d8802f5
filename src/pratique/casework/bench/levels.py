"""Levels in whatever unit the keeper writes: the first one written holds for the card, the others are brought to it."""

from collections.abc import Sequence

from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.quantities import Measure
from pratique.casework.bench.questions import number
from pratique.casework.writing.fields import Field
from pratique.units import split_quantity

_ANY = Measure("")


def level_fields(
    name: str, label: str, *, required: bool = False, initial: str = "", hint: str = ""
) -> tuple[Field, ...]:
    """Return the question for a level in any unit."""
    return number(name, label, _ANY, required=required, initial=initial, hint=hint)


class Levels:
    """The levels of one card, all in one unit."""

    def __init__(self, asked: Asking, names: Sequence[str]) -> None:
        self._asked = asked
        written = (split_quantity(asked.text(name))[1] for name in names)
        self.unit = next((unit for unit in written if unit), "")

    def needed(self, name: str, needed: str) -> Measured:
        """Return a level that is needed, as `Asking.number` does."""
        return self._asked.number(name, self._measure, needed)

    def optional(self, name: str) -> Measured | None:
        """Return a level if it was given."""
        return self._asked.optional(name, self._measure)

    @property
    def _measure(self) -> Measure:
        return Measure(self.unit)
