"""Slips that would make another salt of a formula are refused, with what was probably meant."""

import pytest

from pratique.science.chemistry.formula_slips import ProbablyMeant
from pratique.science.chemistry.hydrates import COMMON_WATERS
from pratique.science.chemistry.reagents import HydrateNotStated, salt


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("CuSO45H2O", "CuSO4·5H2O"),
        ("CuSO₄5H₂O", "CuSO4·5H2O"),
        ("MgCl26H2O", "MgCl2·6H2O"),
        ("CaCl22H2O", "CaCl2·2H2O"),
        ("CaCl22H20", "CaCl2·2H2O"),
        ("Ca(NO3)24H2O", "Ca(NO3)2·4H2O"),
        ("Na2CO310H2O", "Na2CO3·10H2O"),
        ("CuS04", "CuSO4"),
        ("NaHC03", "NaHCO3"),
        ("NaHCo3", "NaHCO3"),
        ("Cu2SO4", "CuSO4"),
        ("NaSO4", "Na2SO4"),
        ("Ca(HCO3)", "Ca(HCO3)2"),
    ],
)
def test_a_slip_is_asked_about(written, meant):
    """A missed dot made 45 oxygens, and the copper more than three times too much."""
    with pytest.raises(ProbablyMeant, match="not taken as it stands") as caught:
        salt(written)
    assert str(caught.value).endswith(f"Did you mean {meant}?")


@pytest.mark.parametrize("written", ["CuSO45", "CaCl22", "CUSO4.5H2O", "NACL", "CuSO4.50H2O", "KI.05H2O", "KI.0.3H2O"])
def test_what_no_salt_holds_is_refused(written):
    """45 oxygens, 22 chlorines, uranium, a chain of amino acids, fifty waters."""
    with pytest.raises(ProbablyMeant):
        salt(written)


def test_a_water_that_is_not_sold_is_asked_about():
    """Copper sulphate with four waters is a slip for five."""
    with pytest.raises(HydrateNotStated, match=r"but not with 4\. Say which"):
        salt("CuSO4.4H2O")


def test_water_in_brackets_is_water():
    """147.01 g/mol (handbooks), and the same salt as with a dot."""
    assert salt("CaCl2(H2O)2") == salt("CaCl2.2H2O")


@pytest.mark.parametrize(
    "written", ["KAl(SO4)2.12H2O", "(NH4)6Mo7O24.4H2O", "C12H22CaO14", "Na2B4O7.10H2O", "LiOH.H2O"]
)
def test_odd_but_real_salts_pass(written):
    """Alum, molybdate, gluconate, borax (handbooks)."""
    assert salt(written).molar_mass_g_per_mol > 0


# Abridged atomic weights (IUPAC 2021), kept apart from the libraries.
WEIGHTS = {"H": 1.008, "O": 15.999, "Na": 22.990, "K": 39.098, "Ca": 40.078, "Mg": 24.305, "S": 32.06, "Cl": 35.45,
           "Cu": 63.546, "Sr": 87.62, "N": 14.007, "C": 12.011, "Si": 28.085, "B": 10.81, "P": 30.974, "Fe": 55.845,
           "Mn": 54.938, "Zn": 65.38, "Ba": 137.33, "Br": 79.904}  # fmt: skip
# As on labels: atoms without the water, and the waters it is sold with (common practice, no source).
HYDRATES = [
    ("CaCl2", {"Ca": 1, "Cl": 2}, (0, 1, 2, 4, 6)),
    ("MgCl2", {"Mg": 1, "Cl": 2}, (0, 6)),
    ("MgSO4", {"Mg": 1, "S": 1, "O": 4}, (0, 1, 3, 7)),
    ("CuSO4", {"Cu": 1, "S": 1, "O": 4}, (0, 1, 5)),
    ("CuCl2", {"Cu": 1, "Cl": 2}, (0, 2)),
    ("SrCl2", {"Sr": 1, "Cl": 2}, (0, 6)),
    ("Sr(NO3)2", {"Sr": 1, "N": 2, "O": 6}, (0, 4)),
    ("Ca(NO3)2", {"Ca": 1, "N": 2, "O": 6}, (0, 4)),
    ("Mg(NO3)2", {"Mg": 1, "N": 2, "O": 6}, (0, 6)),
    ("CaSO4", {"Ca": 1, "S": 1, "O": 4}, (0, 0.5, 2)),
    ("Na2CO3", {"Na": 2, "C": 1, "O": 3}, (0, 1, 10)),
    ("Na2SiO3", {"Na": 2, "Si": 1, "O": 3}, (0, 5, 9)),
    ("Na2B4O7", {"Na": 2, "B": 4, "O": 7}, (0, 5, 10)),
    ("Na2HPO4", {"Na": 2, "H": 1, "P": 1, "O": 4}, (0, 2, 7, 12)),
    ("NaH2PO4", {"Na": 1, "H": 2, "P": 1, "O": 4}, (0, 1, 2)),
    ("Na3PO4", {"Na": 3, "P": 1, "O": 4}, (0, 12)),
    ("FeSO4", {"Fe": 1, "S": 1, "O": 4}, (0, 1, 7)),
    ("FeCl3", {"Fe": 1, "Cl": 3}, (0, 6)),
    ("MnSO4", {"Mn": 1, "S": 1, "O": 4}, (0, 1, 4)),
    ("MnCl2", {"Mn": 1, "Cl": 2}, (0, 4)),
    ("ZnSO4", {"Zn": 1, "S": 1, "O": 4}, (0, 1, 7)),
    ("BaCl2", {"Ba": 1, "Cl": 2}, (0, 2)),
    ("Na2S2O3", {"Na": 2, "S": 2, "O": 3}, (0, 5)),
    ("NaBr", {"Na": 1, "Br": 1}, (0, 2)),
]


@pytest.mark.parametrize(("formula", "atoms", "waters"), HYDRATES)
def test_every_hydrate_is_asked_for_and_weighs_what_its_atoms_do(formula, atoms, waters):
    """Molar masses by hand from atomic weights."""
    with pytest.raises(HydrateNotStated) as caught:
        salt(formula)
    found = [salt(one) for one in caught.value.choices]
    assert tuple(one.waters for one in found) == waters
    dry = sum(WEIGHTS[symbol] * count for symbol, count in atoms.items())
    for one in found:
        assert one.molar_mass_g_per_mol == pytest.approx(dry + one.waters * (2 * 1.008 + 15.999), rel=1e-4)
        assert one.anhydrous_part == pytest.approx(dry / one.molar_mass_g_per_mol, rel=1e-4)


def test_no_hydrate_is_left_out_of_the_rows():
    """As many rows as entries."""
    assert len(HYDRATES) == len(COMMON_WATERS)
