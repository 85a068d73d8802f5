"""What a reading is taken to be good for where no ± was given with it."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class AssumedError:
    """The 95 % error of one kind of reading: the larger of `absolute`, in `unit`, and `relative` counts."""

    key: str
    name: str
    unit: str
    absolute: float
    relative: float
    source: str
    status: Status

    def plus_minus(self, value: float) -> float:
        """Return the half-width of the 95 % interval round a reading in `unit`."""
        return max(self.absolute, self.relative * abs(value))


@cache
def _assumed_errors() -> Mapping[str, AssumedError]:
    return read("assumed_errors.toml", AssumedError)


def assumed_errors() -> tuple[AssumedError, ...]:
    """Return what is assumed of every kind of reading."""
    return tuple(_assumed_errors().values())


def assumed_error(key: str) -> AssumedError:
    """Return what is assumed of one kind of reading; KeyError with a plain sentence for an unknown key."""
    return pick(_assumed_errors(), key, what="assumed error")
