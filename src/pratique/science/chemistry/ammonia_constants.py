"""The pK of ammonium as published by several authors, each on its own pH scale.

Not here: fractions and readings, nor the pK of Khoo et al. 1977, which is in `ammonia`.

A pK means something only beside a pH on the same scale; the name or the docstring says which.
"""

from typing import overload

from pratique.science.chemistry.domain import Number, require_within
from pratique.science.chemistry.elementwise import log10
from pratique.science.chemistry.validity import Validity

_ZERO_C = 273.15
_CLEGG = "Clegg & Whitfield 1995, Eq. 18"
VALIDITY = (
    Validity(name="salinity", lower=0.0, upper=40.0, unit="", source=_CLEGG),
    Validity(name="temperature", lower=-2.0, upper=40.0, unit="°C", source=_CLEGG),
)


@overload
def pk_ammonium_clegg1995(salinity_psu: float, temperature_c: float) -> float: ...
@overload
def pk_ammonium_clegg1995(salinity_psu: Number, temperature_c: Number) -> Number: ...
def pk_ammonium_clegg1995(salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the pK of ammonium on the total pH scale, in mol per kg of seawater.

    Published for salinity 0 to 40 and -2 to 40 °C (see VALIDITY); raises DomainError beyond salinity 0 to 50 or
    -2 to 45 °C. Source: Clegg & Whitfield 1995, Eq. 18, moved from mol per kg of water by Dickson's 1 - 0.001005 S.
    """
    return pk_ammonium_clegg1995_molal(salinity_psu, temperature_c) - log10(1.0 - 0.001005 * salinity_psu)


@overload
def pk_ammonium_clegg1995_molal(salinity_psu: float, temperature_c: float) -> float: ...
@overload
def pk_ammonium_clegg1995_molal(salinity_psu: Number, temperature_c: Number) -> Number: ...
def pk_ammonium_clegg1995_molal(salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the pK of ammonium on the total pH scale, in mol per kg of water.

    Range, errors and source as `pk_ammonium_clegg1995`.
    """
    kelvin = _kelvin(salinity_psu, temperature_c)
    root = kelvin**0.5
    return (
        _clegg_fresh(kelvin)
        + (0.04203362 - 11.24742 / kelvin) * salinity_psu**0.25
        + (-13.6416 + 1.176949 * root - 0.02860785 * kelvin + 545.4834 / kelvin) * salinity_psu**0.5
        + (-0.1462507 + 0.0090226468 * root - 0.0001471361 * kelvin + 10.5425 / kelvin) * salinity_psu**1.5
        + (0.004669309 - 0.0001691742 * root - 0.5677934 / kelvin) * salinity_psu**2
        + (-2.354039e-05 + 0.009698623 / kelvin) * salinity_psu**2.5
    )


def _clegg_fresh(kelvin: Number) -> Number:
    """Return the pK at no salt, shared by both fits of Clegg & Whitfield 1995."""
    return 9.244605 - 2729.33 * (1.0 / 298.15 - 1.0 / kelvin)


def _kelvin(salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the temperature in kelvin; DomainError where no fit for seawater means anything."""
    require_within("Salinity", salinity_psu, lower=0.0, upper=50.0)
    require_within("Temperature", temperature_c, lower=-2.0, upper=45.0, unit="°C")
    return temperature_c + _ZERO_C
