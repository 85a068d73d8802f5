"""How heavy and how deep a body of some length is wont to be, by its shape or its kind."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.loading import read
from pratique.knowledge.species import Species
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class BodyShape:
    """Weight against total length for one shape, W = a·Lᵇ in grams and centimetres; ranges are 95 % between kinds."""

    key: str
    name: str
    genera: tuple[str, ...]
    families: tuple[str, ...]
    a: float
    a_range: tuple[float, float]
    b: float
    b_range: tuple[float, float]
    source: str
    status: Status


@dataclass(frozen=True)
class BodyDepth:
    """The range of body depth over standard length of one kind, as printed."""

    key: str
    low: float
    high: float
    source: str
    status: Status


@cache
def body_shapes() -> Mapping[str, BodyShape]:
    """Return every shape by key."""
    return read("body_shapes.toml", BodyShape)


@cache
def body_depths() -> Mapping[str, BodyDepth]:
    """Return the printed depths by kind of animal."""
    return read("body_depths.toml", BodyDepth)


def body_shape_of(kind: Species) -> BodyShape | None:
    """Return the shape whose curve is used for a kind: by its genus, else its family; None where no curve fits."""
    genus = kind.latin.partition(" ")[0]
    known = body_shapes().values()
    by_genus = next((one for one in known if genus in one.genera), None)
    return by_genus or next((one for one in known if kind.family in one.families), None)


def body_depth_of(kind: Species) -> BodyDepth | None:
    """Return the printed depth over length of a kind, or None where none is known."""
    return body_depths().get(kind.key)
