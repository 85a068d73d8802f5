"""What the page that compares passages shows, and a command prints. No HTML."""

from dataclasses import dataclass

from pratique.casework.sheets.lines import Reason


@dataclass(frozen=True, slots=True)
class Likely:
    """A chance with its 90 % range."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class DayChance:
    """The chance of being clear at the end of a day, counted from arrival."""

    day: float
    chance: Likely


@dataclass(frozen=True, slots=True, kw_only=True)
class ParasiteLine:
    """One parasite in one passage; `if_no_sign` and `no_sign` are None where the passage asks for no look."""

    key: str
    name: str
    clear: Likely
    if_no_sign: Likely | None
    no_sign: float | None
    is_meant: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class KindLine:
    """One kind of animal in one passage; weights are over that of a well-fed one of its length.

    `fit_on` is the day from which it counts as fit, were it left to recover; None where that is not within the days
    looked at.
    """

    key: str
    name: str
    fit: float
    weight: Likely
    lowest: float
    fit_on: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RecoveryLine:
    """What recovery adds: the same passage without it, of the kind that comes out of it worst."""

    days: float
    clear_without: Likely
    clear_with: Likely
    fit_without: float
    fit_with: float
    weight_without: float
    weight_with: float
    worst: str
    words: str


@dataclass(frozen=True, slots=True)
class EffectLine:
    """What one unknown does to the chance of being clear at clearance, from its lowest to its highest third."""

    words: str
    at_low: float
    at_high: float


@dataclass(frozen=True, slots=True)
class SpeciesLine:
    """A caution for a kind of animal, with the passages that leave its reason out."""

    words: str
    instead: tuple[str, ...]
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedPassage:
    """One passage. `clear` is P(clear) at clearance by what is done, without a look.

    `clear_on` is the first day it counts as clear. Days are from arrival; `transfers` are moves into tanks that never
    held the parasites; `water_l` is None where the tank's volume was not told.
    """

    key: str
    name: str
    words: str
    curve: tuple[DayChance, ...]
    clear: Likely
    if_no_sign: Likely | None
    no_sign: float | None
    clear_on: float | None
    days_to_clearance: float
    days_total: float
    days_medicated: float
    transfers: int
    moves: int
    tanks: int
    looks: int
    readings: int
    doses: int
    water_l: float | None
    parasites: tuple[ParasiteLine, ...]
    kinds: tuple[KindLine, ...]
    recovery: RecoveryLine | None
    effects: tuple[EffectLine, ...]
    species: tuple[SpeciesLine, ...]
    not_meant: str

    @property
    def worst(self) -> KindLine:
        """Return the kind that is least likely to be fit."""
        return min(self.kinds, key=lambda one: one.fit)


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """Something taken for granted, with its value, how far it is known, and what it does to the result."""

    words: str
    value: str
    effect: str
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Passages side by side for the same animals and temperature."""

    gist: str
    event: str
    animals: str
    temperature_c: float
    counts_from: float
    passages: tuple[ComparedPassage, ...]
    assumptions: tuple[Assumption, ...]
    cautions: tuple[str, ...]
