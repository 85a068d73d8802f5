"""Oxygen at saturation, between percent and mg/L, and under another air pressure."""

import numpy as np
import pytest
from tests.published.oracles import (
    oxygen_benson1984_mg_per_l,
    oxygen_garcia1992_mmol_per_m3,
    oxygen_garcia1992_umol_per_kg,
)

from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.oxygen import (
    VALIDITY,
    oxygen_from_percent_mg_per_l,
    percent_of_saturation,
    pressure_factor,
    saturation_mg_per_l,
    saturation_umol_per_kg,
    vapour_pressure_atm_weiss1980,
)
from pratique.science.chemistry.validity import outside

SEA = {"salinity_psu": 35.0, "temperature_c": 25.0}


@pytest.mark.parametrize("salinity", [0.0, 30.0, 35.0, 40.0])
@pytest.mark.parametrize("temperature_c", [5.0, 15.0, 20.0, 25.0, 30.0])
def test_the_two_published_forms_agree(salinity, temperature_c):
    """Garcia & Gordon 1992 and the handbook form of Benson & Krause 1984, from the same data: within 0.0026 mg/L."""
    ours = saturation_mg_per_l(salinity, temperature_c)
    assert oxygen_benson1984_mg_per_l(salinity, temperature_c) == pytest.approx(ours, abs=0.0026)


def test_the_form_by_volume_gives_the_same_milligrams():
    """282.015 mmol/m³ at 35 and 10 °C (check value of Garcia & Gordon 1992) are 9.024 mg/L."""
    by_volume = oxygen_garcia1992_mmol_per_m3(35.0, 10.0) * 31.998 / 1000
    assert saturation_mg_per_l(35.0, 10.0) == pytest.approx(by_volume, abs=0.002)


def test_the_library_and_the_paper_differ_by_the_old_temperature_scale_only():
    """gsw turns °C into those of 1968 first: 0.005 % at 10 °C."""
    assert saturation_umol_per_kg(35.0, 10.0) == pytest.approx(oxygen_garcia1992_umol_per_kg(35.0, 10.0), rel=6e-5)


@pytest.mark.parametrize("form", [saturation_mg_per_l, saturation_umol_per_kg])
def test_a_series_gives_what_single_values_give(form):
    """Arrays come back as arrays, and single numbers as plain floats."""
    series = form(35.0, np.array([20.0, 25.0]))
    singles = [form(35.0, 20.0), form(35.0, 25.0)]
    assert series == pytest.approx(singles)
    assert all(type(one) is float for one in singles)


@pytest.mark.parametrize(("temperature_c", "kilopascal"), [(20.0, 2.3392), (25.0, 3.1698), (30.0, 4.2467)])
def test_the_vapour_pressure_over_fresh_water_is_that_of_the_steam_tables(temperature_c, kilopascal):
    """Steam tables (from memory): 2.339, 3.170 and 4.247 kPa; Weiss & Price 1980 reads 0.12 % less."""
    assert 101.325 * vapour_pressure_atm_weiss1980(0.0, temperature_c) == pytest.approx(kilopascal, rel=0.0015)


def test_salt_lowers_the_vapour_pressure_by_two_percent():
    """Salinity 35: about 2 % less than over fresh water (Raoult's law, from memory)."""
    ratio = vapour_pressure_atm_weiss1980(35.0, 25.0) / vapour_pressure_atm_weiss1980(0.0, 25.0)
    assert ratio == pytest.approx(0.98, abs=0.002)


def test_thin_air_holds_less_oxygen():
    """(0.83 - pw) / (1 - pw) with pw 0.0307 atm, about 1,500 m up: 0.8246 of the oxygen (computed by hand)."""
    assert pressure_factor(0.83, **SEA) == pytest.approx(0.8246, abs=2e-4)
    assert pressure_factor(1.0, **SEA) == 1.0


def test_full_water_is_a_hundred_percent():
    """6.77 mg/L at 35 and 25 °C (Garcia & Gordon 1992) is 100 %, and 5.0 mg/L is 74 %."""
    assert percent_of_saturation(6.7706, **SEA) == pytest.approx(100.0, abs=0.01)
    assert percent_of_saturation(5.0, **SEA) == pytest.approx(73.85, abs=0.01)


@pytest.mark.parametrize("percent", [0.0, 40.0, 100.0, 130.0])
@pytest.mark.parametrize("pressure_atm", [0.8, 1.0])
def test_percent_and_milligrams_turn_back_into_each_other(percent, pressure_atm):
    """Neither way loses anything."""
    level = oxygen_from_percent_mg_per_l(percent, pressure_atm=pressure_atm, **SEA)
    assert percent_of_saturation(level, pressure_atm=pressure_atm, **SEA) == pytest.approx(percent)


def test_nonsense_is_refused():
    """Each limit says what would be right."""
    for salinity, temperature_c in ((60.0, 25.0), (35.0, 60.0), (-1.0, 25.0), (float("nan"), 25.0)):
        with pytest.raises(DomainError, match="must lie within"):
            saturation_mg_per_l(salinity, temperature_c)
    with pytest.raises(DomainError, match="air pressure must lie within"):
        pressure_factor(3.0, **SEA)
    with pytest.raises(DomainError, match="Oxygen must lie within"):
        percent_of_saturation(-1.0, **SEA)
    with pytest.raises(DomainError, match="Saturation must lie within"):
        oxygen_from_percent_mg_per_l(-1.0, **SEA)


def test_brine_is_beyond_what_was_published():
    """Salinity 45 has an answer, told as extrapolated."""
    assert outside(next(one for one in VALIDITY if one.name == "salinity"), 45.0)
    assert saturation_mg_per_l(45.0, 25.0) < saturation_mg_per_l(40.0, 25.0)
