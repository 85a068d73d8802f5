"""What a growth can be, how likely each finding is with it, and the numbers the differential is reckoned with."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from pratique.knowledge.growth_measures import growth_lines
from pratique.knowledge.loading import read
from pratique.knowledge.status import Status

type Likelihood = Literal["very likely", "likely", "neutral", "unlikely", "very unlikely"]


@dataclass(frozen=True)
class Candidate:
    """One thing a growth can be; a range that is absent has nothing to compare a measured cell with.

    `harm` says what it may do to people or animals that touch it or breathe its spray; empty where nothing is told.
    """

    key: str
    name: str
    source: str
    status: Status
    harm: str = ""
    length_low_um: float | None = None
    length_high_um: float | None = None
    speed_low_um_s: float | None = None
    speed_high_um_s: float | None = None


@dataclass(frozen=True)
class FindingRow:
    """How likely a yes is with each candidate alone; a row of context changes the chances before any look."""

    key: str
    row: str
    context: bool
    cells: Mapping[str, Likelihood]
    source: str
    status: Status


@dataclass(frozen=True)
class ModelFigure:
    """One number of the model."""

    key: str
    value: float
    source: str
    status: Status


@cache
def candidates() -> Mapping[str, Candidate]:
    """Return every candidate by key; the last is "something else"."""
    return read("candidates.toml", Candidate)


@cache
def finding_rows() -> Mapping[str, FindingRow]:
    """Return every row of the table by the key of its finding."""
    return read("growth_cells.toml", FindingRow)


@cache
def _figures() -> Mapping[str, ModelFigure]:
    return read("growth_model.toml", ModelFigure)


def model_figure(key: str) -> float:
    """Return one number of the model."""
    return _figures()[key].value


def chance_of(word: Likelihood) -> float:
    """Return the number a word stands for."""
    return model_figure(word.replace(" ", "_"))


def first_action(candidate: str) -> str:
    """Return what is done first against a candidate besides taking it out, which is done against each of them."""
    first = growth_lines()[candidate].first
    return next((one for one in first if one != "take_out"), "take_out")
