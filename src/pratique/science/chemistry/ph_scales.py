"""One pH on four scales: as a hobby meter reads it (NBS), total, free, and seawater.

A meter set in the usual buffers of pH 4, 7 and 10 reads about NBS, plus 0.02 to 0.05 of its own in seawater (common
practice, no source). Not here: the constants (`equilibria`).
"""

from typing import Literal, overload

from pratique.science.chemistry.domain import DomainError, Number
from pratique.science.chemistry.elementwise import log10
from pratique.science.chemistry.equilibria import (
    Water,
    kf_free_dickson1979,
    ks_free_dickson1990,
    require_bounds,
    total_fluoride_riley1965,
    total_sulphate_morris1966,
    water,
)
from pratique.science.chemistry.validity import Validity

type PhScale = Literal["nbs", "total", "free", "sws"]

PH_BOUNDS = (3.0, 12.0)
VALIDITY = (
    Validity("Salinity", 20.0, 40.0, "", "activity of hydrogen ions on the NBS scale: Takahashi 1982, span recalled"),
)


def fh_takahashi1982(at: Water) -> Number:
    """Return the NBS hydrogen ion activity over the seawater-scale concentration, in kg/mol.

    Source: Takahashi et al. 1982, GEOSECS Pacific Expedition, ch. 3 (recalled; agrees with PyCO2SYS). Good to about
    0.02 in pH (from memory), which no arithmetic takes away again.
    """
    squared = at.salinity * at.salinity
    return 1.2948 - 0.002036 * at.kelvin + (0.0004607 - 1.475e-6 * at.kelvin) * squared


def total_over_free(at: Water) -> Number:
    """Return hydrogen ions on the total scale over the free ones: 1 + sulphate / its constant (Dickson 1990)."""
    return 1.0 + total_sulphate_morris1966(at) / ks_free_dickson1990(at)


def sws_over_free(at: Water, total_by_free: Number) -> Number:
    """Return hydrogen ions on the seawater scale over the free ones: the total ones and those held by fluoride.

    The constant of Dickson & Riley 1979 is used, for it was found on the free scale and needs no conversion.
    """
    return total_by_free + total_fluoride_riley1965(at) / kf_free_dickson1979(at)


def total_minus(scale: PhScale, at: Water) -> Number:
    """Return what to add to a pH on this scale to have it on the total scale; depends on the water alone."""
    if scale == "total":
        return 0.0 * at.salinity
    by_free = total_over_free(at)
    if scale == "free":
        return -log10(by_free)
    seawater = log10(sws_over_free(at, by_free) / by_free)
    if scale == "sws":
        return seawater
    if scale == "nbs":
        return seawater + log10(fh_takahashi1982(at))
    raise DomainError(f"“{scale}” is not a pH scale known here; such are nbs, total, free and sws.")


@overload
def ph_on_scale(ph: float, given: PhScale, wanted: PhScale, *, salinity_psu: float, temperature_c: float) -> float: ...
@overload
def ph_on_scale(
    ph: Number, given: PhScale, wanted: PhScale, *, salinity_psu: Number, temperature_c: Number
) -> Number: ...
def ph_on_scale(ph: Number, given: PhScale, wanted: PhScale, *, salinity_psu: Number, temperature_c: Number) -> Number:
    """Return a pH of 3 to 12 given on one scale on another, at practical salinity 1 to 50 and 0 to 45 °C.

    Raises DomainError outside those bounds.

    Source: the definitions in Dickson, Sabine & Christian 2007, ch. 2; fH of Takahashi et al. 1982 for NBS.
    Check: rows SCALE-*.
    """
    require_bounds("pH", ph, PH_BOUNDS)
    at = water(salinity_psu, temperature_c)
    to_total = total_minus(given, at)
    if given == wanted:
        return ph
    return ph + to_total - total_minus(wanted, at)


@overload
def ph_total_from_nbs(ph_nbs: float, salinity_psu: float, temperature_c: float) -> float: ...
@overload
def ph_total_from_nbs(ph_nbs: Number, salinity_psu: Number, temperature_c: Number) -> Number: ...
def ph_total_from_nbs(ph_nbs: Number, salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the pH on the total scale of a reading by a meter set in NBS buffers; see `ph_on_scale`."""
    return ph_on_scale(ph_nbs, "nbs", "total", salinity_psu=salinity_psu, temperature_c=temperature_c)


@overload
def ph_nbs_from_total(ph_total: float, salinity_psu: float, temperature_c: float) -> float: ...
@overload
def ph_nbs_from_total(ph_total: Number, salinity_psu: Number, temperature_c: Number) -> Number: ...
def ph_nbs_from_total(ph_total: Number, salinity_psu: Number, temperature_c: Number) -> Number:
    """Return what a meter set in NBS buffers reads in water of this pH on the total scale; see `ph_on_scale`."""
    return ph_on_scale(ph_total, "total", "nbs", salinity_psu=salinity_psu, temperature_c=temperature_c)
