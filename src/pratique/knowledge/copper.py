"""The three forms of copper and the band each is held in; forms never share a band."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from pratique.knowledge.loading import read
from pratique.knowledge.status import Status


class CopperForm(StrEnum):
    """How copper is bound in a product; a course is bound to one form."""

    IONIC = "ionic"
    CHELATED = "chelated"
    AMINE = "amine"


@dataclass(frozen=True)
class Band:
    """A target band and the hard upper limit above which dosing stops; all in `unit`."""

    key: str
    target_lower: float
    target_upper: float
    hard_upper: float
    unit: str
    source: str
    status: Status
    note: str = ""


@cache
def _bands() -> Mapping[str, Band]:
    return read("copper_bands.toml", Band)


def copper_band(form: CopperForm) -> Band:
    """Return the band of one form of copper."""
    return _bands()[CopperForm(form).value]
