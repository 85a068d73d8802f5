"""Evaporation, new salt water, blending: by mass where it matters."""

import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.mixing import (
    Water,
    after_evaporation,
    after_evaporation_by_mass,
    blend,
    blended_level,
    evaporated_l,
    salt_for_new_water_g,
    salt_to_raise_g,
)
from pratique.science.chemistry.salinity import reference_salinity_g_per_kg

TANK = Water(300.0, 35.0, 25.0)


def test_evaporation_by_mass_is_a_little_less_than_by_volume():
    """300 L at 35 weigh 307.0 kg; 6 kg gone leave 35.698, by volumes 35.714 (worked example, TEOS-10 density)."""
    assert TANK.mass_kg() == pytest.approx(307.0, abs=0.05)
    litres_of_six_kg = 6.0 / 0.9970476
    assert after_evaporation_by_mass(TANK, evaporated_l=litres_of_six_kg) == pytest.approx(35.698, abs=5e-4)
    assert after_evaporation(35.0, volume_l=300.0, evaporated_l=6.0) == pytest.approx(35.714, abs=5e-4)


def test_what_evaporated_is_read_off_the_salinity():
    """There and back; putting it back brings the salinity back."""
    risen = after_evaporation(35.0, volume_l=300.0, evaporated_l=6.0)
    assert evaporated_l(35.0, risen, volume_l=300.0) == pytest.approx(6.0)


@pytest.mark.parametrize(("salinity", "grams"), [(33, 33.880), (34, 34.932), (35, 35.986), (36, 37.041)])
def test_a_litre_of_new_salt_water(salinity, grams):
    """Reference salinity times density at 25 °C (Millero et al. 2008, TEOS-10; computed with gsw)."""
    assert salt_for_new_water_g(Water(1.0, salinity, 25.0)) == pytest.approx(grams, abs=5e-4)


def test_damp_salt_takes_more():
    """With a tenth of it water, a ninth more."""
    assert salt_for_new_water_g(TANK, salt_part=0.9) == pytest.approx(salt_for_new_water_g(TANK) / 0.9)


def test_raising_salinity_counts_the_mass_of_the_salt_itself():
    """300 L from 33 to 35: the salt in the tank before and after is what was added (balance of mass)."""
    start = Water(300.0, 33.0, 25.0)
    grams = salt_to_raise_g(start, 35.0)
    before = start.mass_kg() * reference_salinity_g_per_kg(33.0)
    after = (start.mass_kg() + grams / 1000) * reference_salinity_g_per_kg(35.0)
    assert after - before == pytest.approx(grams)
    assert grams == pytest.approx(2.0 * 35.16504 / 35.0 * 306.55 / 0.96484, rel=1e-4)


def test_damp_salt_for_a_rise_balances_too():
    """Only its dry part is salt, but all of it adds mass."""
    start = Water(300.0, 33.0, 25.0)
    grams = salt_to_raise_g(start, 35.0, salt_part=0.95)
    before = start.mass_kg() * reference_salinity_g_per_kg(33.0)
    after = (start.mass_kg() + grams / 1000) * reference_salinity_g_per_kg(35.0)
    assert after - before == pytest.approx(0.95 * grams)


def test_a_blend_keeps_mass_and_salt():
    """100 L at 40 and 60 L of fresh water: both balances close, and the volume is not quite the sum."""
    brine, fresh = Water(100.0, 40.0, 24.0), Water(60.0, 0.0, 28.0)
    both = blend(brine, fresh)
    assert both.mass_kg() == pytest.approx(brine.mass_kg() + fresh.mass_kg())
    salt = brine.mass_kg() * reference_salinity_g_per_kg(40.0)
    assert both.mass_kg() * reference_salinity_g_per_kg(both.salinity_psu) == pytest.approx(salt)
    # By mass: 102.74 kg at 24 and 59.77 kg at 28 °C (densities of TEOS-10, by hand); a plain mean would be 26.
    assert both.temperature_c == pytest.approx(25.47, abs=0.01)
    assert both.volume_l == pytest.approx(160.0, rel=1e-3)
    assert both.volume_l != 160.0


def test_blending_equal_waters_changes_nothing():
    """Water like that in the tank."""
    both = blend(TANK, Water(30.0, 35.0, 25.0))
    assert (both.salinity_psu, both.temperature_c) == (pytest.approx(35.0), pytest.approx(25.0))
    assert both.volume_l == pytest.approx(330.0)


def test_levels_blend_by_volume():
    """10 L at 40 and 30 L at 4 mg/L: 13 (by hand)."""
    assert blended_level(40.0, 10.0, 4.0, 30.0) == pytest.approx(13.0)


def test_nonsense_is_refused():
    """More than all cannot evaporate, salinity does not fall by it, and salt is mostly salt."""
    for act in (
        lambda: after_evaporation(35.0, volume_l=300.0, evaporated_l=300.0),
        lambda: after_evaporation_by_mass(TANK, evaporated_l=299.9999999999),
        lambda: after_evaporation(35.0, volume_l=0.0, evaporated_l=0.0),
        lambda: evaporated_l(36.0, 35.0, volume_l=300.0),
        lambda: salt_for_new_water_g(TANK, salt_part=0.1),
        lambda: salt_to_raise_g(TANK, 33.0),
        lambda: Water(0.0, 35.0),
        lambda: blended_level(1.0, 0.0, 2.0, 0.0),
    ):
        with pytest.raises(DomainError):
            act()
