"""The whole carbonate state of seawater from any two of alkalinity, pH, inorganic carbon (DIC) and pCO2.

Each takes practical salinity 1 to 50 and 0 to 45 °C, as single numbers or arrays that fit together, and for Ω the
calcium in mg/L (without it the ocean's for the salinity). A pH is taken as a hobby meter reads it, on the NBS scale,
unless another scale is named. `CarbonateState.extrapolated` names each published range that the water leaves. Every one
raises DomainError where the two make more inorganic carbon than 20,000 µmol/kg or more pCO2 than 100,000 µatm.

Sources: the constants of `equilibria`, the relations in Dickson, Sabine & Christian 2007, ch. 2. Check: rows CO2-*,
REEF-*, EQPH-*; PyCO2SYS within 0.05 % over S 30 to 40, 18 to 32 °C, alkalinity 2,300 to 4,500 and pH 7.6 to 8.6.
"""

from typing import overload

import numpy as np

from pratique.science.chemistry.carbonate import (
    CarbonateState,
    Constants,
    carbon_from_alkalinity,
    carbon_from_co2,
    other_alkalinity,
)
from pratique.science.chemistry.carbonate_inputs import (
    ALKALINITY_BOUNDS_UMOL_PER_KG,
    DIC_BOUNDS_UMOL_PER_KG,
    co2_from_pco2,
    constants_of,
    hydrogen_from_ph,
    mol_per_kg,
    shape_of,
    state_of,
)
from pratique.science.chemistry.carbonate_roots import hydrogen_where_none_is_left
from pratique.science.chemistry.domain import DomainError, Number
from pratique.science.chemistry.elementwise import log10, sqrt
from pratique.science.chemistry.equilibria import require_bounds
from pratique.science.chemistry.ph_scales import PH_BOUNDS, PhScale


@overload
def state_from_alkalinity_ph(
    alkalinity_umol_per_kg: float,
    ph: float,
    *,
    salinity_psu: float,
    temperature_c: float,
    calcium_mg_per_l: float | None = None,
    ph_scale: PhScale = "nbs",
) -> CarbonateState[float]: ...
@overload
def state_from_alkalinity_ph(
    alkalinity_umol_per_kg: Number,
    ph: Number,
    *,
    salinity_psu: Number,
    temperature_c: Number,
    calcium_mg_per_l: Number | None = None,
    ph_scale: PhScale = "nbs",
) -> CarbonateState[Number]: ...
def state_from_alkalinity_ph(
    alkalinity_umol_per_kg: Number,
    ph: Number,
    *,
    salinity_psu: Number,
    temperature_c: Number,
    calcium_mg_per_l: Number | None = None,
    ph_scale: PhScale = "nbs",
) -> CarbonateState[Number]:
    """Return the state at this alkalinity (10 to 20,000 µmol/kg) and pH (3 to 12).

    Raises DomainError outside these bounds, and where boric acid and water alone hold more than the alkalinity.
    """
    alkalinity = mol_per_kg(alkalinity_umol_per_kg, "Alkalinity", ALKALINITY_BOUNDS_UMOL_PER_KG)
    at = constants_of(salinity_psu, temperature_c)
    hydrogen = hydrogen_from_ph(ph, ph_scale, at)
    carbonate_alkalinity = alkalinity - other_alkalinity(hydrogen, at)[0]
    if not np.all(np.asarray(carbonate_alkalinity) > 0.0):
        raise DomainError(
            "At this pH the water and its boric acid alone make more alkalinity than was read, so the alkalinity or "
            "the pH must be wrong."
        )
    carbon = carbon_from_alkalinity(carbonate_alkalinity, hydrogen, at)
    return state_of(hydrogen, carbon, at, temperature_c, calcium_mg_per_l)


@overload
def state_from_alkalinity_dic(
    alkalinity_umol_per_kg: float,
    dic_umol_per_kg: float,
    *,
    salinity_psu: float,
    temperature_c: float,
    calcium_mg_per_l: float | None = None,
) -> CarbonateState[float]: ...
@overload
def state_from_alkalinity_dic(
    alkalinity_umol_per_kg: Number,
    dic_umol_per_kg: Number,
    *,
    salinity_psu: Number,
    temperature_c: Number,
    calcium_mg_per_l: Number | None = None,
) -> CarbonateState[Number]: ...
def state_from_alkalinity_dic(
    alkalinity_umol_per_kg: Number,
    dic_umol_per_kg: Number,
    *,
    salinity_psu: Number,
    temperature_c: Number,
    calcium_mg_per_l: Number | None = None,
) -> CarbonateState[Number]:
    """Return the state at this alkalinity (10 to 20,000 µmol/kg) and inorganic carbon (1 to 20,000 µmol/kg).

    Raises DomainError outside these bounds, and where no pH of 3 to 12 has both.
    """
    alkalinity = mol_per_kg(alkalinity_umol_per_kg, "Alkalinity", ALKALINITY_BOUNDS_UMOL_PER_KG)
    carbon = mol_per_kg(dic_umol_per_kg, "Inorganic carbon", DIC_BOUNDS_UMOL_PER_KG)
    at = constants_of(salinity_psu, temperature_c)
    hydrogen = _hydrogen_at_alkalinity(alkalinity, carbon, at)
    return state_of(hydrogen, carbon, at, temperature_c, calcium_mg_per_l)


@overload
def state_from_alkalinity_pco2(
    alkalinity_umol_per_kg: float,
    pco2_uatm: float,
    *,
    salinity_psu: float,
    temperature_c: float,
    calcium_mg_per_l: float | None = None,
) -> CarbonateState[float]: ...
@overload
def state_from_alkalinity_pco2(
    alkalinity_umol_per_kg: Number,
    pco2_uatm: Number,
    *,
    salinity_psu: Number,
    temperature_c: Number,
    calcium_mg_per_l: Number | None = None,
) -> CarbonateState[Number]: ...
def state_from_alkalinity_pco2(
    alkalinity_umol_per_kg: Number,
    pco2_uatm: Number,
    *,
    salinity_psu: Number,
    temperature_c: Number,
    calcium_mg_per_l: Number | None = None,
) -> CarbonateState[Number]:
    """Return the state at this alkalinity (10 to 20,000 µmol/kg) and pCO2 (0.1 to 100,000 µatm).

    This is also water at rest with air of that pCO2, such as a room's. Raises DomainError outside these bounds, and
    where no pH of 3 to 12 has both.
    """
    alkalinity = mol_per_kg(alkalinity_umol_per_kg, "Alkalinity", ALKALINITY_BOUNDS_UMOL_PER_KG)
    at = constants_of(salinity_psu, temperature_c)
    co2 = co2_from_pco2(pco2_uatm, at)

    def excess(hydrogen: Number) -> tuple[Number, Number]:
        other, other_slope = other_alkalinity(hydrogen, at)
        bicarbonate = co2 * at.k1 / hydrogen
        twice_carbonate = 2.0 * co2 * at.k1_k2 / (hydrogen * hydrogen)
        return bicarbonate + twice_carbonate + other - alkalinity, other_slope - bicarbonate - 2.0 * twice_carbonate

    hydrogen = hydrogen_where_none_is_left(excess, shape=shape_of(alkalinity, co2, at.k1))
    return state_of(hydrogen, carbon_from_co2(co2, hydrogen, at), at, temperature_c, calcium_mg_per_l)


@overload
def state_from_dic_ph(
    dic_umol_per_kg: float,
    ph: float,
    *,
    salinity_psu: float,
    temperature_c: float,
    calcium_mg_per_l: float | None = None,
    ph_scale: PhScale = "nbs",
) -> CarbonateState[float]: ...
@overload
def state_from_dic_ph(
    dic_umol_per_kg: Number,
    ph: Number,
    *,
    salinity_psu: Number,
    temperature_c: Number,
    calcium_mg_per_l: Number | None = None,
    ph_scale: PhScale = "nbs",
) -> CarbonateState[Number]: ...
def state_from_dic_ph(
    dic_umol_per_kg: Number,
    ph: Number,
    *,
    salinity_psu: Number,
    temperature_c: Number,
    calcium_mg_per_l: Number | None = None,
    ph_scale: PhScale = "nbs",
) -> CarbonateState[Number]:
    """Return the state at this inorganic carbon (1 to 20,000 µmol/kg) and pH (3 to 12).

    Raises DomainError outside these bounds.
    """
    carbon = mol_per_kg(dic_umol_per_kg, "Inorganic carbon", DIC_BOUNDS_UMOL_PER_KG)
    at = constants_of(salinity_psu, temperature_c)
    return state_of(hydrogen_from_ph(ph, ph_scale, at), carbon, at, temperature_c, calcium_mg_per_l)


@overload
def state_from_dic_pco2(
    dic_umol_per_kg: float,
    pco2_uatm: float,
    *,
    salinity_psu: float,
    temperature_c: float,
    calcium_mg_per_l: float | None = None,
) -> CarbonateState[float]: ...
@overload
def state_from_dic_pco2(
    dic_umol_per_kg: Number,
    pco2_uatm: Number,
    *,
    salinity_psu: Number,
    temperature_c: Number,
    calcium_mg_per_l: Number | None = None,
) -> CarbonateState[Number]: ...
def state_from_dic_pco2(
    dic_umol_per_kg: Number,
    pco2_uatm: Number,
    *,
    salinity_psu: Number,
    temperature_c: Number,
    calcium_mg_per_l: Number | None = None,
) -> CarbonateState[Number]:
    """Return the state at this inorganic carbon (1 to 20,000 µmol/kg) and pCO2 (0.1 to 100,000 µatm).

    Raises DomainError outside these bounds, and where no pH of 3 to 12 has both.
    """
    carbon = mol_per_kg(dic_umol_per_kg, "Inorganic carbon", DIC_BOUNDS_UMOL_PER_KG)
    at = constants_of(salinity_psu, temperature_c)
    # DIC / CO2 - 1 = K1/h + K1 K2/h², a quadratic in 1/h, solved in the form that loses no digits.
    beyond_co2 = carbon / co2_from_pco2(pco2_uatm, at) - 1.0
    if not np.all(np.asarray(beyond_co2) > 0.0):
        raise DomainError(
            "Water at this pCO2 holds more carbon dioxide than the inorganic carbon there is, so one of the two must "
            "be wrong."
        )
    root = sqrt(at.k1 * at.k1 + 4.0 * at.k1_k2 * beyond_co2)
    hydrogen = (at.k1 + root) / (2.0 * beyond_co2)
    require_bounds("The pH these two make", log10(hydrogen) * -1.0, PH_BOUNDS)
    return state_of(hydrogen, carbon, at, temperature_c, calcium_mg_per_l)


@overload
def state_from_ph_pco2(
    ph: float,
    pco2_uatm: float,
    *,
    salinity_psu: float,
    temperature_c: float,
    calcium_mg_per_l: float | None = None,
    ph_scale: PhScale = "nbs",
) -> CarbonateState[float]: ...
@overload
def state_from_ph_pco2(
    ph: Number,
    pco2_uatm: Number,
    *,
    salinity_psu: Number,
    temperature_c: Number,
    calcium_mg_per_l: Number | None = None,
    ph_scale: PhScale = "nbs",
) -> CarbonateState[Number]: ...
def state_from_ph_pco2(
    ph: Number,
    pco2_uatm: Number,
    *,
    salinity_psu: Number,
    temperature_c: Number,
    calcium_mg_per_l: Number | None = None,
    ph_scale: PhScale = "nbs",
) -> CarbonateState[Number]:
    """Return the state at this pH (3 to 12) and pCO2 (0.1 to 100,000 µatm).

    Raises DomainError outside these bounds, and where the two would need inorganic carbon beyond 20,000 µmol/kg.
    """
    at = constants_of(salinity_psu, temperature_c)
    hydrogen = hydrogen_from_ph(ph, ph_scale, at)
    carbon = carbon_from_co2(co2_from_pco2(pco2_uatm, at), hydrogen, at)
    return state_of(hydrogen, carbon, at, temperature_c, calcium_mg_per_l)


def _hydrogen_at_alkalinity(alkalinity: Number, carbon: Number, at: Constants) -> Number:
    """Return hydrogen ions in mol/kg from alkalinity and inorganic carbon in mol/kg; DomainError where none fit."""

    def excess(hydrogen: Number) -> tuple[Number, Number]:
        other, other_slope = other_alkalinity(hydrogen, at)
        first, square = at.k1 * hydrogen, hydrogen * hydrogen
        whole, twice = square + first + at.k1_k2, first + 2.0 * at.k1_k2
        held = carbon * twice / whole
        slope = carbon * first / whole - held * (2.0 * square + first) / whole
        return held + other - alkalinity, slope + other_slope

    return hydrogen_where_none_is_left(excess, shape=shape_of(alkalinity, carbon, at.k1))
