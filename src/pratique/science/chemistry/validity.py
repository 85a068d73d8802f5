"""The range over which a relation was published: beyond it an answer is an extrapolation, and says so.

Not here: refusing an input. Where an answer would be nonsense `domain` raises; a range only tells what was published.
"""

from dataclasses import dataclass

from pratique.science.chemistry.domain import Number, is_within


@dataclass(frozen=True)
class Validity:
    """One input of a published relation: its name, the span the source covers, its unit and the source."""

    name: str
    lower: float
    upper: float
    unit: str
    source: str


def outside(validity: Validity, value: Number) -> bool:
    """Say whether any of the values, in the range's own unit, leaves the published range; a missing one (NaN) does."""
    return not is_within(value, validity.lower, validity.upper)
