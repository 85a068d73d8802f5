"""Generic ways of taking a reading, each with its error."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.copper import CopperForm
from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class MethodFigure:
    """One method: errors are one standard deviation, `relative_sd` a fraction, the rest in `unit`.

    A method for copper names the forms of copper it reads; the others never meet it.
    """

    key: str
    name: str
    constituents: tuple[str, ...]
    unit: str
    resolution: float
    absolute_sd: float
    relative_sd: float
    source: str
    status: Status
    lower_limit: float | None = None
    upper_limit: float | None = None
    marks: tuple[float, ...] | None = None
    note: str = ""
    copper_forms: tuple[CopperForm, ...] = ()


@cache
def _methods() -> Mapping[str, MethodFigure]:
    return read("methods.toml", MethodFigure)


def methods() -> tuple[MethodFigure, ...]:
    """Return every built-in method."""
    return tuple(_methods().values())


def method(key: str) -> MethodFigure:
    """Return one method; KeyError with a plain sentence for an unknown key."""
    return pick(_methods(), key, what="method")
