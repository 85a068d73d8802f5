"""What a salt is made of, from its formula, and how much of it moves a constituent. Not here: stock solutions.

A formula whose water is not told is asked for, never assumed: calcium chloride with and without its water differ by a
third, magnesium salts by half.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from pratique.science.chemistry.constituents_of_salts import TARGETS, alkalinity_equivalents, atoms_of_target
from pratique.science.chemistry.domain import DomainError, require_at_least, require_within
from pratique.science.chemistry.formula_slips import refuse_slip_in_atoms, refuse_slip_in_text, refuse_waters
from pratique.science.chemistry.hydrates import COMMON_WATERS

# What people and pages write between a salt and its water.
_DOTS = str.maketrans(dict.fromkeys("·•∙⋅・‧●*", "."))
_LONGEST = 60
_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")
_FORMULA = re.compile(r"(?P<core>[A-Za-z0-9()]+?)(?:\.(?P<waters>\d*(?:\.\d+)?)H2O)?")
# A dot, a space or a lone x, in any mixture, is one dot.
_BEFORE_WATER = re.compile(r"(?:\s*\.\s*|\s+x\s+|\s+)+(?=\d*(?:\.\d+)?\s*H2O\s*$)")
_BRACKETED_WATER = re.compile(r"\(H2O\)(\d*)$")
_ANHYDROUS = re.compile(r"[\s,(]*anhydrous\)?\s*$|^\s*anhydrous\s+", re.IGNORECASE)


class UnreadableFormula(DomainError):
    """The text is not a chemical formula; the sentence says what one looks like."""


class HydrateNotStated(DomainError):
    """The salt is sold with and without water and the formula says none of them; `choices` are what to ask for."""

    def __init__(self, core: str, choices: tuple[str, ...], *, stated: float | None = None) -> None:
        self.choices = choices
        not_so = f", but not with {stated:g}" if stated is not None else ""
        super().__init__(
            f"{core} is sold with different amounts of water in it{not_so}. Say which is on the label: "
            f"{', '.join(choices[:-1])} or {choices[-1]}."
        )


class NotInThisSalt(DomainError):
    """The salt does not bring what is to be raised."""


@dataclass(frozen=True)
class Salt:
    """A salt with its water: formula, molar mass (g/mol), atoms of each element and alkalinity (eq) in one mol.

    `core` is the formula without its water as it was written, `hill` the same in Hill order, by which salts are alike.
    """

    formula: str
    core: str
    hill: str
    waters: float
    molar_mass_g_per_mol: float
    atoms: Mapping[str, float]
    equivalents_per_mol: float

    def per_gram(self, target: str) -> float:
        """Return how much of a target 1 g of the pure salt holds: mg, or meq of alkalinity.

        Raises NotInThisSalt where it holds none, and DomainError for a target not known here (see TARGETS).
        """
        if target not in TARGETS:
            raise DomainError(f"“{target}” cannot be raised by a salt here; these can: {', '.join(TARGETS)}.")
        amount = 1000.0 * self._per_mol(target) / self.molar_mass_g_per_mol
        if amount == 0.0:
            raise NotInThisSalt(f"{self.formula} does not raise {TARGETS[target].words}.")
        return amount

    @property
    def anhydrous_part(self) -> float:
        """Return how much of the salt's mass is not its water, as a fraction."""
        return 1.0 - self.waters * molar_mass_g_per_mol("H2O") / self.molar_mass_g_per_mol

    def targets(self) -> tuple[str, ...]:
        """Return every target that this salt raises."""
        return tuple(name for name in TARGETS if self._per_mol(name) > 0.0)

    def _per_mol(self, target: str) -> float:
        """Return the g, or the eq of alkalinity, of a target in one mol."""
        if TARGETS[target].element is None:
            return self.equivalents_per_mol
        return atoms_of_target(target, core=self.core, atoms=self.atoms) * molar_mass_g_per_mol(TARGETS[target].counted)


def salt(text: str) -> Salt:
    """Return the salt a formula names, such as `CuSO4·5H2O`, `CaCl2.2H2O` or `CaCl2 anhydrous`.

    Any dot, or a star, may stand before the water; subscripts are read. Raises UnreadableFormula, ProbablyMeant for a
    slip that makes another salt of it, and HydrateNotStated where water is common in this salt and none of its amounts
    is told. Molar masses: IUPAC weights by molmass.
    """
    bare = _ANHYDROUS.sub("", text)
    plain = re.sub(r"(?<=[.\s])(\d+)\s+H2O\s*$", r"\1H2O", bare.strip().translate(_SUBSCRIPTS).translate(_DOTS))
    plain = re.sub(r"\s+", "", _BEFORE_WATER.sub(".", plain))
    found = _FORMULA.fullmatch(_BRACKETED_WATER.sub(r".\1H2O", plain))
    if found is None or len(text) > _LONGEST or re.search(r"\d{4}", plain):
        raise UnreadableFormula(_unreadable(text))
    refuse_slip_in_text(found["core"])
    return _salt(found["core"], found["waters"], is_anhydrous=bare != text)


def molar_mass_g_per_mol(formula: str) -> float:
    """Return the molar mass of a formula without water, in g/mol; UnreadableFormula for one that is not."""
    return _parsed(formula)[0]


def grams_to_raise(given: Salt, target: str, *, raise_by: float, volume_l: float, purity: float = 1.0) -> float:
    """Return the grams of a salt that raise a target by `raise_by` mg/L (alkalinity: meq/L) in `volume_l` litres.

    `purity` is the part of the powder that is the salt, above 0 to 1. Raises DomainError for one outside, a negative
    rise or volume, and as `Salt.per_gram`. Source: stoichiometry.
    """
    require_at_least("The rise", raise_by, lower=0.0)
    require_at_least("The volume", volume_l, lower=0.0)
    _require_purity(purity)
    return raise_by * volume_l / given.per_gram(target) / purity


def raised_by(given: Salt, target: str, *, grams: float, volume_l: float, purity: float = 1.0) -> float:
    """Return the mg/L (alkalinity: meq/L) by which these grams raise a target; errors as `grams_to_raise`."""
    require_at_least("The mass", grams, lower=0.0)
    _require_volume(volume_l)
    _require_purity(purity)
    return grams * purity * given.per_gram(target) / volume_l


def brought_along(given: Salt, *, grams: float, volume_l: float, purity: float = 1.0) -> Mapping[str, float]:
    """Return everything that these grams raise, by target, in mg/L (alkalinity: meq/L); errors as `grams_to_raise`."""
    return {name: raised_by(given, name, grams=grams, volume_l=volume_l, purity=purity) for name in given.targets()}


@cache
def _salt(core: str, waters_text: str | None, *, is_anhydrous: bool) -> Salt:
    mass, atoms, hill = _parsed(core)
    refuse_slip_in_atoms(core, atoms)
    waters = _waters(core, hill, waters_text, is_anhydrous=is_anhydrous)
    water_mass, _, _ = _parsed("H2O")
    with_water = dict(atoms)
    if waters:
        with_water["H"] = with_water.get("H", 0.0) + 2.0 * waters
        with_water["O"] = with_water.get("O", 0.0) + waters
    return Salt(
        formula=f"{core}·{waters:g}H2O" if waters not in {0.0, 1.0} else core + ("·H2O" if waters else ""),
        core=core,
        hill=hill,
        waters=waters,
        molar_mass_g_per_mol=mass + waters * water_mass,
        atoms=MappingProxyType(with_water),
        equivalents_per_mol=alkalinity_equivalents(hill),
    )


def _waters(core: str, hill: str, waters_text: str | None, *, is_anhydrous: bool) -> float:
    """Return how many waters the formula says it has; HydrateNotStated where it should say and does not."""
    stated = 0.0 if is_anhydrous else None
    if waters_text is not None:
        refuse_waters(core, waters_text or "1")
        stated = float(waters_text or 1.0)
    common = COMMON_WATERS.get(hill)
    if common is not None and stated not in common:
        raise HydrateNotStated(core, tuple(_choice(core, one) for one in common), stated=stated)
    return stated or 0.0


def _choice(core: str, waters: float) -> str:
    if waters == 0:
        return f"{core} anhydrous"
    return f"{core}·{'' if waters == 1 else format(waters, 'g')}H2O"


@cache
def _parsed(formula: str) -> tuple[float, Mapping[str, float], str]:
    """Return molar mass, atoms and the formula in Hill order. Water never goes through the library's own reading."""
    from molmass import Formula, FormulaError  # noqa: PLC0415 - only who asks about a salt pays for loading it

    try:
        read = Formula(formula)
        mass, hill = float(read.mass), str(read.formula)
        atoms = {symbol: float(item.count) for symbol, item in read.composition().items()}
    except (FormulaError, ValueError, ArithmeticError, IndexError, KeyError, TypeError):
        raise UnreadableFormula(_unreadable(formula)) from None
    if not atoms or mass <= 0.0:
        raise UnreadableFormula(_unreadable(formula))
    return mass, MappingProxyType(atoms), hill


def _unreadable(text: str) -> str:
    shown = text.strip() if len(text) <= _LONGEST else f"{text.strip()[:_LONGEST]}…"
    return (
        f"“{shown}” is not a chemical formula that can be read; write it like NaHCO3 or CaCl2·2H2O, with capital "
        "letters as on the label."
    )


def _require_purity(purity: float) -> None:
    require_within("Purity", purity, lower=0.0, upper=1.0)
    if purity == 0.0:
        raise DomainError("A powder of which nothing is the salt cannot raise anything.")


def _require_volume(volume_l: float) -> None:
    if not volume_l > 0.0:
        raise DomainError(f"The volume must be above 0\u202fL; this was {volume_l:g}.")
