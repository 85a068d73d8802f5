"""The salinity of the water that a glass hydrometer floats in, from what it shows.

Not here: swing-arm devices of plastic. Their expansion is not known; they are read as they are, with a wide error.
"""

from typing import overload

from pratique.knowledge import figure
from pratique.science.chemistry.density import density_kg_per_m3, salinity_from_density
from pratique.science.chemistry.domain import Number, require_within
from pratique.science.chemistry.specific_gravity import require_specific_gravity

# Cubic expansion of soda-lime glass.
GLASS_EXPANSION = "hydrometer.glass_expansion_per_k"


@overload
def salinity_from_hydrometer(
    reading: float,
    *,
    calibrated_at_c: float,
    reference_c: float,
    sample_c: float,
    glass_expansion_per_k: float | None = None,
) -> float: ...
@overload
def salinity_from_hydrometer(
    reading: Number,
    *,
    calibrated_at_c: Number,
    reference_c: Number,
    sample_c: Number,
    glass_expansion_per_k: Number | None = None,
) -> Number: ...
def salinity_from_hydrometer(
    reading: Number,
    *,
    calibrated_at_c: Number,
    reference_c: Number,
    sample_c: Number,
    glass_expansion_per_k: Number | None = None,
) -> Number:
    """Return the practical salinity (PSU) of water that a glass hydrometer floats in.

    Parameters
    ----------
    reading : the specific gravity on the stem; 0.98 to 1.06.
    calibrated_at_c, reference_c : °C; the pair on the stem, sample and pure water. `60F/60F` is 15.556 and 15.556.
    sample_c : °C of the water now; -2 to 45.
    glass_expansion_per_k : cubic expansion of the glass per kelvin; 0 to 2e-4. Left out: the figure of that name.

    Raises
    ------
    DomainError   outside these ranges, if the water is lighter than fresh water, or if its salinity would be above 70.

    Notes
    -----
    Warm glass is larger and floats higher: the density is the reading times that of the reference water, less the
    share by which the glass has grown since its calibration.

    Source
    ------
    The law of floating bodies, with TEOS-10 for the densities.
    """
    require_specific_gravity(reading)
    marked_kg_per_m3 = reading * density_kg_per_m3(0.0, reference_c)
    expansion = figure(GLASS_EXPANSION).value if glass_expansion_per_k is None else glass_expansion_per_k
    swelling = _swelling(sample_c, calibrated_at_c, expansion)
    return salinity_from_density(marked_kg_per_m3 / swelling, sample_c)


@overload
def _swelling(sample_c: float, calibrated_at_c: float, expansion_per_k: float) -> float: ...
@overload
def _swelling(sample_c: Number, calibrated_at_c: Number, expansion_per_k: Number) -> Number: ...
def _swelling(sample_c: Number, calibrated_at_c: Number, expansion_per_k: Number) -> Number:
    """Return the glass's volume over its volume at calibration."""
    require_within("The glass's expansion", expansion_per_k, lower=0.0, upper=2e-4, unit="per K")
    require_within("The calibration temperature", calibrated_at_c, lower=-2.0, upper=45.0, unit="°C")
    return 1.0 + expansion_per_k * (sample_c - calibrated_at_c)
