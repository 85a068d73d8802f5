"""Alkalinity in its units, seawater's ions at any salinity, and how a tank stands beside them."""

import numpy as np
import pytest

from pratique.science.chemistry.alkalinity import (
    alkalinity_as,
    meq_per_l_from_umol_per_kg,
    umol_per_kg_from_meq_per_l,
)
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.ions import (
    REFERENCE_COMPOSITION,
    consumption_ratio,
    ion_balance,
    ion_mg_per_kg,
    ion_mg_per_l,
    ion_mmol_per_kg,
    reference_alkalinity_umol_per_kg,
)
from pratique.science.chemistry.nutrient_acids import nutrient_alkalinity_umol_per_kg
from pratique.units import to_canonical

CHARGES = {
    "Cl": -1, "Na": 1, "SO4": -2, "Mg": 2, "Ca": 2, "K": 1, "HCO3": -1, "CO3": -2, "Br": -1, "B(OH)3": 0, "B(OH)4": -1,
    "OH": -1, "Sr": 2, "F": -1,
}  # fmt: skip


@pytest.mark.parametrize("unit", ["meq/L", "dKH", "mg/L CaCO3", "µmol/kg"])
def test_every_unit_leads_back(unit):
    """An alkalinity told in another unit and back is the same."""
    there = alkalinity_as(2.9, "meq/L", unit, density_kg_per_m3=1023.3)
    assert alkalinity_as(there, unit, "meq/L", density_kg_per_m3=1023.3) == pytest.approx(2.9, rel=1e-14)


@pytest.mark.parametrize("unit", ["meq/L", "mg/L CaCO3"])
def test_the_conventions_are_those_of_the_edges(unit):
    """1 meq/L is 2.8 dKH and 50 mg/L CaCO3 here as in `units` (convention)."""
    assert alkalinity_as(3.0, unit, "dKH") == pytest.approx(to_canonical(3.0, unit, "dKH"), rel=1e-14)


def test_alkalinity_may_be_an_array():
    """An array is told in another unit element by element."""
    assert umol_per_kg_from_meq_per_l(np.array([2.0, 3.0]), 1000.0) == pytest.approx([2000.0, 3000.0])
    assert meq_per_l_from_umol_per_kg(np.array([2500.0]), 1020.0) == pytest.approx([2.55])


def test_litres_and_kilograms_need_the_density():
    """Forgetting it would be an error of 2.3 %; a density in kg/L is refused too."""
    with pytest.raises(DomainError, match="density of the water is needed"):
        alkalinity_as(8.0, "dKH", "µmol/kg")
    with pytest.raises(DomainError, match="900 to 1200"):
        alkalinity_as(8.0, "dKH", "µmol/kg", density_kg_per_m3=1.023)


def test_an_unknown_unit_is_named_with_those_known():
    """The sentence says what would be right."""
    with pytest.raises(DomainError, match="such are meq/L, dKH"):
        alkalinity_as(8.0, "°fH", "dKH")


def test_the_table_is_neutral_and_weighs_what_seawater_holds():
    """Charges cancel to 0.01 % and the masses make 35.165 g/kg (Millero et al. 2008: reference salinity)."""
    charge = sum(CHARGES[ion] * ion_mmol_per_kg(ion, 35.0) for ion in REFERENCE_COMPOSITION)
    assert abs(charge) < 1e-4 * ion_mmol_per_kg("Na", 35.0)
    assert sum(ion_mg_per_kg(ion, 35.0) for ion in REFERENCE_COMPOSITION) == pytest.approx(35_165.04, abs=1.5)


def test_ions_follow_salinity():
    """Half the salinity holds half of each ion per kg, and arrays are taken."""
    assert ion_mg_per_kg("Ca", 17.5) == pytest.approx(206.04)
    assert ion_mg_per_kg("Mg", np.array([35.0, 70.0 / 4])) == pytest.approx([1283.72, 641.86])


def test_alkalinity_of_the_ocean_is_about_2300():
    """The species of the Reference Composition make 2.3 mmol/kg at salinity 35 (Millero et al. 2008)."""
    assert reference_alkalinity_umol_per_kg(35.0) == pytest.approx(2300.0, abs=10.0)


def test_diluted_seawater_stands_in_balance():
    """Seawater at salinity 30 has less of everything and is in balance all the same."""
    balance = ion_balance(
        calcium_mg_per_l=ion_mg_per_l("Ca", 30.0, 25.0),
        magnesium_mg_per_l=ion_mg_per_l("Mg", 30.0, 25.0),
        alkalinity_meq_per_l=2.0,
        salinity_psu=30.0,
        temperature_c=25.0,
    )
    assert balance.calcium.share == pytest.approx(1.0, abs=1e-9)
    assert balance.magnesium.at_35 == pytest.approx(1313.69, abs=0.02)
    assert balance.magnesium_by_calcium == pytest.approx(balance.reference_magnesium_by_calcium)
    assert balance.reference_magnesium_by_calcium == pytest.approx(1283.72 / 412.08)


def test_alkalinity_above_the_ocean_s_is_told_as_a_share():
    """8 dKH at salinity 35 is 1.21 times the ocean's (2,792 µmol/kg by about 2,304)."""
    balance = ion_balance(
        calcium_mg_per_l=420.0,
        magnesium_mg_per_l=1300.0,
        alkalinity_meq_per_l=8.0 / 2.8,
        salinity_psu=35.0,
        temperature_c=25.0,
    )
    assert balance.alkalinity.share == pytest.approx(2792.0 / 2304.0, abs=0.003)
    assert balance.calcium.at_35 == 420.0


def test_calcification_alone_uses_both_in_proportion():
    """10 mg/L of calcium go with 1.40 dKH (stoichiometry, 2.8 dKH to the meq)."""
    used = consumption_ratio(calcium_used_mg_per_l=10.0, alkalinity_used_meq_per_l=1.3972 / 2.8)
    assert used.of_calcification == pytest.approx(1.0, abs=1e-3)
    assert used.calcium_mg_per_meq == pytest.approx(20.04, abs=0.01)


def test_nitrification_shows_as_alkalinity_without_calcium():
    """Where alkalinity falls and calcium does not, the ratio is nothing; where neither fell there is no ratio."""
    assert consumption_ratio(calcium_used_mg_per_l=0.0, alkalinity_used_meq_per_l=0.5).of_calcification == 0.0
    with pytest.raises(DomainError, match="there was none"):
        consumption_ratio(calcium_used_mg_per_l=10.0, alkalinity_used_meq_per_l=0.0)


def test_ions_beyond_the_table_or_sense_are_refused():
    """An ion not in the table, salinity beyond 50 and no calcium are refused."""
    with pytest.raises(DomainError, match="not in the table"):
        ion_mg_per_kg("I", 35.0)
    with pytest.raises(DomainError, match="Salinity"):
        ion_mg_per_kg("Ca", 60.0)
    with pytest.raises(DomainError, match="Calcium"):
        ion_balance(
            calcium_mg_per_l=0.0,
            magnesium_mg_per_l=1300.0,
            alkalinity_meq_per_l=2.8,
            salinity_psu=35.0,
            temperature_c=25.0,
        )


def test_a_reef_s_nutrients_weigh_next_to_nothing():
    """0.1 mg/L PO4 (about 1 µmol/kg) brings about 1 µmol/kg of alkalinity at pH 8 (PyCO2SYS: 1.130 at 35, 25 °C)."""
    water = {"salinity_psu": 35.0, "temperature_c": 25.0}
    found = nutrient_alkalinity_umol_per_kg(8.0, phosphate_umol_per_kg=1.0, silicate_umol_per_kg=0.0, **water)
    assert found == pytest.approx(1.130, abs=0.005)
