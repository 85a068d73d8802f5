"""Refractive index of seawater, and salinity from a refractometer marked for seawater or for plain brine."""

from typing import Literal, overload

import numpy as np

from pratique.knowledge import figure
from pratique.science.chemistry.domain import DomainError, Number, as_given, require_within
from pratique.science.chemistry.salinity import require_salinity, require_temperature
from pratique.science.chemistry.validity import Validity

_QUAN_FRY = "Quan & Fry 1995, fitted to the tables of Austin & Halikas 1976 (recalled)"
VALIDITY = (
    Validity("salinity", 0.0, 35.0, "PSU", _QUAN_FRY),
    Validity("temperature", 0.0, 30.0, "°C", _QUAN_FRY),
    Validity("wavelength", 400.0, 700.0, "nm", _QUAN_FRY),
)

# The yellow sodium line, in which refractometers are read and tables printed.
SODIUM_LINE_NM = 589.3

# Seawater of 35 bends light as a brine with so much plain salt in a kilogram does.
BRINE = "refraction.brine_g_per_kg_at_35"

type RefractometerScale = Literal["seawater", "brine"]


@overload
def refractive_index_quan1995(
    salinity_psu: float, temperature_c: float, wavelength_nm: float = SODIUM_LINE_NM
) -> float: ...
@overload
def refractive_index_quan1995(
    salinity_psu: Number, temperature_c: Number, wavelength_nm: Number = SODIUM_LINE_NM
) -> Number: ...
def refractive_index_quan1995(
    salinity_psu: Number, temperature_c: Number, wavelength_nm: Number = SODIUM_LINE_NM
) -> Number:
    """Return the refractive index of seawater against air, at one atmosphere.

    Parameters
    ----------
    salinity_psu : practical salinity; 0 to 70. Published for 0 to 35.
    temperature_c : °C; -2 to 45. Published for 0 to 30.
    wavelength_nm : nm; 300 to 1,100. Published for 400 to 700.

    Raises
    ------
    DomainError   outside these ranges.

    Source
    ------
    Quan & Fry 1995 (coefficients recalled; recomputed against the refractive index of pure water).
    """
    require_salinity(salinity_psu)
    fresh, per_psu = _fresh_and_per_psu(temperature_c, wavelength_nm)
    return as_given(fresh + per_psu * salinity_psu)


@overload
def salinity_from_refractive_index(
    refractive_index: float, temperature_c: float, wavelength_nm: float = SODIUM_LINE_NM
) -> float: ...
@overload
def salinity_from_refractive_index(
    refractive_index: Number, temperature_c: Number, wavelength_nm: Number = SODIUM_LINE_NM
) -> Number: ...
def salinity_from_refractive_index(
    refractive_index: Number, temperature_c: Number, wavelength_nm: Number = SODIUM_LINE_NM
) -> Number:
    """Return the practical salinity (PSU) of water with this refractive index; inverse of `refractive_index_quan1995`.

    Temperature -2 to 45 °C, wavelength 300 to 1,100 nm. Raises DomainError outside, and where no salinity from 0 to 70
    has this index. The relation is a straight line in salinity, so the inverse is exact.
    """
    fresh, per_psu = _fresh_and_per_psu(temperature_c, wavelength_nm)
    salinity = (refractive_index - fresh) / per_psu
    # The index of fresh water itself comes out a rounding below zero.
    require_within("The salinity this refractive index means", salinity, lower=-1e-9, upper=70.0, unit="PSU")
    return as_given(np.maximum(salinity, 0.0))


@overload
def salinity_from_brine_scale(reading: float) -> float: ...
@overload
def salinity_from_brine_scale(reading: Number) -> Number: ...
def salinity_from_brine_scale(reading: Number) -> Number:
    """Return the practical salinity (PSU) of seawater whose reading is on a scale of plain salt, in g per kg.

    0 to 73, else DomainError. Source: the figure `refraction.brine_g_per_kg_at_35`; in proportion below and above.
    """
    require_within("The brine reading", reading, lower=0.0, upper=73.0)
    return reading * (35.0 / figure(BRINE).value)


@overload
def brine_scale_reading(salinity_psu: float) -> float: ...
@overload
def brine_scale_reading(salinity_psu: Number) -> Number: ...
def brine_scale_reading(salinity_psu: Number) -> Number:
    """Return what a scale of plain salt (g per kg) shows in seawater; inverse of `salinity_from_brine_scale`."""
    require_salinity(salinity_psu)
    return salinity_psu * (figure(BRINE).value / 35.0)


def salinity_from_refractometer(reading: float, *, scale: RefractometerScale) -> float:
    """Return the practical salinity (PSU) from a refractometer at its own temperature, by the scale it is marked in.

    Raises DomainError where the scale is not said or the salinity would not lie within 0 to 70: it is asked for, never
    assumed.
    """
    if scale == "brine":
        return salinity_from_brine_scale(reading)
    if scale == "seawater":
        require_salinity(reading)
        return reading
    raise DomainError(
        "Say whether the refractometer is marked for natural seawater or for plain brine. Set to a seawater standard "
        f"of 35, the one shows 35 and the other {figure(BRINE).value:g}."
    )


def error_of_confused_scales_psu(reading: float) -> float:
    """Return how many units too high a brine scale reads where it is taken for one of seawater.

    Taken the other way round, a seawater scale read as brine comes out too low by the same. Raises DomainError as
    `salinity_from_brine_scale` does.
    """
    return reading - salinity_from_brine_scale(reading)


def salinity_without_compensation(reading_psu: float, *, calibrated_at_c: float, sample_c: float) -> float:
    """Return the practical salinity (PSU) from a seawater refractometer that does not compensate for temperature.

    `reading_psu` is what it shows (0 to 70), set right at `calibrated_at_c`; the sample on its glass has `sample_c`.
    A degree makes 0.56 at 20 °C and 0.64 at 25. Raises DomainError as the two functions it rests on do. What the
    prism itself does is left out.
    """
    index = refractive_index_quan1995(reading_psu, calibrated_at_c)
    return salinity_from_refractive_index(index, sample_c)


def _fresh_and_per_psu(temperature_c: Number, wavelength_nm: Number) -> tuple[Number, Number]:
    """Return the index of fresh water and its rise per unit of salinity: the two parts of Quan & Fry's equation."""
    require_temperature(temperature_c)
    require_within("Wavelength", wavelength_nm, lower=300.0, upper=1100.0, unit="nm")
    waves = 1.0 / wavelength_nm
    by_wave = waves * (15.868 - 0.00423 * temperature_c + waves * (-4382.0 + waves * 1.1455e6))
    fresh = 1.31405 - 2.02e-6 * temperature_c**2 + by_wave
    per_psu = 1.779e-4 - 1.05e-6 * temperature_c + 1.6e-8 * temperature_c**2 + 0.01155 * waves
    return fresh, per_psu
