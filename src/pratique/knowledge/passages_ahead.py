"""What a passage is reckoned with before it begins: appetite, weight and copper, each with its status."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class Expectation:
    """One figure of what is to be expected; all that is believed of it lies between `low` and `high`."""

    key: str
    words: str
    value: float
    low: float
    high: float
    unit: str
    source: str
    status: Status

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise ValueError(f"{self.value} does not lie between {self.low} and {self.high}")


@cache
def expectations() -> Mapping[str, Expectation]:
    """Return every expectation by key."""
    return read("passages_ahead.toml", Expectation)


def expectation(key: str) -> Expectation:
    """Return one expectation; KeyError with a plain sentence for an unknown key."""
    return pick(expectations(), key, what="expectation")
