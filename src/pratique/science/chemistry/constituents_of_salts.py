"""What a salt can raise in a tank, how each is counted, and how many atoms of it a formula holds."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Target:
    """What is to be raised: the words for it, the element that is looked for, and the formula it is counted as.

    `group` is the part of the formula the atoms must sit in, where others of the same element do not count. Alkalinity
    has no element: it is counted in equivalents.
    """

    words: str
    element: str | None
    counted: str
    group: str = ""


def _plain(symbol: str, words: str) -> Target:
    return Target(words, symbol, symbol)


TARGETS: Mapping[str, Target] = MappingProxyType(
    {
        "alkalinity": Target("alkalinity", None, ""),
        "Ca": _plain("Ca", "calcium"),
        "Mg": _plain("Mg", "magnesium"),
        "K": _plain("K", "potassium"),
        "Na": _plain("Na", "sodium"),
        "Sr": _plain("Sr", "strontium"),
        "Cl": _plain("Cl", "chloride"),
        "Br": _plain("Br", "bromide"),
        "F": _plain("F", "fluoride"),
        "I": _plain("I", "iodine"),
        "B": _plain("B", "boron"),
        "Cu": _plain("Cu", "copper"),
        "Fe": _plain("Fe", "iron"),
        "Mn": _plain("Mn", "manganese"),
        "Zn": _plain("Zn", "zinc"),
        "SO4": Target("sulphate", "S", "SO4", group="SO4"),
        "N": _plain("N", "nitrogen"),
        "NO3": Target("nitrate", "N", "NO3", group="NO3"),
        "NO2": Target("nitrite", "N", "NO2", group="NO2"),
        "NH4": Target("ammonium", "N", "NH4", group="NH4"),
        "P": _plain("P", "phosphorus"),
        "PO4": Target("phosphate", "P", "PO4"),
        "Si": _plain("Si", "silicon"),
        "SiO2": Target("silica", "Si", "SiO2"),
    }
)

# Equivalents of alkalinity in one mol, by formula in Hill order: acid taken up on the way to bicarbonate's end point,
# at the pH of seawater. Borax, silicate and the phosphates as in Dickson's definition of total alkalinity.
_EQUIVALENTS: Mapping[str, float] = MappingProxyType(
    {
        "CHNaO3": 1.0,
        "CHKO3": 1.0,
        "CNa2O3": 2.0,
        "CK2O3": 2.0,
        "CCaO3": 2.0,
        "CMgO3": 2.0,
        "CO3Sr": 2.0,
        "HNaO": 1.0,
        "HKO": 1.0,
        "CaH2O2": 2.0,
        "H2MgO2": 2.0,
        "CaO": 2.0,
        "MgO": 2.0,
        "B4Na2O7": 2.0,
        "Na2O3Si": 2.0,
        "HNa2O4P": 1.0,
        "HK2O4P": 1.0,
        "Na3O4P": 2.0,
    }
)
_CAUSTIC_BY_HILL = frozenset({"CaO", "K2O", "Na2O", "OSr", "BaO", "HNaO", "HKO", "HLiO", "CaH2O2", "H2O2Sr", "BaH2O2"})
_HYDROXIDE = re.compile(r"(?:Li|Na|K|Ca|Sr|Ba)\(?OH\)?2?$")


def alkalinity_equivalents(hill_formula: str) -> float:
    """Return the eq of alkalinity one mol of a salt without its water brings; 0 for one not known to bring any."""
    return _EQUIVALENTS.get(hill_formula, 0.0)


def is_caustic(hill_formula: str, core: str) -> bool:
    """Return whether a salt is a hydroxide or an oxide of sodium, calcium and their like, which burn and grow hot."""
    return hill_formula in _CAUSTIC_BY_HILL or _HYDROXIDE.search(core) is not None


def atoms_of_target(target: str, *, core: str, atoms: Mapping[str, float]) -> float:
    """Return the atoms of a target's element in one formula unit, only those in its group where it has one."""
    wanted = TARGETS[target]
    if wanted.element is None:
        return 0.0
    if not wanted.group:
        return atoms.get(wanted.element, 0.0)
    return float(sum(int(found[1] or found[2] or 1) for found in _groups(wanted.group).finditer(core)))


def _groups(group: str) -> re.Pattern[str]:
    """Return a pattern of one group, alone or in brackets with its number: NO3, or (NO3)2."""
    return re.compile(rf"\({group}\)(\d*)|{group}(?!\d)()")
