"""Practical salinity, conductivity and reference salinity.

Not here: density, specific gravity, refractive index. Temperatures are ITS-90; a value printed for the older scale of
1968 is taken over with t90 = t68 / 1.00024. All of it takes the salts to be in the proportions of natural seawater;
a mix that departs from them is off by some tenths of a unit (recalled, no source seen).
"""

from typing import overload

import numpy as np

from pratique.science.chemistry.domain import Number, as_given, is_within, require_within
from pratique.science.chemistry.validity import Validity

_PSS78 = "Practical Salinity Scale 1978 (UNESCO 1983, Technical Paper 44)"
VALIDITY = (Validity("salinity", 2.0, 42.0, "PSU", _PSS78), Validity("temperature", -2.0, 35.0, "°C", _PSS78))

# Beyond these nothing that a keeper holds in the hand is meant: saltier than any sea, or ice, or hot tap water.
_MOST_SALINITY_PSU = 70.0
_COLDEST_C, _HOTTEST_C = -2.0, 45.0

# Pure water conducts up to this at 45 °C by the scale itself, which gives no salinity for less.
_PURE_WATER_MS_PER_CM = 0.003

_REFERENCE_G_PER_KG_PER_PSU = 35.16504 / 35.0


@overload
def practical_salinity_from_conductivity(
    conductivity_ms_per_cm: float, temperature_c: float, *, pressure_dbar: float = 0.0
) -> float: ...
@overload
def practical_salinity_from_conductivity(
    conductivity_ms_per_cm: Number, temperature_c: Number, *, pressure_dbar: Number = 0.0
) -> Number: ...
def practical_salinity_from_conductivity(
    conductivity_ms_per_cm: Number, temperature_c: Number, *, pressure_dbar: Number = 0.0
) -> Number:
    """Return the practical salinity (PSU) of water from its raw conductivity.

    Parameters
    ----------
    conductivity_ms_per_cm : mS/cm at the water's own temperature. A meter that compensates shows it as if at 25 °C:
        give that reading with 25, see `practical_salinity_from_compensated_conductivity`.
    temperature_c : °C; -2 to 45. Published for -2 to 35.
    pressure_dbar : sea pressure, 0 at the surface; 0 to 11,000.

    Raises
    ------
    DomainError   if the temperature is outside its range or the salinity would not lie within 0 to 70.

    Notes
    -----
    The scale ends near 0.003 mS/cm, the conductivity of the purest water: below it the salinity is given as 0, which
    is right to 0.002.

    Source
    ------
    Practical Salinity Scale 1978 with the extension below 2 of Hill, Dauphinee & Woods 1986, by gsw.SP_from_C.
    """
    import gsw  # noqa: PLC0415 - a tenth of a second that only who converts pays

    require_temperature(temperature_c)
    require_within("Conductivity", conductivity_ms_per_cm, lower=0.0, upper=150.0, unit="mS/cm")
    require_within("Pressure", pressure_dbar, lower=0.0, upper=11_000.0, unit="dbar")
    salinity = gsw.SP_from_C(conductivity_ms_per_cm, temperature_c, pressure_dbar)
    if not is_within(salinity, 0.0, _MOST_SALINITY_PSU):
        salinity = _zero_where_the_scale_ends(salinity, conductivity_ms_per_cm)
        require_within("The salinity this means", salinity, lower=0.0, upper=_MOST_SALINITY_PSU, unit="PSU")
    return as_given(salinity)


@overload
def conductivity_from_practical_salinity(salinity_psu: float, temperature_c: float) -> float: ...
@overload
def conductivity_from_practical_salinity(salinity_psu: Number, temperature_c: Number) -> Number: ...
def conductivity_from_practical_salinity(salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the raw conductivity (mS/cm) of seawater at the surface.

    Parameters
    ----------
    salinity_psu : practical salinity; 0 to 70. Published for 2 to 42.
    temperature_c : °C; -2 to 45. Published for -2 to 35.

    Raises
    ------
    DomainError   outside these ranges.

    Source
    ------
    The inverse of the Practical Salinity Scale 1978, by gsw.C_from_SP.
    """
    import gsw  # noqa: PLC0415 - as above

    require_salinity(salinity_psu)
    require_temperature(temperature_c)
    return as_given(gsw.C_from_SP(salinity_psu, temperature_c, 0.0))


@overload
def practical_salinity_from_compensated_conductivity(conductivity_at_25_c_ms_per_cm: float) -> float: ...
@overload
def practical_salinity_from_compensated_conductivity(conductivity_at_25_c_ms_per_cm: Number) -> Number: ...
def practical_salinity_from_compensated_conductivity(conductivity_at_25_c_ms_per_cm: Number) -> Number:
    """Return the practical salinity (PSU) from a reading (mS/cm) that the meter has already referred to 25 °C.

    The meter's own compensation is taken as right. Raises DomainError as `practical_salinity_from_conductivity` does.
    """
    return practical_salinity_from_conductivity(conductivity_at_25_c_ms_per_cm, 25.0)


@overload
def conductivity_referred_to_25_c(conductivity_ms_per_cm: float, temperature_c: float) -> float: ...
@overload
def conductivity_referred_to_25_c(conductivity_ms_per_cm: Number, temperature_c: Number) -> Number: ...
def conductivity_referred_to_25_c(conductivity_ms_per_cm: Number, temperature_c: Number) -> Number:
    """Return what the same water would conduct at 25 °C (mS/cm), from its raw conductivity at its own temperature.

    This is the true course for seawater; a meter with one fixed per-degree figure departs from it away from 25 °C.
    Raises DomainError as `practical_salinity_from_conductivity` does. Source: the scale of 1978, forth and back.
    """
    salinity = practical_salinity_from_conductivity(conductivity_ms_per_cm, temperature_c)
    return conductivity_from_practical_salinity(salinity, 25.0)


def conductivity_percent_per_k(salinity_psu: float, temperature_c: float) -> float:
    """Return by how many percent a degree more raises the conductivity of this water, at this temperature.

    Central difference over 0.01 K of `conductivity_from_practical_salinity`; raises DomainError as it does.
    """
    step_k = 0.005
    above = conductivity_from_practical_salinity(salinity_psu, temperature_c + step_k)
    below = conductivity_from_practical_salinity(salinity_psu, temperature_c - step_k)
    return 100.0 * (above - below) / (2 * step_k) / conductivity_from_practical_salinity(salinity_psu, temperature_c)


@overload
def reference_salinity_g_per_kg(salinity_psu: float) -> float: ...
@overload
def reference_salinity_g_per_kg(salinity_psu: Number) -> Number: ...
def reference_salinity_g_per_kg(salinity_psu: Number) -> Number:
    """Return grams of sea salt in a kilogram of seawater from practical salinity (0 to 70, else DomainError).

    Source: Millero, Feistel, Wright & McDougall 2008, the definition 35.16504 g/kg at practical salinity 35.
    """
    require_salinity(salinity_psu)
    return salinity_psu * _REFERENCE_G_PER_KG_PER_PSU


@overload
def practical_salinity_from_reference(reference_g_per_kg: float) -> float: ...
@overload
def practical_salinity_from_reference(reference_g_per_kg: Number) -> Number: ...
def practical_salinity_from_reference(reference_g_per_kg: Number) -> Number:
    """Return practical salinity (PSU) from grams of sea salt in a kilogram; the inverse of the definition of 2008.

    Raises DomainError if the salinity would not lie within 0 to 70.
    """
    salinity = reference_g_per_kg / _REFERENCE_G_PER_KG_PER_PSU
    require_salinity(salinity)
    return salinity


def require_salinity(salinity_psu: Number) -> None:
    """Raise DomainError unless every practical salinity lies within 0 to 70."""
    require_within("Salinity", salinity_psu, lower=0.0, upper=_MOST_SALINITY_PSU, unit="PSU")


def require_temperature(temperature_c: Number) -> None:
    """Raise DomainError unless every temperature lies within -2 to 45 °C."""
    require_within("Temperature", temperature_c, lower=_COLDEST_C, upper=_HOTTEST_C, unit="°C")


def _zero_where_the_scale_ends(salinity: Number, conductivity_ms_per_cm: Number) -> Number:
    """Return salinity 0 where the scale gives none because the water conducts no more than pure water does."""
    is_pure = np.isnan(salinity) & (np.asarray(conductivity_ms_per_cm) <= _PURE_WATER_MS_PER_CM)
    return np.where(is_pure, 0.0, salinity)
