"""Oxygen in seawater at saturation, and between percent and mg/L. Not here: who uses it up (`oxygen_demand`)."""

from dataclasses import dataclass
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


@dataclass(frozen=True)
class _Fit:
    """Coefficients of Garcia & Gordon 1992, Eq. 8, as fitted to the data of Benson & Krause."""

    by_temperature: tuple[float, ...]
    by_salt: tuple[float, ...]
    by_salt_squared: float


_ML_PER_L = _Fit(
    (2.00907, 3.22014, 4.05010, 4.94457, -0.256847, 3.88767),
    (-0.00624523, -0.00737614, -0.0103410, -0.00817083),
    -4.88682e-7,
)
_UMOL_PER_KG = _Fit(
    (5.80871, 3.20291, 4.17887, 5.10006, -0.0986643, 3.80369),
    (-7.01577e-3, -7.70028e-3, -1.13864e-2, -9.51519e-3),
    -2.75915e-7,
)
# The molar volume of oxygen at standard temperature and pressure, as mmol per litre of gas.
_MMOL_PER_L_OF_GAS = 44.6596


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


@overload
def saturation_garcia1992_mmol_per_m3(salinity_psu: float, temperature_c: float) -> float: ...
@overload
def saturation_garcia1992_mmol_per_m3(salinity_psu: Number, temperature_c: Number) -> Number: ...
def saturation_garcia1992_mmol_per_m3(salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the oxygen in mmol/m³ at saturation, by the form of the paper that needs no density.

    Range and errors as `saturation_mg_per_l`. Source: Garcia & Gordon 1992, Eq. 8 in mL/L, times 44.6596 mmol/L.
    """
    return as_given(_MMOL_PER_L_OF_GAS * _garcia1992(_ML_PER_L, salinity_psu, temperature_c))


@overload
def saturation_garcia1992_umol_per_kg(salinity_psu: float, temperature_c: float) -> float: ...
@overload
def saturation_garcia1992_umol_per_kg(salinity_psu: Number, temperature_c: Number) -> Number: ...
def saturation_garcia1992_umol_per_kg(salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the oxygen in µmol per kg of seawater at saturation, as the paper has it, without a library.

    Range and errors as `saturation_mg_per_l`. Source: Garcia & Gordon 1992, Eq. 8 in µmol/kg. gsw first turns the
    temperature into that of 1968, and gives 0.005 % less.
    """
    return as_given(_garcia1992(_UMOL_PER_KG, salinity_psu, temperature_c))


@overload
def saturation_benson1984_mg_per_l(salinity_psu: float, temperature_c: float) -> float: ...
@overload
def saturation_benson1984_mg_per_l(salinity_psu: Number, temperature_c: Number) -> Number: ...
def saturation_benson1984_mg_per_l(salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the oxygen in mg/L at saturation, by the form that water-testing handbooks tabulate.

    Published for 0 to 40 °C and salinity 0 to 40; errors as `saturation_mg_per_l`. Source: Benson & Krause 1984 (the
    salinity term from memory). It reads up to 0.0015 mg/L more than
    `saturation_mg_per_l` to salinity 35, and 0.0026 at 40.
    """
    _require_seawater(salinity_psu, temperature_c)
    kelvin = temperature_c + _ZERO_C
    fresh = -139.34411 + 1.575701e5 / kelvin - 6.642308e7 / kelvin**2 + 1.2438e10 / kelvin**3 - 8.621949e11 / kelvin**4
    return as_given(exp(fresh - salinity_psu * (1.7674e-2 - 10.754 / kelvin + 2140.7 / kelvin**2)))


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


def _garcia1992(fit: _Fit, salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the oxygen in the fit's own unit; DomainError outside the range."""
    _require_seawater(salinity_psu, temperature_c)
    scaled = log((298.15 - temperature_c) / (_ZERO_C + temperature_c))
    by_salt = _polynomial(fit.by_salt, scaled)
    return exp(_polynomial(fit.by_temperature, scaled) + salinity_psu * by_salt + fit.by_salt_squared * salinity_psu**2)


def _polynomial(coefficients: tuple[float, ...], at: Number) -> Number:
    found: Number = 0.0 * at
    for one in reversed(coefficients):
        found = found * at + one
    return found


def _require_seawater(salinity_psu: Number, temperature_c: Number) -> None:
    require_within("Salinity", salinity_psu, lower=0.0, upper=50.0)
    require_within("Temperature", temperature_c, lower=-2.0, upper=45.0, unit="°C")
