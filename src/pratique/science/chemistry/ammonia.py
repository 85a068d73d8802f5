"""Un-ionised ammonia in seawater from total ammonia, by the simple published relation.

Not here: conversion between pH scales and the rigorous constants. The relation takes the pH as a hobby meter reads
it (NBS) and gives somewhat more un-ionised ammonia than the rigorous path, which is the safe side.
"""

import math
from dataclasses import dataclass
from typing import overload

import numpy as np

from pratique.science.chemistry.domain import Number, require_at_least, require_within

_NORMAL_95 = 1.959963984540054
_LN10 = math.log(10.0)


@dataclass(frozen=True)
class UnIonised:
    """Un-ionised ammonia in mg N/L, its 95 % error, and the input that contributes most of that error."""

    value: float
    plus_minus: float
    dominated_by: str


@overload
def un_ionised_fraction_khoo1977(ph_nbs: float, temperature_c: float, salinity_psu: float) -> float: ...
@overload
def un_ionised_fraction_khoo1977(ph_nbs: Number, temperature_c: Number, salinity_psu: Number) -> Number: ...
def un_ionised_fraction_khoo1977(ph_nbs: Number, temperature_c: Number, salinity_psu: Number) -> Number:
    """Return the fraction (0 to 1) of total ammonia that is un-ionised in seawater.

    Parameters
    ----------
    ph_nbs : pH on the NBS scale, as a pocket meter reads it; 5 to 10.
    temperature_c : °C; 5 to 40.
    salinity_psu : practical salinity; 0 to 45. At 0 the relation becomes the fresh-water constant.

    Raises
    ------
    DomainError   if an input is outside its range.

    Notes
    -----
    Of two expressions printed in the paper only the abstract's linear one is sound (Bell et al. 2007). Against the
    rigorous path it reads 4 to 11 % high at salinity 30 to 36 and 20 to 30 °C: the safe side.

    Source
    ------
    Khoo, Culberson & Bates 1977, abstract form; fresh-water pK of Emerson et al. 1975 (both recalled, recomputed
    against the 44-cell table of Bower & Bidwell 1978: within 1.4 %).
    """
    require_within("pH", ph_nbs, lower=5.0, upper=10.0)
    pk = pk_ammonium_khoo1977(salinity_psu, temperature_c)
    fraction = 1.0 / (1.0 + 10.0 ** (pk - ph_nbs))
    return fraction if isinstance(fraction, np.ndarray) else float(fraction)


def un_ionised_ammonia_mg_n_per_l(
    total_ammonia_mg_n_per_l: float, ph_nbs: float, temperature_c: float, salinity_psu: float
) -> float:
    """Return un-ionised ammonia in mg N/L from total ammonia in mg N/L.

    Raises DomainError outside the range of `un_ionised_fraction_khoo1977` or for a negative total.
    """
    require_at_least("Total ammonia", total_ammonia_mg_n_per_l, lower=0.0)
    return total_ammonia_mg_n_per_l * un_ionised_fraction_khoo1977(ph_nbs, temperature_c, salinity_psu)


def un_ionised_with_error(  # noqa: PLR0913, PLR0917 - each of four readings comes with its own error
    total: float,
    total_sd: float,
    ph: float,
    ph_sd: float,
    temperature_c: float,
    temperature_sd: float,
    salinity_psu: float,
    salinity_sd: float,
) -> UnIonised:
    """Return un-ionised ammonia in mg N/L with the 95 % error its four readings give it.

    `total` is total ammonia in mg N/L, `ph` is on the NBS scale, every `_sd` is one standard deviation. First-order
    propagation (JCGM 100:2008); the error of the relation itself is not in it. Raises DomainError out of range.
    """
    value = un_ionised_ammonia_mg_n_per_l(total, ph, temperature_c, salinity_psu)
    fraction = un_ionised_fraction_khoo1977(ph, temperature_c, salinity_psu)
    steepness = value * (1.0 - fraction) * _LN10
    by_temperature, by_salinity = _pk_slopes(temperature_c, salinity_psu)
    shares = {
        "total ammonia": fraction * total_sd,
        "pH": steepness * ph_sd,
        "temperature": steepness * abs(by_temperature) * temperature_sd,
        "salinity": steepness * abs(by_salinity) * salinity_sd,
    }
    plus_minus = _NORMAL_95 * math.hypot(*shares.values())
    return UnIonised(value, plus_minus, max(shares, key=lambda name: shares[name]))


def worst_plausible_un_ionised(
    total: float, *, ph_upper: float, temperature_upper: float, salinity_lower: float
) -> float:
    """Return the highest un-ionised ammonia in mg N/L that still fits, where pH or temperature was not read.

    The fraction rises with pH and temperature and falls with salinity, so the corner of the plausible box is the worst.
    """
    return un_ionised_ammonia_mg_n_per_l(total, ph_upper, temperature_upper, salinity_lower)


def _ionic_strength(salinity_psu: Number) -> Number:
    """Return the molal ionic strength of seawater (Millero's form, recalled)."""
    return 19.9273 * salinity_psu / (1000.0 - 1.005109 * salinity_psu)


@overload
def pk_ammonium_khoo1977(salinity_psu: float, temperature_c: float) -> float: ...
@overload
def pk_ammonium_khoo1977(salinity_psu: Number, temperature_c: Number) -> Number: ...
def pk_ammonium_khoo1977(salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the pK of ammonium in seawater, for pH as an NBS-calibrated meter reads it.

    Range, errors and source as `un_ionised_fraction_khoo1977`; without salt it is the fresh-water pK of Emerson et al.
    """
    require_within("Temperature", temperature_c, lower=5.0, upper=40.0, unit="°C")
    require_within("Salinity", salinity_psu, lower=0.0, upper=45.0)
    fresh = 0.09018 + 2729.92 / (temperature_c + 273.15)
    return fresh + (0.1552 - 0.0003142 * temperature_c) * _ionic_strength(salinity_psu)


def _pk_slopes(temperature_c: float, salinity_psu: float) -> tuple[float, float]:
    """Return how the pK changes per °C and per unit of salinity."""
    strength = float(_ionic_strength(salinity_psu))
    by_temperature = -2729.92 / (temperature_c + 273.15) ** 2 - 0.0003142 * strength
    by_salinity = (0.1552 - 0.0003142 * temperature_c) * 19927.3 / (1000.0 - 1.005109 * salinity_psu) ** 2
    return by_temperature, by_salinity
