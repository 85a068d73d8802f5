"""Rows on grams of a salt and on units. All are stoichiometry, computed with two libraries of atomic masses.

The formulas of the row ids say no water where there is none; our reader wants that said.
"""

from collections.abc import Callable, Mapping

from pratique.science.chemistry.reagents import grams_to_raise, salt
from pratique.units import to_basis, to_canonical

type Inputs = Mapping[str, float]

_BY_DKH = {
    "REAG-NaHCO3": "NaHCO3",
    "REAG-Na2CO3": "Na2CO3 anhydrous",
    "REAG-NaOH": "NaOH",
    "REAG-CaOH2": "Ca(OH)2",
}
_BY_MG_PER_L = {
    "REAG-CaCl2": ("CaCl2 anhydrous", "Ca"),
    "REAG-CaCl2.2H2O": ("CaCl2.2H2O", "Ca"),
    "REAG-CaCl2.6H2O": ("CaCl2.6H2O", "Ca"),
    "REAG-MgCl2.6H2O": ("MgCl2.6H2O", "Mg"),
    "REAG-MgSO4.7H2O": ("MgSO4.7H2O", "Mg"),
    "REAG-SrCl2.6H2O": ("SrCl2.6H2O", "Sr"),
    "REAG-KI": ("KI", "I"),
    "REAG-KCl": ("KCl", "K"),
    "REAG-KBr": ("KBr", "Br"),
    "REAG-CuSO4.5H2O": ("CuSO4.5H2O", "Cu"),
    "REAG-H3BO3": ("H3BO3", "B"),
    "REAG-borax": ("Na2B4O7.10H2O", "B"),
    "REAG-NaF": ("NaF", "F"),
    "REAG-Na2SiO3.5H2O-Si": ("Na2SiO3.5H2O", "Si"),
    "REAG-Na2SiO3.5H2O-SiO2": ("Na2SiO3.5H2O", "SiO2"),
    "REAG-KNO3": ("KNO3", "NO3"),
    "REAG-NaNO3": ("NaNO3", "NO3"),
    "REAG-KH2PO4": ("KH2PO4", "PO4"),
    "REAG-Na2HPO4": ("Na2HPO4 anhydrous", "PO4"),
    "REAG-NaH2PO4.H2O": ("NaH2PO4.H2O", "PO4"),
    "REAG-NH4Cl": ("NH4Cl", "N"),
}
_BASES = {"NO3": "N", "PO4": "P", "NH4": "N", "NH3": "N", "NO2": "N", "SiO2": "Si"}
# Ours is mg/L, and a µmol/L of phosphorus is its molar mass in µg/L: 1 mol of P as PO4 is 94.970 g.
_PO4_G_PER_MOL = 30.974 + 4 * 15.999


def _one_dkh(formula: str) -> Callable[[Inputs], float]:
    return lambda row: grams_to_raise(
        salt(formula), "alkalinity", raise_by=1.0 / row["dKH_per_meq"], volume_l=row["V_L"]
    )


def _one_mg_per_l(formula: str, target: str) -> Callable[[Inputs], float]:
    return lambda row: grams_to_raise(salt(formula), target, raise_by=1.0, volume_l=row["V_L"])


def _basis(counted: str, element: str) -> Callable[[Inputs], float]:
    return lambda _: to_basis(1.0, element, counted)


ROWS: dict[str, Callable[[Inputs], float]] = {
    **{name: _one_dkh(formula) for name, formula in _BY_DKH.items()},
    **{name: _one_mg_per_l(*what) for name, what in _BY_MG_PER_L.items()},
    **{f"UNIT-{counted}": _basis(counted, element) for counted, element in _BASES.items()},
    "UNIT-umolP": lambda _: to_basis(_PO4_G_PER_MOL, "PO4", "P"),
    "UNIT-usgal": lambda _: to_canonical(1.0, "US gal", "L"),
    "UNIT-impgal": lambda _: to_canonical(1.0, "imperial gal", "L"),
}
