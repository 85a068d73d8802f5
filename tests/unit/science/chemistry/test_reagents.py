"""Salts from their formulas: molar mass, water, what they raise and how much it takes.

The second oracle for molar masses is the library periodictable, given the water in the form it does not misread.
"""

import periodictable
import pytest
from molmass import Formula

from pratique.science.chemistry.constituents_of_salts import _EQUIVALENTS, TARGETS
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.hydrates import COMMON_WATERS
from pratique.science.chemistry.reagents import (
    HydrateNotStated,
    NotInThisSalt,
    UnreadableFormula,
    brought_along,
    grams_to_raise,
    molar_mass_g_per_mol,
    raised_by,
    salt,
)

SALTS = [
    "NaHCO3", "NaOH", "Ca(OH)2", "CaCl2·2H2O", "CaCl2·6H2O", "MgCl2·6H2O", "MgSO4·7H2O", "KNO3", "NaNO3", "KH2PO4",
    "NaH2PO4·H2O", "Na2HPO4·12H2O", "Na2SiO3·5H2O", "CuSO4·5H2O", "KI", "SrCl2·6H2O", "KCl", "KBr", "H3BO3",
    "Na2B4O7·10H2O", "NaF", "NH4Cl", "(NH4)2SO4", "Ca(NO3)2·4H2O", "FeSO4·7H2O", "NaBr·2H2O",
]  # fmt: skip


@pytest.mark.parametrize("formula", SALTS)
def test_the_molar_mass_is_that_of_a_second_library(formula):
    """Within 1e-4: one library averages isotopes, the other has abridged IUPAC weights."""
    second = periodictable.formula(formula.replace("·", "+")).mass
    assert salt(formula).molar_mass_g_per_mol == pytest.approx(second, rel=1e-4)


@pytest.mark.parametrize(
    "written",
    ["CaCl2·2H2O", "CaCl2.2H2O", "CaCl2 . 2 H2O", "CaCl2•2H2O", "CaCl2∙2H2O", "CaCl2⋅2H2O", "CaCl2*2H2O", "CaCl2 2H2O",
     "CaCl2 x 2H2O", "CaCl₂·2H₂O", " CaCl2 · 2H2O "],
)  # fmt: skip
def test_water_is_read_however_the_label_writes_it(written):
    """147.01 g/mol, not the 136.08 that reading it as CaCl(2.2) and one water would give."""
    found = salt(written)
    assert found.molar_mass_g_per_mol == pytest.approx(147.01, abs=0.01)
    assert (found.formula, found.waters) == ("CaCl2·2H2O", 2.0)


@pytest.mark.parametrize(
    "written", ["CaCl2 anhydrous", "CaCl2 (anhydrous)", "CaCl2, anhydrous", "Anhydrous CaCl2", "CaCl2.0H2O"]
)
def test_no_water_is_said_in_words_or_as_none(written):
    """110.98 g/mol (computed, two libraries)."""
    assert salt(written).molar_mass_g_per_mol == pytest.approx(110.98, abs=0.01)


def test_half_a_water_is_read():
    """Plaster: calcium sulphate with half a water is 145.15 g/mol (handbooks, from memory)."""
    assert salt("CaSO4·0.5H2O").molar_mass_g_per_mol == pytest.approx(145.15, abs=0.01)


@pytest.mark.parametrize("formula", ["CaCl2", "MgCl2", "MgSO4", "CuSO4", "SrCl2", "Na2CO3", "Na2SiO3", "Cl2Ca"])
def test_a_hydrate_not_stated_is_asked_for(formula):
    """The sentence names what may stand on the label, and each choice is understood."""
    with pytest.raises(HydrateNotStated, match=r"different amounts of water in it\. Say which") as caught:
        salt(formula)
    assert len(caught.value.choices) >= 2
    assert all(choice in str(caught.value) for choice in caught.value.choices)
    masses = [salt(choice).molar_mass_g_per_mol for choice in caught.value.choices]
    assert masses == sorted(masses)


def test_the_water_matters_as_much_as_a_third():
    """Anhydrous against dihydrate calcium chloride is 32 %; magnesium chloride with its water weighs twice as much."""
    calcium = salt("CaCl2·2H2O").molar_mass_g_per_mol / salt("CaCl2 anhydrous").molar_mass_g_per_mol
    magnesium = salt("MgCl2·6H2O").molar_mass_g_per_mol / salt("MgCl2 anhydrous").molar_mass_g_per_mol
    assert (calcium, magnesium) == (pytest.approx(1.32, abs=0.01), pytest.approx(2.14, abs=0.01))


@pytest.mark.parametrize(
    "text",
    ["", "  ", "cuso4", "table salt", "CaCl2+2H2O", "CaCl2..", "((((", "Xx", "Na99999", "NaCl·KCl", "C" * 80, "2"],
)
def test_what_is_no_formula_is_refused_with_one_that_is(text):
    """The sentence shows how a formula looks and never repeats a page of text."""
    with pytest.raises(UnreadableFormula, match="write it like NaHCO3 or CaCl2·2H2O") as caught:
        salt(text)
    assert len(str(caught.value)) < 250


def test_the_tables_are_keyed_as_the_library_writes_formulas():
    """A key in another order would never be found."""
    for key in (*COMMON_WATERS, *_EQUIVALENTS):
        assert Formula(key).formula == key


@pytest.mark.parametrize(
    ("formula", "target", "grams"),
    [
        ("KNO3", "N", 0.7218),
        ("NaNO3", "N", 0.6068),
        ("Na2HPO4 anhydrous", "P", 0.4583),
        ("NaH2PO4·H2O", "P", 0.4455),
        ("KH2PO4", "P", 0.4394),
        ("Ca(OH)2", "Ca", 0.1849),
    ],
)
def test_grams_for_a_milligram_in_a_hundred_litres(formula, target, grams):
    """Those of the table that no published row holds (stoichiometry, computed with two libraries)."""
    assert grams_to_raise(salt(formula), target, raise_by=1.0, volume_l=100.0) == pytest.approx(grams, abs=1e-4)


# Grams for 1 meq/L in 100 L: a tenth of the molar mass over the equivalents. Molar masses by hand from abridged atomic
# weights (IUPAC 2021); equivalents: protons taken up on the way to pH 4.5 (Dickson 1981, definition of alkalinity).
EQUIVALENTS = [
    ("NaHCO3", 84.006, 1),
    ("KHCO3", 100.114, 1),
    ("Na2CO3 anhydrous", 105.988, 2),
    ("K2CO3", 138.204, 2),
    ("CaCO3", 100.086, 2),
    ("MgCO3", 84.313, 2),
    ("SrCO3", 147.628, 2),
    ("NaOH", 39.997, 1),
    ("KOH", 56.105, 1),
    ("Ca(OH)2", 74.092, 2),
    ("Mg(OH)2", 58.319, 2),
    ("CaO", 56.077, 2),
    ("MgO", 40.304, 2),
    ("Na2B4O7 anhydrous", 201.213, 2),
    ("Na2SiO3 anhydrous", 122.062, 2),
    ("Na2HPO4 anhydrous", 141.958, 1),
    ("K2HPO4", 174.174, 1),
    ("Na3PO4 anhydrous", 163.940, 2),
]


@pytest.mark.parametrize(("formula", "molar_mass", "equivalents"), EQUIVALENTS)
def test_grams_for_a_milliequivalent_in_a_hundred_litres(formula, molar_mass, equivalents):
    """Alkalinity goes by equivalents (stoichiometry, by hand)."""
    grams = grams_to_raise(salt(formula), "alkalinity", raise_by=1.0, volume_l=100.0)
    assert grams == pytest.approx(molar_mass / equivalents / 10, rel=1e-4)


def test_no_salt_of_alkalinity_is_left_out_of_the_rows():
    """As many rows as entries."""
    assert len(EQUIVALENTS) == len(_EQUIVALENTS)


def test_copper_for_a_hundred_litres():
    """100 L, 0 to 0.20 mg/L: 78.6 mg of the pentahydrate; to 0.15: 58.9 mg (computed)."""
    for level, milligrams in ((0.20, 78.6), (0.15, 58.9)):
        grams = grams_to_raise(salt("CuSO4·5H2O"), "Cu", raise_by=level, volume_l=100.0)
        assert 1000 * grams == pytest.approx(milligrams, abs=0.05)


def test_an_impure_powder_takes_more():
    """At 80 % purity a quarter more."""
    pure = grams_to_raise(salt("KI"), "I", raise_by=1.0, volume_l=100.0)
    assert grams_to_raise(salt("KI"), "I", raise_by=1.0, volume_l=100.0, purity=0.8) == pytest.approx(1.25 * pure)


@pytest.mark.parametrize("formula", SALTS)
def test_grams_and_rise_turn_back_into_each_other(formula):
    """For each thing that each salt raises."""
    given = salt(formula)
    assert given.targets()
    for target in given.targets():
        grams = grams_to_raise(given, target, raise_by=0.7, volume_l=240.0, purity=0.9)
        assert raised_by(given, target, grams=grams, volume_l=240.0, purity=0.9) == pytest.approx(0.7)


def test_limewater_powder_brings_calcium_with_its_alkalinity():
    """1 dKH as calcium hydroxide brings 7.157 mg/L of calcium (stoichiometry, 2.8 dKH a meq)."""
    lime = salt("Ca(OH)2")
    grams = grams_to_raise(lime, "alkalinity", raise_by=1 / 2.8, volume_l=100.0)
    brought = brought_along(lime, grams=grams, volume_l=100.0)
    assert brought == {"alkalinity": pytest.approx(1 / 2.8), "Ca": pytest.approx(7.157, abs=0.001)}


def test_borax_brings_half_an_equivalent_for_each_boron():
    """2 eq for the 4 boron of a formula (stoichiometry)."""
    brought = brought_along(salt("Na2B4O7·10H2O"), grams=0.882, volume_l=100.0)
    assert brought["alkalinity"] == pytest.approx(0.5 / 10.81, rel=1e-3)


def test_only_nitrogen_that_is_nitrate_counts_as_nitrate():
    """Half the nitrogen of ammonium nitrate is ammonium, and it is poison: it never passes for nitrate."""
    both = salt("NH4NO3")
    assert both.per_gram("NO3") == pytest.approx(1000 * 62.005 / 80.043, rel=1e-4)
    assert both.per_gram("NH4") == pytest.approx(1000 * 18.039 / 80.043, rel=1e-4)
    assert both.per_gram("N") == pytest.approx(1000 * 28.014 / 80.043, rel=1e-4)
    with pytest.raises(NotInThisSalt, match="NH4Cl does not raise nitrate"):
        salt("NH4Cl").per_gram("NO3")


def test_a_group_in_brackets_counts_as_often_as_it_stands():
    """Ca(NO3)2 holds two nitrates, (NH4)2SO4 two ammonium."""
    assert salt("Ca(NO3)2·4H2O").per_gram("NO3") == pytest.approx(1000 * 2 * 62.005 / 236.15, rel=1e-4)
    assert salt("(NH4)2SO4").per_gram("NH4") == pytest.approx(1000 * 2 * 18.039 / 132.14, rel=1e-4)


def test_a_salt_without_it_raises_nothing():
    """Calcium does not come from magnesium, nor alkalinity from a chloride."""
    with pytest.raises(NotInThisSalt, match="does not raise calcium"):
        salt("MgCl2·6H2O").per_gram("Ca")
    with pytest.raises(NotInThisSalt, match="does not raise alkalinity"):
        salt("KCl").per_gram("alkalinity")


def test_a_target_not_known_names_those_that_are():
    """The list stands in the sentence."""
    with pytest.raises(DomainError, match="cannot be raised by a salt here; these can: alkalinity, Ca, Mg"):
        salt("KCl").per_gram("hardness")
    assert {"Cu", "Ca", "Mg", "NO3", "PO4", "SiO2", "I", "Sr", "K", "Br", "B", "F", "N"} < set(TARGETS)


@pytest.mark.parametrize("purity", [-0.1, 0.0, 1.2, float("nan")])
def test_a_purity_is_above_nothing_and_up_to_all(purity):
    """98 % is 0.98, not 98."""
    with pytest.raises(DomainError):
        grams_to_raise(salt("KI"), "I", raise_by=1.0, volume_l=100.0, purity=purity)


def test_negative_amounts_are_refused():
    """Nothing is taken out by a salt."""
    with pytest.raises(DomainError, match="The rise must be at least 0"):
        grams_to_raise(salt("KI"), "I", raise_by=-1.0, volume_l=100.0)
    with pytest.raises(DomainError, match="The volume must be above 0"):
        raised_by(salt("KI"), "I", grams=1.0, volume_l=0.0)


def test_a_molar_mass_alone_can_be_asked_for():
    """Water is 18.015 g/mol (handbooks)."""
    assert molar_mass_g_per_mol("H2O") == pytest.approx(18.015, abs=0.001)
