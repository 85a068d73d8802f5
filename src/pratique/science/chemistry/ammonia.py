"""Un-ionised ammonia in seawater from total ammonia, by the simple published relation.

Not here: conversion between pH scales and the rigorous constants. The relation takes the pH as a hobby meter reads
it (NBS) and gives somewhat more un-ionised ammonia than the rigorous path, which is the safe side.
"""

from dataclasses import dataclass
from typing import overload

import numpy as np

from pratique.science.chemistry.domain import Number, require_at_least, require_within
from pratique.science.chemistry.uncertainty import NORMAL_95, Propagated, Uncertain, propagate_skewed

# Words for the inputs, by the names they have in a reckoning.
INPUT_WORDS = {
    "total": "total ammonia",
    "ph_nbs": "pH",
    "temperature_c": "temperature",
    "salinity_psu": "salinity",
}


@dataclass(frozen=True)
class UnIonised:
    """Un-ionised ammonia in mg N/L, its 95 % error, and the input that contributes most of that error.

    A pH moves it by factors, so the 95 % interval from `low` to `high` reaches farther up than down; `plus_minus` is
    the larger side.
    """

    value: float
    plus_minus: float
    dominated_by: str
    low: float
    high: float


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

    `total` is total ammonia in mg N/L, `ph` is on the NBS scale, every `_sd` is one standard deviation. The error of
    the relation itself is not in it. Raises DomainError out of range. Source: as `propagate_skewed`.
    """
    inputs = {
        "total": Uncertain(total, NORMAL_95 * total_sd),
        "ph_nbs": Uncertain(ph, NORMAL_95 * ph_sd),
        "temperature_c": Uncertain(temperature_c, NORMAL_95 * temperature_sd),
        "salinity_psu": Uncertain(salinity_psu, NORMAL_95 * salinity_sd),
    }
    return un_ionised_of(propagate_skewed(_by_name, inputs))


def un_ionised_of(found: Propagated) -> UnIonised:
    """Return what was carried from total, pH, temperature and salinity as un-ionised ammonia."""
    words = INPUT_WORDS[found.dominated_by or "total"]
    return UnIonised(found.value, found.plus_minus, words, low=found.low, high=found.high)


def _by_name(total: float, ph_nbs: float, temperature_c: float, salinity_psu: float) -> float:
    return un_ionised_ammonia_mg_n_per_l(total, ph_nbs, temperature_c, salinity_psu)


def worst_plausible_un_ionised(
    total: float, *, ph_upper: float, temperature_upper: float, salinity_lower: float
) -> float:
    """Return the highest un-ionised ammonia in mg N/L that still fits, where pH or temperature was not read.

    By this relation the fraction rises with pH and temperature and falls with salinity: the corner of the box is worst.
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
