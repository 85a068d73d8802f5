"""How much of an alkalinity belongs to phosphate and silicate, which the carbonate system leaves out.

At a reef's levels a µmol/kg or less; at 10 mg/L PO4 some 120. Take it from the alkalinity before solving.
"""

from typing import overload

from pratique.science.chemistry.domain import Number
from pratique.science.chemistry.elementwise import exp, ten_to
from pratique.science.chemistry.equilibria import Water, require_bounds, water
from pratique.science.chemistry.ph_scales import PH_BOUNDS
from pratique.science.chemistry.validity import Validity

# IUPAC 2021, abridged.
PO4_G_PER_MOL = 30.974 + 4 * 15.999

# Spans recalled.
VALIDITY = (
    Validity("Salinity", 0.0, 45.0, "PSU", "phosphoric and silicic acid: Millero 1995"),
    Validity("Temperature", 0.0, 45.0, "°C", "phosphoric and silicic acid: Millero 1995"),
)


def kp1_millero1995(at: Water) -> Number:
    """Return the first constant of phosphoric acid (Millero 1995 as in Dickson, Sabine & Christian 2007, ch. 5)."""
    fresh = -4576.752 * at.per_kelvin + 115.525 - 18.453 * at.log_kelvin
    by_root = -106.736 * at.per_kelvin + 0.69171
    return exp(fresh + by_root * at.root_salinity + (-0.65643 * at.per_kelvin - 0.01844) * at.salinity)


def kp2_millero1995(at: Water) -> Number:
    """Return the second constant of phosphoric acid (Millero 1995 as in Dickson, Sabine & Christian 2007, ch. 5)."""
    fresh = -8814.715 * at.per_kelvin + 172.0883 - 27.927 * at.log_kelvin
    by_root = -160.340 * at.per_kelvin + 1.3566
    return exp(fresh + by_root * at.root_salinity + (0.37335 * at.per_kelvin - 0.05778) * at.salinity)


def kp3_millero1995(at: Water) -> Number:
    """Return the third constant of phosphoric acid (Millero 1995 as in Dickson, Sabine & Christian 2007, ch. 5)."""
    by_root = 17.27039 * at.per_kelvin + 2.81197
    by_salinity = -44.99486 * at.per_kelvin - 0.09984
    return exp(-3070.75 * at.per_kelvin - 18.141 + by_root * at.root_salinity + by_salinity * at.salinity)


def ksi_millero1995(at: Water) -> Number:
    """Return the constant of silicic acid (Millero 1995 as in Dickson, Sabine & Christian 2007, ch. 5)."""
    ionic = at.ionic_strength
    fresh = -8904.2 * at.per_kelvin + 117.385 - 19.334 * at.log_kelvin
    by_root = -458.79 * at.per_kelvin + 3.5913
    by_ionic = 188.74 * at.per_kelvin - 1.5998 + (-12.1652 * at.per_kelvin + 0.07871) * ionic
    return exp(fresh + by_root * at.root_ionic_strength + by_ionic * ionic) * at.to_solution


def phosphate_umol_per_kg(phosphate_mg_per_l: float, density_kg_per_m3: float) -> float:
    """Return phosphate of mg/L (as PO4) in µmol/kg of water of this density; DomainError outside 0 to 1,000."""
    require_bounds("Phosphate", phosphate_mg_per_l, (0.0, 1000.0), "mg/L")
    return phosphate_mg_per_l * 1e6 / (PO4_G_PER_MOL * density_kg_per_m3)


@overload
def nutrient_alkalinity_umol_per_kg(
    ph_total: float,
    *,
    phosphate_umol_per_kg: float,
    silicate_umol_per_kg: float,
    salinity_psu: float,
    temperature_c: float,
) -> float: ...
@overload
def nutrient_alkalinity_umol_per_kg(
    ph_total: Number,
    *,
    phosphate_umol_per_kg: Number,
    silicate_umol_per_kg: Number,
    salinity_psu: Number,
    temperature_c: Number,
) -> Number: ...
def nutrient_alkalinity_umol_per_kg(
    ph_total: Number,
    *,
    phosphate_umol_per_kg: Number,
    silicate_umol_per_kg: Number,
    salinity_psu: Number,
    temperature_c: Number,
) -> Number:
    """Return the alkalinity in µmol/kg that phosphate and silicate bring at this pH (total scale, 3 to 12).

    Raises DomainError outside that pH, practical salinity 1 to 50, 0 to 45 °C and 0 to 10,000 µmol/kg of either.

    Source: the definition of alkalinity, Dickson 1981, with the constants above.
    """
    require_bounds("pH", ph_total, PH_BOUNDS)
    for name, amount in (("Phosphate", phosphate_umol_per_kg), ("Silicate", silicate_umol_per_kg)):
        require_bounds(name, amount, (0.0, 10_000.0), "µmol/kg")
    at = water(salinity_psu, temperature_c)
    hydrogen = ten_to(-1.0 * ph_total)
    one = hydrogen * hydrogen * kp1_millero1995(at)
    two = one * kp2_millero1995(at) / hydrogen
    three = two * kp3_millero1995(at) / hydrogen
    none = hydrogen * hydrogen * hydrogen
    of_phosphate = (two + 2.0 * three - none) / (none + one + two + three)
    ksi = ksi_millero1995(at)
    return phosphate_umol_per_kg * of_phosphate + silicate_umol_per_kg * ksi / (ksi + hydrogen)
