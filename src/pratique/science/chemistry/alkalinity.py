"""Alkalinity in the units keepers and seawater tables use, and µmol/kg, which the carbonate system is solved in.

1 meq/L is 2.8 dKH and 50 mg/L CaCO3 by convention, as everywhere here; the exact figures stand beside them. Not here:
what the alkalinity is made of (`carbonate`).
"""

from typing import Literal, overload

from pratique.science.chemistry.domain import DomainError, Number, require_within

type AlkalinityUnit = Literal["meq/L", "dKH", "mg/L CaCO3", "µmol/kg"]

DKH_PER_MEQ = 2.8
CACO3_MG_PER_MEQ = 50.0
# 1 dKH is 10 mg/L CaO by definition; molar masses IUPAC 2021, abridged. Two equivalents a mole.
CAO_G_PER_MOL = 40.078 + 15.999
CACO3_G_PER_MOL = 40.078 + 12.011 + 3 * 15.999
DKH_PER_MEQ_EXACT = CAO_G_PER_MOL / 20.0
CACO3_MG_PER_MEQ_EXACT = CACO3_G_PER_MOL / 2.0
CACO3_MG_PER_DKH_EXACT = 10.0 * CACO3_G_PER_MOL / CAO_G_PER_MOL

_PER_MEQ: dict[str, float] = {"meq/L": 1.0, "dKH": DKH_PER_MEQ, "mg/L CaCO3": CACO3_MG_PER_MEQ}


@overload
def alkalinity_as(
    alkalinity: float, given: AlkalinityUnit, wanted: AlkalinityUnit, *, density_kg_per_m3: float | None = None
) -> float: ...
@overload
def alkalinity_as(
    alkalinity: Number, given: AlkalinityUnit, wanted: AlkalinityUnit, *, density_kg_per_m3: Number | None = None
) -> Number: ...
def alkalinity_as(
    alkalinity: Number, given: AlkalinityUnit, wanted: AlkalinityUnit, *, density_kg_per_m3: Number | None = None
) -> Number:
    """Return an alkalinity, or a change of it, in another unit; by the conventions above.

    The density in kg/m³ is needed to or from µmol/kg. Raises DomainError for an unknown unit, and for a density that
    is missing or not water's (900 to 1,200 kg/m³).

    Source: definitions, molar masses IUPAC 2021. Check: rows ALK-*.
    """
    return alkalinity * _meq_in_one(given, density_kg_per_m3) / _meq_in_one(wanted, density_kg_per_m3)


def _meq_in_one(unit: str, density_kg_per_m3: Number | None) -> Number:
    """Return how many meq/L one of this unit is."""
    if unit in _PER_MEQ:
        return 1.0 / _PER_MEQ[unit]
    if unit != "µmol/kg":
        raise DomainError(f"“{unit}” is not an alkalinity unit known here; such are {', '.join(_PER_MEQ)} and µmol/kg.")
    if density_kg_per_m3 is None:
        raise DomainError("Between litres and kilograms the density of the water is needed: its salinity and warmth.")
    require_within("Density", density_kg_per_m3, lower=900.0, upper=1200.0, unit="kg/m³")
    return density_kg_per_m3 * 1e-6


@overload
def umol_per_kg_from_meq_per_l(meq_per_l: float, density_kg_per_m3: float) -> float: ...
@overload
def umol_per_kg_from_meq_per_l(meq_per_l: Number, density_kg_per_m3: Number) -> Number: ...
def umol_per_kg_from_meq_per_l(meq_per_l: Number, density_kg_per_m3: Number) -> Number:
    """Return an alkalinity in meq/L in µmol/kg, in water of this density (900 to 1,200 kg/m³; DomainError outside)."""
    return alkalinity_as(meq_per_l, "meq/L", "µmol/kg", density_kg_per_m3=density_kg_per_m3)


@overload
def meq_per_l_from_umol_per_kg(umol_per_kg: float, density_kg_per_m3: float) -> float: ...
@overload
def meq_per_l_from_umol_per_kg(umol_per_kg: Number, density_kg_per_m3: Number) -> Number: ...
def meq_per_l_from_umol_per_kg(umol_per_kg: Number, density_kg_per_m3: Number) -> Number:
    """Return an alkalinity in µmol/kg in meq/L, in water of this density (900 to 1,200 kg/m³; DomainError outside)."""
    return alkalinity_as(umol_per_kg, "µmol/kg", "meq/L", density_kg_per_m3=density_kg_per_m3)
