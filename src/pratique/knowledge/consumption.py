"""What tanks take up: for which constituents that is told, and with what it is balanced."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.loading import read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class Uptake:
    """How the uptake of a constituent is told: not where its 95 % are wider than `widest_plus_minus` a day.

    `salt` is the substance that balances it where no stock is at hand; None where none is weighed in for that.
    """

    key: str
    widest_plus_minus: float
    decimals: int
    source: str
    status: Status
    salt: str | None = None


@cache
def uptakes() -> Mapping[str, Uptake]:
    """Return how uptake is told, by constituent, in the order it is told."""
    return read("consumption.toml", Uptake)
