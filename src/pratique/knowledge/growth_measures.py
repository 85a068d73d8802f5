"""What may be done about a growth, what stands against it, and what helps against which candidate."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status

type BlockVerdict = Literal["care", "not before", "not known", "not here"]


@dataclass(frozen=True)
class GrowthMeasure:
    """One thing to do; `burden` orders measures by what they ask of the animals, the lightest first.

    `dose_mg_per_l` is a usual dose and `most_mg_per_l` the most that is ever told, both of `substances`.
    """

    key: str
    name: str
    how: str
    adds: Literal["nothing", "media", "equipment", "light", "substance"]
    burden: int
    looks_for: str
    course: str
    watch: tuple[str, ...]
    stop: tuple[str, ...]
    blocks: tuple[str, ...]
    without: tuple[str, ...]
    alongside: tuple[str, ...]
    source: str
    status: Status
    substances: tuple[str, ...] = ()
    dose_mg_per_l: float | None = None
    most_mg_per_l: float | None = None
    is_last: bool = False
    task: str = ""

    @property
    def task_words(self) -> str:
        """Return the words of the task that is written where it was begun: by them it is known again."""
        return self.task or f"Began: {self.name}"


@dataclass(frozen=True)
class GrowthBlock:
    """What stands against a measure: the words, the verdict where it holds, and what to do where nobody knows."""

    key: str
    words: str
    verdict: BlockVerdict
    unknown: str
    source: str
    status: Status


@dataclass(frozen=True)
class GrowthLines:
    """What is done about one candidate: first, then second, and what works against it."""

    key: str
    first: tuple[str, ...]
    second: tuple[str, ...]
    avoid: tuple[str, ...]
    course: str
    source: str
    status: Status


@dataclass(frozen=True)
class Inhabitants:
    """A group of inhabitants to be spared, by kind of animal."""

    key: str
    words: str
    kinds: tuple[str, ...]
    source: str
    status: Status


@cache
def _measures() -> Mapping[str, GrowthMeasure]:
    return read("growth_measures.toml", GrowthMeasure)


@cache
def _blocks() -> Mapping[str, GrowthBlock]:
    return read("growth_blocks.toml", GrowthBlock)


@cache
def _lines() -> Mapping[str, GrowthLines]:
    return read("growth_lines.toml", GrowthLines)


@cache
def _inhabitants() -> Mapping[str, Inhabitants]:
    return read("growth_inhabitants.toml", Inhabitants)


def growth_measures() -> tuple[GrowthMeasure, ...]:
    """Return every measure, in the order of the file."""
    return tuple(_measures().values())


def growth_block(key: str) -> GrowthBlock:
    """Return one block; KeyError with a plain sentence for an unknown key."""
    return pick(_blocks(), key, what="thing that stands against a measure")


def growth_lines() -> Mapping[str, GrowthLines]:
    """Return what is done about each candidate, by its key."""
    return _lines()


def growth_inhabitants() -> tuple[Inhabitants, ...]:
    """Return every group of inhabitants."""
    return tuple(_inhabitants().values())
