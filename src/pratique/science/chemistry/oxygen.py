"""Oxygen in seawater at saturation, and between percent and mg/L. Not here: who uses it up (`oxygen_demand`)."""

from typing import overload

from pratique.science.chemistry.density import density_kg_per_m3
from pratique.science.chemistry.domain import Number, as_given, require_within
from pratique.science.chemistry.elementwise import exp, log
from pratique.science.chemistry.validity import Validity

OXYGEN_G_PER_MOL = 31.998
_ZERO_C = 273.15
_GARCIA = "Garcia & Gordon 1992"
VALIDITY = (
    Validity(name="salinity", lower=0.0, upper=42.0, unit="", source=_GARCIA),
    Validity(name="temperature", lower=-2.0, upper=40.0, unit="°C", source=_GARCIA),
)


@overload
def saturation_mg_per_l(salinity_psu: float, temperature_c: float) -> float: ...
@overload
def saturation_mg_per_l(salinity_psu: Number, temperature_c: Number) -> Number: ...
def saturation_mg_per_l(salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the oxygen in mg/L that seawater at the surface holds in balance with moist air at 1 atm.

    Salinity 0 to 42 and -2 to 40 °C are published (see VALIDITY); raises DomainError beyond 0 to 50 or -2 to 45 °C.
    Source: Garcia & Gordon 1992 per kg of seawater as in gsw (O2sol_SP_pt), times density (TEOS-10) and 31.998 g/mol.
    """
    per_kg = saturation_umol_per_kg(salinity_psu, temperature_c)
    return per_kg * OXYGEN_G_PER_MOL * density_kg_per_m3(salinity_psu, temperature_c) / 1e6


@overload
def saturation_umol_per_kg(salinity_psu: float, temperature_c: float) -> float: ...
@overload
def saturation_umol_per_kg(salinity_psu: Number, temperature_c: Number) -> Number: ...
def saturation_umol_per_kg(salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the oxygen in µmol per kg of seawater in balance with moist air at 1 atm.

    Range and errors as `saturation_mg_per_l`. Source: Garcia & Gordon 1992, as in gsw (O2sol_SP_pt).
    """
    import gsw  # noqa: PLC0415 - only who asks for oxygen pays for loading it

    _require_seawater(salinity_psu, temperature_c)
    # At the surface the potential temperature that gsw asks for is the temperature itself.
    return as_given(gsw.O2sol_SP_pt(salinity_psu, temperature_c))


def pressure_factor(pressure_atm: float, *, salinity_psu: float, temperature_c: float) -> float:
    """Return what saturation is multiplied by where the air pressure is not 1 atm: (P - pw) / (1 - pw).

    `pressure_atm` 0.5 to 1.2, else DomainError. Source: Benson & Krause 1984 (form from memory), vapour pressure of
    Weiss & Price 1980.
    """
    require_within("The air pressure", pressure_atm, lower=0.5, upper=1.2, unit="atm")
    vapour = vapour_pressure_atm_weiss1980(salinity_psu, temperature_c)
    return (pressure_atm - vapour) / (1.0 - vapour)


def vapour_pressure_atm_weiss1980(salinity_psu: float, temperature_c: float) -> float:
    """Return the vapour pressure of water over seawater in atm.

    Published for 0 to 40 °C and salinity 0 to 40; errors as `saturation_mg_per_l`. Source: Weiss & Price 1980, Eq. 10
    (from memory, agrees with PyCO2SYS; within 0.15 % of the steam tables).
    """
    _require_seawater(salinity_psu, temperature_c)
    hundreds = (temperature_c + _ZERO_C) / 100.0
    return float(exp(24.4543 - 67.4509 / hundreds - 4.8489 * log(hundreds) - 0.000544 * salinity_psu))


def percent_of_saturation(
    oxygen_mg_per_l: float, *, salinity_psu: float, temperature_c: float, pressure_atm: float = 1.0
) -> float:
    """Return how full of oxygen the water is, in percent; DomainError as `saturation_mg_per_l`, or above 60 mg/L."""
    require_within("Oxygen", oxygen_mg_per_l, lower=0.0, upper=60.0, unit="mg/L")
    full = _full(salinity_psu, temperature_c, pressure_atm)
    return 100.0 * oxygen_mg_per_l / full


def oxygen_from_percent_mg_per_l(
    percent: float, *, salinity_psu: float, temperature_c: float, pressure_atm: float = 1.0
) -> float:
    """Return the oxygen in mg/L of water this many percent full; DomainError as the saturation, or above 500 %."""
    require_within("Saturation", percent, lower=0.0, upper=500.0, unit="%")
    return percent / 100.0 * _full(salinity_psu, temperature_c, pressure_atm)


def _full(salinity_psu: float, temperature_c: float, pressure_atm: float) -> float:
    factor = pressure_factor(pressure_atm, salinity_psu=salinity_psu, temperature_c=temperature_c)
    return factor * saturation_mg_per_l(salinity_psu, temperature_c)


def _require_seawater(salinity_psu: Number, temperature_c: Number) -> None:
    require_within("Salinity", salinity_psu, lower=0.0, upper=50.0)
    require_within("Temperature", temperature_c, lower=-2.0, upper=45.0, unit="°C")
