"""What adding alkalinity does to pH and Ω, and when calcium carbonate falls out.

The figures are computed with PyCO2SYS 1.8 (agreement with a named library), from 8 dKH, total-scale pH 8.1 or 8.0,
salinity 35 and 25 °C with the ocean's calcium.
"""

import numpy as np
import pytest

from pratique.knowledge import figure
from pratique.science.chemistry.alkalinity import alkalinity_as
from pratique.science.chemistry.carbonate_pairs import state_from_alkalinity_pco2, state_from_alkalinity_ph
from pratique.science.chemistry.density import density_kg_per_m3
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.ph_after_dosing import (
    calcium_mg_per_l,
    limewater_meq_per_l,
    state_after_air,
    state_after_alkalinity,
    state_after_two_part,
)
from pratique.science.chemistry.precipitation import (
    most_alkalinity_at_once_meq_per_l,
    precipitation_risk,
)

WATER = {"salinity_psu": 35.0, "temperature_c": 25.0}
ALKALINITY = alkalinity_as(8.0, "dKH", "µmol/kg", density_kg_per_m3=density_kg_per_m3(35.0, 25.0))
ONE_DKH = 1.0 / 2.8


@pytest.fixture
def reef():
    """Return a reef tank's water."""
    return state_from_alkalinity_ph(ALKALINITY, 8.1, ph_scale="total", **WATER)


@pytest.mark.parametrize(
    ("reagent", "rises"),
    [
        ("bicarbonate", (-0.024, -0.046, -0.086)),
        ("carbonate", (0.087, 0.161, 0.281)),
        ("hydroxide", (0.188, 0.339, 0.584)),
    ],
)
def test_half_one_and_two_dkh_move_the_ph(reef, reagent, rises):
    """Bicarbonate lowers the pH a little, carbonate raises it, hydroxide twice as much (PyCO2SYS)."""
    for dkh, rise in zip((0.5, 1.0, 2.0), rises, strict=True):
        after = state_after_alkalinity(reef, added_meq_per_l=dkh / 2.8, reagent=reagent)
        assert after.ph_total - reef.ph_total == pytest.approx(rise, abs=6e-4)


@pytest.mark.parametrize(
    ("reagent", "one", "two"), [("bicarbonate", 4.75, 4.92), ("carbonate", 6.73, 9.00), ("hydroxide", 8.73, 13.11)]
)
def test_one_and_two_dkh_move_omega(reef, reagent, one, two):
    """Ω of aragonite after 1 and 2 dKH of each (PyCO2SYS)."""
    for dkh, omega in ((1.0, one), (2.0, two)):
        after = state_after_alkalinity(reef, added_meq_per_l=dkh / 2.8, reagent=reagent)
        assert after.omega_aragonite == pytest.approx(omega, abs=0.006)


@pytest.mark.parametrize(("reagent", "rise"), [("bicarbonate", -0.042), ("carbonate", 0.184), ("hydroxide", 0.371)])
def test_a_lower_ph_is_moved_more_by_a_base(reagent, rise):
    """From pH 8.0 one dKH moves the pH otherwise than from 8.1 (PyCO2SYS)."""
    reef = state_from_alkalinity_ph(ALKALINITY, 8.0, ph_scale="total", **WATER)
    after = state_after_alkalinity(reef, added_meq_per_l=ONE_DKH, reagent=reagent)
    assert after.ph_total - 8.0 == pytest.approx(rise, abs=6e-4)


@pytest.mark.parametrize("reagent", ["bicarbonate", "carbonate", "hydroxide"])
def test_after_the_air_all_three_are_one(reef, reagent):
    """Back at the pCO2 there was, each ends at pH 8.142 and Ω 5.54 (PyCO2SYS)."""
    after = state_after_air(state_after_alkalinity(reef, added_meq_per_l=ONE_DKH, reagent=reagent), reef.pco2_uatm)
    assert after.ph_total == pytest.approx(8.142, abs=6e-4)
    assert after.omega_aragonite == pytest.approx(5.54, abs=0.006)


@pytest.mark.parametrize(
    ("dkh", "by_pco2"),
    [
        (7, (8.048, 7.919, 7.726)),
        (8, (8.097, 7.970, 7.779)),
        (10, (8.177, 8.053, 7.865)),
        (12, (8.241, 8.119, 7.935)),
    ],
)
def test_the_air_of_a_room_sets_the_ph(dkh, by_pco2):
    """Total-scale pH at rest with 420, 600 and 1,000 µatm (PyCO2SYS): a close room alone explains a low pH."""
    density = density_kg_per_m3(35.0, 25.0)
    alkalinity = alkalinity_as(float(dkh), "dKH", "µmol/kg", density_kg_per_m3=density)
    states = state_from_alkalinity_pco2(alkalinity, np.array([420.0, 600.0, 1000.0]), **WATER)
    assert states.ph_total == pytest.approx(by_pco2, abs=6e-4)


def test_two_part_brings_the_calcium_that_matches(reef):
    """One meq brings 20.039 mg of calcium (stoichiometry) and leaves alkalinity and pH as the one part would."""
    one = state_after_alkalinity(reef, added_meq_per_l=0.5, reagent="carbonate")
    both = state_after_two_part(reef, added_meq_per_l=0.5, reagent="carbonate")
    assert calcium_mg_per_l(both) - calcium_mg_per_l(reef) == pytest.approx(10.0195, abs=1e-6)
    assert both.ph_total == pytest.approx(one.ph_total, abs=1e-12)


def test_limewater_brings_what_it_holds_over_the_whole_water():
    """Six litres of saturated limewater, 40.6 meq/L (solubility recalled), in 300 L bring 0.812 meq/L (by hand)."""
    saturated = figure("limewater.saturated_meq_per_l").value
    added = limewater_meq_per_l(6.0, net_volume_l=300.0, strength_meq_per_l=saturated)
    assert added == pytest.approx(0.812, abs=1e-9)


def test_the_limits_of_precipitation_are_the_published_ones():
    """Moras et al. 2022: lime is stable in seawater to an Ω of about 5, and runs away above about 7."""
    stable, runaway = figure("precipitation.omega_aragonite_stable"), figure("precipitation.omega_aragonite_runaway")
    assert (stable.value, runaway.value) == (5.0, 7.0)
    assert all("Moras" in one.source for one in (stable, runaway))


@pytest.mark.parametrize(("ph_total", "risk", "limit"), [(8.1, "stable", 5.0), (8.25, "possible", 7.0)])
def test_a_water_is_told_with_the_limit_it_is_held_to(ph_total, risk, limit):
    """8 dKH, salinity 35, 25 °C: Ω 4.6 at total-scale pH 8.1, and 5.9 at 8.25 (PyCO2SYS)."""
    found = precipitation_risk(state_from_alkalinity_ph(ALKALINITY, ph_total, ph_scale="total", **WATER))
    assert (found.risk, found.limit) == (risk, limit)


def test_doses_may_be_many_at_once(reef):
    """An array of doses gives an array of waters, each as it would be alone."""
    doses = np.array([0.0, 0.2, 0.4])
    many = state_after_alkalinity(reef, added_meq_per_l=doses, reagent="hydroxide")
    alone = state_after_alkalinity(reef, added_meq_per_l=0.4, reagent="hydroxide")
    assert many.ph_total[0] == pytest.approx(reef.ph_total, abs=1e-12)
    assert many.ph_total[2] == pytest.approx(alone.ph_total, abs=1e-12)


def test_calcium_carbonate_is_stable_possible_or_likely_to_fall_out(reef):
    """Stable to Ω 5, likely above 7 (Moras et al. 2022): one dKH of hydroxide at once is too much."""
    assert precipitation_risk(reef).risk == "stable"
    by_carbonate = precipitation_risk(state_after_alkalinity(reef, added_meq_per_l=ONE_DKH, reagent="carbonate"))
    by_hydroxide = precipitation_risk(state_after_alkalinity(reef, added_meq_per_l=ONE_DKH, reagent="hydroxide"))
    assert (by_carbonate.risk, by_hydroxide.risk) == ("possible", "likely")
    assert by_hydroxide.limit == 7.0
    assert "Moras" in by_hydroxide.source


@pytest.mark.parametrize("reagent", ["carbonate", "hydroxide"])
@pytest.mark.parametrize("with_calcium", [False, True])
def test_the_most_that_may_go_in_at_once_ends_at_the_limit(reef, reagent, with_calcium):
    """That much leads to Ω 7, with its calcium to be counted where it comes with it."""
    most = most_alkalinity_at_once_meq_per_l(reef, reagent=reagent, with_calcium=with_calcium)
    change = state_after_two_part if with_calcium else state_after_alkalinity
    after = change(reef, added_meq_per_l=most, reagent=reagent)
    assert after.omega_aragonite == pytest.approx(7.0, abs=1e-4)


def test_bicarbonate_needs_no_limit_and_a_full_water_takes_nothing(reef):
    """Five meq/L of bicarbonate stay under the limit; water above it already takes nothing more."""
    assert most_alkalinity_at_once_meq_per_l(reef, reagent="bicarbonate") is None
    over = state_after_alkalinity(reef, added_meq_per_l=1.0, reagent="hydroxide")
    assert most_alkalinity_at_once_meq_per_l(over, reagent="carbonate") == 0.0


def test_doses_beyond_sense_are_refused(reef):
    """An unknown reagent, a negative dose, a tank of limewater and one too strong are refused."""
    with pytest.raises(DomainError, match="is not known here"):
        state_after_alkalinity(reef, added_meq_per_l=0.1, reagent="vinegar")
    with pytest.raises(DomainError, match="added alkalinity"):
        state_after_alkalinity(reef, added_meq_per_l=-0.1, reagent="carbonate")
    with pytest.raises(DomainError, match="as a part of the whole water"):
        limewater_meq_per_l(60.0, net_volume_l=300.0, strength_meq_per_l=40.6)
    with pytest.raises(DomainError, match="strength of the limewater"):
        limewater_meq_per_l(6.0, net_volume_l=300.0, strength_meq_per_l=406.0)
