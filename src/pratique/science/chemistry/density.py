"""Density of seawater at the surface, and salinity back from it.

Not here: specific gravity, which is this density over that of pure water.
"""

from typing import overload

import numpy as np

from pratique.science.chemistry.domain import DomainError, Number, as_given, require_within
from pratique.science.chemistry.salinity import (
    practical_salinity_from_reference,
    reference_salinity_g_per_kg,
    require_temperature,
)
from pratique.science.chemistry.validity import Validity

_TEOS10 = "TEOS-10, IAPWS 2008 formulation, oceanographic range (recalled)"
VALIDITY = (Validity("salinity", 0.0, 42.0, "PSU", _TEOS10), Validity("temperature", -6.0, 40.0, "°C", _TEOS10))

# Near enough everywhere to start from; the true slope is 0.745 to 0.762 kg/m³ per g/kg.
_STARTING_SLOPE = 0.75
# The float rounding of a density that was itself computed, as fresh water from a ratio; no instrument sees it.
_ROUNDING_KG_PER_M3 = 1e-9


@overload
def density_kg_per_m3(salinity_psu: float, temperature_c: float) -> float: ...
@overload
def density_kg_per_m3(salinity_psu: Number, temperature_c: Number) -> Number: ...
def density_kg_per_m3(salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the density (kg/m³) of seawater at the surface.

    Parameters
    ----------
    salinity_psu : practical salinity; 0 to 70. Published for 0 to 42.
    temperature_c : °C; -2 to 45. Published to 40.

    Raises
    ------
    DomainError   outside these ranges.

    Notes
    -----
    Taken at the reference composition, not at a place in the ocean: the water is made from salt.

    Source
    ------
    TEOS-10 (IOC, SCOR & IAPSO 2010), the exact form from the Gibbs function, by gsw.rho_t_exact.
    """
    import gsw  # noqa: PLC0415 - a tenth of a second that only who converts pays

    require_temperature(temperature_c)
    return as_given(gsw.rho_t_exact(reference_salinity_g_per_kg(salinity_psu), temperature_c, 0.0))


@overload
def salinity_from_density(density_kg_per_m3: float, temperature_c: float) -> float: ...
@overload
def salinity_from_density(density_kg_per_m3: Number, temperature_c: Number) -> Number: ...
def salinity_from_density(density_kg_per_m3: Number, temperature_c: Number) -> Number:
    """Return the practical salinity (PSU) of seawater of this density at the surface.

    Parameters
    ----------
    density_kg_per_m3 : kg/m³, of the water at its own temperature.
    temperature_c : °C; -2 to 45. Published to 40.

    Raises
    ------
    DomainError   outside this range or outside 900 to 1,090 kg/m³, if the water is lighter than fresh water, or if its
        salinity would be above 70.

    Notes
    -----
    The exact form has no closed inverse; three corrections along one slope leave less than 2e-9.

    Source
    ------
    TEOS-10 (IOC, SCOR & IAPSO 2010), the exact form, inverted here.
    """
    import gsw  # noqa: PLC0415 - as above

    require_temperature(temperature_c)
    require_within("Density", density_kg_per_m3, lower=900.0, upper=1090.0, unit="kg/m³")
    excess = density_kg_per_m3 - gsw.rho_t_exact(0.0, temperature_c, 0.0)
    _require_no_lighter_than_fresh(density_kg_per_m3, temperature_c, excess)
    reference = np.where(excess < _ROUNDING_KG_PER_M3, 0.0, excess) / _STARTING_SLOPE
    density = gsw.rho_t_exact(reference, temperature_c, 0.0)
    slope = gsw.rho_t_exact(reference + 1.0, temperature_c, 0.0) - density
    reference = reference + (density_kg_per_m3 - density) / slope
    for _ in range(2):
        reference = reference + (density_kg_per_m3 - gsw.rho_t_exact(reference, temperature_c, 0.0)) / slope
    return as_given(practical_salinity_from_reference(reference))


@overload
def grams_per_litre(salinity_psu: float, temperature_c: float) -> float: ...
@overload
def grams_per_litre(salinity_psu: Number, temperature_c: Number) -> Number: ...
def grams_per_litre(salinity_psu: Number, temperature_c: Number) -> Number:
    """Return grams of sea salt in a litre of seawater: reference salinity times density.

    Raises DomainError as `density_kg_per_m3` does. Source: Millero et al. 2008 and TEOS-10.
    """
    return reference_salinity_g_per_kg(salinity_psu) * density_kg_per_m3(salinity_psu, temperature_c) / 1000.0


def _require_no_lighter_than_fresh(density: Number, temperature_c: Number, excess: Number) -> None:
    """Raise DomainError where the water would need less than no salt."""
    if not np.all(np.asarray(excess) >= -_ROUNDING_KG_PER_M3):
        raise DomainError(
            f"Water of {density}\u202fkg/m³ at {temperature_c}\u202f°C would be lighter than fresh water."
        )
