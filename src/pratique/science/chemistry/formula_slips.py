"""Slips of the pen that turn a formula into another salt, or into none: refused, with what was probably meant.

A dot left out makes 45 oxygens of a copper salt with five waters, and the dose more than three times too large. Not
here: reading the formula (`reagents`).
"""

import re
from collections.abc import Mapping

from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.hydrates import COMMON_WATERS, MOST_WATERS

_BARE_WATER = re.compile(r"(?P<head>.*[A-Za-z)])(?P<digits>\d*)H2[O0]")
_NOUGHT = re.compile(r"(?<=[A-Za-z)])0")
# Carbonate, nitrate, nitrite, phosphate and hydroxide in small letters: cobalt, nobelium, polonium, holmium.
_SMALL_O = re.compile(r"(?<=[A-Za-z0-9)(])(?:Co(?=3)|No(?=[23])|Po(?=4))|Ho(?=\)|$)")
_SYMBOL = re.compile(r"[A-Z][a-z]?")
# More of these in a salt is a number run into another. Sugars' acids and molybdates do hold more oxygen.
_MOST_ATOMS = {"O": 12.0, "Cl": 6.0, "Br": 6.0, "F": 6.0, "I": 6.0, "S": 6.0, "N": 12.0}
_RICH_IN_OXYGEN = frozenset({"C", "Mo", "V", "W"})
_NEVER_A_SALT_HERE = frozenset(
    {"Tc", "Pm", "Po", "At", "Rn", "Fr", "Ra", "Ac", "Th", "Pa", "U", "Np", "Pu", "Am", "Cm", "Bk", "Cf", "Es", "Fm"}
    | {"Md", "No", "Lr", "Rf", "Db", "Sg", "Bh", "Hs", "Mt", "Ds", "Rg", "Cn", "Nh", "Fl", "Mc", "Lv", "Ts", "Og"}
)
# The usual charges, of the metals and of what they stand with in the salts that are sold.
_METALS = {"Na": 1, "K": 1, "Li": 1, "Ca": 2, "Mg": 2, "Sr": 2, "Ba": 2, "Zn": 2, "Cu": 2}
_OTHERS = {"Cl": 1, "Br": 1, "I": 1, "F": 1, "OH": 1, "HCO3": 1, "NO3": 1, "NO2": 1, "SO4": 2, "CO3": 2, "PO4": 3}
_TWO_PARTS = re.compile(
    rf"(?P<metal>{'|'.join(_METALS)})(?P<metals>\d*)"
    rf"(?:\((?P<bracketed>{'|'.join(_OTHERS)})\)(?P<times>\d*)|(?P<group>{'|'.join(_OTHERS)})"
    r"|(?P<ion>Cl|Br|I|F)(?P<ions>\d+))"
)


class ProbablyMeant(DomainError):
    """The formula as written is another salt, or none; the sentence asks for what was probably meant."""


def refuse_slip_in_text(core: str) -> None:
    """Raise ProbablyMeant for a formula without its water whose letters are not what was meant."""
    if _NOUGHT.search(core):
        raise _asked(core, _NOUGHT.sub("O", core), "a number in it begins with a nought, where an O belongs")
    water = _BARE_WATER.fullmatch(core)
    if water is not None:
        raise _asked(core, _dotted(water["head"], water["digits"]), "the dot before its water is missing")
    if _SMALL_O.search(core):
        raise _asked(core, _SMALL_O.sub(lambda found: found[0].upper(), core), "an O in it is written small")


def refuse_slip_in_atoms(core: str, atoms: Mapping[str, float]) -> None:
    """Raise ProbablyMeant for atoms that no salt holds: letters read as others, or a number run into another."""
    if set(_SYMBOL.findall(core)) != set(atoms) or _NEVER_A_SALT_HERE & set(atoms):
        raise _asked(core, "", "its letters do not name elements of a salt: write capitals and small letters as CuSO4")
    is_rich = bool(_RICH_IN_OXYGEN & set(atoms))
    for symbol, most in _MOST_ATOMS.items():
        if atoms.get(symbol, 0.0) > most and not (symbol == "O" and is_rich):
            raise _asked(core, "", f"{atoms[symbol]:g} atoms of {symbol} are more than a salt holds; look at its dot")
    _refuse_unbalanced(core)


def refuse_waters(core: str, waters_text: str) -> None:
    """Raise ProbablyMeant for a number of waters that no label shows."""
    waters = float(waters_text)
    if re.match(r"0\d", waters_text) or waters > MOST_WATERS or not (2.0 * waters).is_integer():
        raise _asked(core, "", f"{waters_text} waters are on no label; it is 0 to {MOST_WATERS}")


def _refuse_unbalanced(core: str) -> None:
    found = _TWO_PARTS.fullmatch(core)
    if found is None:
        return
    other = found["bracketed"] or found["group"] or found["ion"]
    plus = _METALS[found["metal"]] * int(found["metals"] or 1)
    minus = _OTHERS[other] * int(found["times"] or found["ions"] or 1)
    if plus != minus:
        raise _asked(core, _balanced(found["metal"], other), "its parts do not balance with their usual charges")


def _balanced(metal: str, other: str) -> str:
    metals, others = _OTHERS[other], _METALS[metal]
    if metals == others:
        metals = others = 1
    if metals % 2 == 0 and others % 2 == 0:
        metals, others = metals // 2, others // 2
    group = f"({other})" if others > 1 and len(_SYMBOL.findall(other)) > 1 else other
    return f"{metal}{metals if metals > 1 else ''}{group}{others if others > 1 else ''}"


def _dotted(head: str, digits: str) -> str:
    """Return the formula with its dot where the rest is a salt known with that water; empty where none is."""
    from molmass import Formula, FormulaError  # noqa: PLC0415 - only a slip pays for loading it

    for cut in range(len(digits) + 1):
        core, waters = head + digits[:cut], digits[cut:]
        try:
            known = COMMON_WATERS.get(str(Formula(core).formula), ())
        except FormulaError:
            continue
        if float(waters or 1) in known:
            return f"{core}·{waters}H2O"
    return ""


def _asked(core: str, meant: str, why: str) -> ProbablyMeant:
    question = f" Did you mean {meant}?" if meant else ""
    return ProbablyMeant(f"“{core}” is not taken as it stands: {why}.{question}")
