"""Ammonia by what was counted and how, as types that cannot be mixed up.

Total ammonia (both forms together) is told as N, as NH3 or as NH4; un-ionised ammonia as N or as NH3. The same water
has five different numbers, so each is a type of its own: adding or comparing two of them is a type error.
"""

from dataclasses import dataclass
from functools import total_ordering
from typing import Self

from pratique.science.chemistry.domain import require_at_least, require_within
from pratique.units import to_basis


class MixedSpecies(TypeError):
    """Two different kinds of ammonia were added or compared; convert one of them first."""


@total_ordering
@dataclass(frozen=True, eq=False)
class _Ammonia:
    """An amount of ammonia in mg/L, of the kind its class says; DomainError below zero or without a number."""

    mg_per_l: float

    def __post_init__(self) -> None:
        require_at_least("Ammonia", self.mg_per_l, lower=0.0)

    def __add__(self, other: Self) -> Self:
        return type(self)(self.mg_per_l + self._same_kind(other).mg_per_l)

    def __lt__(self, other: Self) -> bool:
        return self.mg_per_l < self._same_kind(other).mg_per_l

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, _Ammonia):
            return NotImplemented
        return self.mg_per_l == self._same_kind(other).mg_per_l

    def __hash__(self) -> int:
        return hash((type(self), self.mg_per_l))

    def _same_kind(self, other: object) -> Self:
        if not isinstance(other, type(self)):
            theirs = _KIND_NAMES.get(type(other), type(other).__name__)
            raise MixedSpecies(f"{_KIND_NAMES[type(self)]} and {theirs} are different things; convert one first.")
        return other


@dataclass(frozen=True, eq=False)
class TotalAsN(_Ammonia):
    """Total ammonia (ionised and not) in mg/L of nitrogen; the canonical kind of a reading."""

    def as_nh3(self) -> "TotalAsNH3":
        """Return the same total counted as NH3."""
        return TotalAsNH3(to_basis(self.mg_per_l, "N", "NH3"))

    def as_nh4(self) -> "TotalAsNH4":
        """Return the same total counted as NH4."""
        return TotalAsNH4(to_basis(self.mg_per_l, "N", "NH4"))

    def un_ionised(self, fraction: float) -> "UnIonisedAsN":
        """Return the un-ionised part; DomainError for a fraction outside 0 to 1."""
        require_within("The un-ionised fraction", fraction, lower=0.0, upper=1.0)
        return UnIonisedAsN(self.mg_per_l * fraction)


@dataclass(frozen=True, eq=False)
class TotalAsNH3(_Ammonia):
    """Total ammonia in mg/L counted as NH3."""

    def as_n(self) -> TotalAsN:
        """Return the same total counted as nitrogen."""
        return TotalAsN(to_basis(self.mg_per_l, "NH3", "N"))


@dataclass(frozen=True, eq=False)
class TotalAsNH4(_Ammonia):
    """Total ammonia in mg/L counted as NH4."""

    def as_n(self) -> TotalAsN:
        """Return the same total counted as nitrogen."""
        return TotalAsN(to_basis(self.mg_per_l, "NH4", "N"))


@dataclass(frozen=True, eq=False)
class UnIonisedAsN(_Ammonia):
    """Un-ionised ammonia in mg/L of nitrogen (NH3-N)."""

    def as_nh3(self) -> "UnIonisedAsNH3":
        """Return the same amount counted as NH3."""
        return UnIonisedAsNH3(to_basis(self.mg_per_l, "N", "NH3"))


@dataclass(frozen=True, eq=False)
class UnIonisedAsNH3(_Ammonia):
    """Un-ionised ammonia in mg/L counted as NH3, as water-quality criteria are written."""

    def as_n(self) -> UnIonisedAsN:
        """Return the same amount counted as nitrogen."""
        return UnIonisedAsN(to_basis(self.mg_per_l, "NH3", "N"))


type TotalAmmonia = TotalAsN | TotalAsNH3 | TotalAsNH4

# A meter's or chart's word for its basis, to the kind of total it means.
TOTAL_BY_BASIS: dict[str, type[TotalAsN] | type[TotalAsNH3] | type[TotalAsNH4]] = {
    "N": TotalAsN,
    "NH3": TotalAsNH3,
    "NH4": TotalAsNH4,
}

_KIND_NAMES: dict[type, str] = {
    TotalAsN: "Total ammonia as N",
    TotalAsNH3: "total ammonia as NH3",
    TotalAsNH4: "total ammonia as NH4",
    UnIonisedAsN: "un-ionised ammonia as N",
    UnIonisedAsNH3: "un-ionised ammonia as NH3",
}
