"""How much of a salt dissolves in water."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.loading import read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class Solubility:
    """The grams of a salt, counted without its water, that dissolve in a litre of water at about 20 °C.

    `hill` is its formula without water in Hill order. One that `stays_undissolved` is no salt to dose into a tank.
    """

    key: str
    hill: str
    anhydrous_g_per_l: float
    source: str
    status: Status
    stays_undissolved: bool = False


@cache
def _by_hill() -> Mapping[str, Solubility]:
    return {one.hill: one for one in read("solubilities.toml", Solubility).values()}


def solubilities() -> tuple[Solubility, ...]:
    """Return every solubility that is known here."""
    return tuple(_by_hill().values())


def solubility(hill: str) -> Solubility | None:
    """Return the solubility of a salt by its formula without water in Hill order; None where it is not known here."""
    return _by_hill().get(hill)
