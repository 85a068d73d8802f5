"""What was read of the carbonate system, checked and in the solver's units.

Not here: which two of the readings are known (`carbonate_pairs`).
"""

import numpy as np

from pratique.science.chemistry.carbonate import CarbonateState, Constants, constants, state_at
from pratique.science.chemistry.density import density_kg_per_m3
from pratique.science.chemistry.domain import Number
from pratique.science.chemistry.elementwise import ten_to
from pratique.science.chemistry.equilibria import require_bounds
from pratique.science.chemistry.ph_scales import PH_BOUNDS, PhScale, total_minus

# Where a mixture of seawater and reagents is still seawater, and an answer means something.
ALKALINITY_BOUNDS_UMOL_PER_KG = (10.0, 20_000.0)
DIC_BOUNDS_UMOL_PER_KG = (1.0, 20_000.0)
PCO2_BOUNDS_UATM = (0.1, 100_000.0)
CALCIUM_BOUNDS_MG_PER_L = (0.0, 5_000.0)
CALCIUM_G_PER_MOL = 40.078


def constants_of(salinity_psu: Number, temperature_c: Number) -> Constants:
    """Return the constants of this water; DomainError outside salinity 1 to 50 and 0 to 45 °C."""
    return constants(_plain(salinity_psu), _plain(temperature_c))


def state_of(
    hydrogen: Number, carbon: Number, at: Constants, temperature_c: Number, calcium_mg_per_l: Number | None
) -> CarbonateState[Number]:
    """Return the whole state, with the calcium in mg/L where it was read.

    Raises DomainError for calcium beyond 5 g/L, and where the readings make more carbon or pCO2 than any water has.
    """
    calcium = None
    if calcium_mg_per_l is not None:
        require_bounds("Calcium", calcium_mg_per_l, CALCIUM_BOUNDS_MG_PER_L, "mg/L")
        density = density_kg_per_m3(at.water.salinity, temperature_c)
        calcium = _plain(calcium_mg_per_l) / (CALCIUM_G_PER_MOL * density)
    state = state_at(hydrogen, carbon, at, temperature_c=_plain(temperature_c), calcium=calcium)
    made = (0.0, DIC_BOUNDS_UMOL_PER_KG[1])
    require_bounds("The inorganic carbon these two make", state.dic_umol_per_kg, made, "µmol/kg")
    require_bounds("The pCO2 these two make", state.pco2_uatm, (0.0, PCO2_BOUNDS_UATM[1]), "µatm")
    return state


def _plain(value: Number) -> Number:
    """Return an array of floats, or a plain float for which arithmetic is fastest."""
    return value.astype(np.float64, copy=False) if isinstance(value, np.ndarray) else float(value)


def mol_per_kg(umol_per_kg: Number, name: str, bounds: tuple[float, float]) -> Number:
    """Return a concentration read in µmol/kg in mol/kg; DomainError outside the bounds."""
    require_bounds(name, umol_per_kg, bounds, "µmol/kg")
    return _plain(umol_per_kg) * 1e-6


def hydrogen_from_ph(ph: Number, scale: PhScale, at: Constants) -> Number:
    """Return hydrogen ions in mol/kg on the total scale; DomainError outside pH 3 to 12."""
    require_bounds("pH", ph, PH_BOUNDS)
    offset = at.total_minus_nbs if scale == "nbs" else total_minus(scale, at.water)
    return ten_to(-(_plain(ph) + offset))


def co2_from_pco2(pco2_uatm: Number, at: Constants) -> Number:
    """Return dissolved carbon dioxide in mol/kg under this pCO2; DomainError outside 0.1 to 100,000 µatm."""
    require_bounds("pCO2", pco2_uatm, PCO2_BOUNDS_UATM, "µatm")
    return _plain(pco2_uatm) * at.co2_per_uatm


def shape_of(*values: Number) -> tuple[int, ...] | None:
    """Return the shape these make together, or None where all are single numbers."""
    shapes = [value.shape for value in values if isinstance(value, np.ndarray)]
    return np.broadcast_shapes(*shapes) if shapes else None
