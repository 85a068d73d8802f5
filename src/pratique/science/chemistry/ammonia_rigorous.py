"""Un-ionised ammonia by the rigorous route, beside the simple one, and the more cautious of the two.

Not here: the pK of each author (`ammonia_constants`) and the simple route (`ammonia`).
"""

from dataclasses import dataclass
from typing import Literal, overload

from pratique.science.chemistry.ammonia import (
    UnIonised,
    un_ionised_fraction_khoo1977,
    un_ionised_with_error,
    worst_plausible_un_ionised,
)
from pratique.science.chemistry.ammonia_constants import pk_ammonium_clegg1995
from pratique.science.chemistry.ammonia_species import TotalAsN, UnIonisedAsN
from pratique.science.chemistry.domain import DomainError, Number, as_given, require_at_least, require_within
from pratique.science.chemistry.ph_scales import ph_total_from_nbs
from pratique.science.chemistry.uncertainty import NORMAL_95, Uncertain, propagate

type Route = Literal["rigorous", "simple"]

# The simple route's words for its inputs, by the names they have here.
_NAMES = {"total": "total ammonia", "ph_nbs": "pH", "temperature_c": "temperature", "salinity_psu": "salinity"}


@dataclass(frozen=True)
class BothRoutes:
    """Un-ionised ammonia by both routes.

    `spread` is how far the higher lies above the lower, as a part of the lower (0.07 is 7 %); `cautious` is the higher
    and `cautious_route` says which it is. Any two valid methods are expected to agree within 15 %.
    """

    rigorous: UnIonisedAsN
    simple: UnIonisedAsN
    spread: float
    cautious: UnIonisedAsN
    cautious_route: Route


@overload
def un_ionised_fraction_clegg1995(ph_nbs: float, *, salinity_psu: float, temperature_c: float) -> float: ...
@overload
def un_ionised_fraction_clegg1995(ph_nbs: Number, *, salinity_psu: Number, temperature_c: Number) -> Number: ...
def un_ionised_fraction_clegg1995(ph_nbs: Number, *, salinity_psu: Number, temperature_c: Number) -> Number:
    """Return the fraction (0 to 1) of total ammonia that is un-ionised in seawater, by the rigorous route.

    Parameters
    ----------
    ph_nbs : pH on the NBS scale, as a pocket meter reads it; 5 to 10.
    salinity_psu : practical salinity; published for 0 to 40 (`ammonia_constants.VALIDITY`).
    temperature_c : °C; published for -2 to 40.

    Raises
    ------
    DomainError   if the pH is outside 5 to 10, or the pK or the change of scale refuses the water.

    Notes
    -----
    The pH is moved to the total scale, then met with the total-scale pK in mol per kg of seawater. The change of scale
    is itself good to about 0.02 pH, or 5 % of the fraction (from memory).

    Source
    ------
    Clegg & Whitfield 1995, Eq. 18; Takahashi et al. 1982 for the NBS scale. Check: rows NH3-REF*.
    """
    require_within("pH", ph_nbs, lower=5.0, upper=10.0)
    ph_total = ph_total_from_nbs(ph_nbs, salinity_psu, temperature_c)
    fraction = 1.0 / (1.0 + 10.0 ** (pk_ammonium_clegg1995(salinity_psu, temperature_c) - ph_total))
    return as_given(fraction)


def un_ionised_rigorous_mg_n_per_l(total: float, ph_nbs: float, *, salinity_psu: float, temperature_c: float) -> float:
    """Return un-ionised ammonia in mg N/L from total ammonia in mg N/L, by the rigorous route.

    Raises DomainError as `un_ionised_fraction_clegg1995` does, and for a negative total.
    """
    require_at_least("Total ammonia", total, lower=0.0)
    return total * un_ionised_fraction_clegg1995(ph_nbs, salinity_psu=salinity_psu, temperature_c=temperature_c)


def un_ionised_both(total: TotalAsN, ph_nbs: float, *, salinity_psu: float, temperature_c: float) -> BothRoutes:
    """Return un-ionised ammonia by the rigorous and by the simple route, their spread, and the more cautious.

    Raises DomainError outside the range of either route.
    """
    by_clegg = un_ionised_fraction_clegg1995(ph_nbs, salinity_psu=salinity_psu, temperature_c=temperature_c)
    by_khoo = un_ionised_fraction_khoo1977(ph_nbs, temperature_c, salinity_psu)
    rigorous, simple = total.un_ionised(by_clegg), total.un_ionised(by_khoo)
    return BothRoutes(
        rigorous=rigorous,
        simple=simple,
        spread=max(by_clegg, by_khoo) / min(by_clegg, by_khoo) - 1.0,
        cautious=max(rigorous, simple),
        cautious_route="rigorous" if by_clegg > by_khoo else "simple",
    )


def cautious_un_ionised_with_error(
    total: Uncertain, ph_nbs: Uncertain, *, temperature_c: Uncertain, salinity_psu: Uncertain
) -> UnIonised:
    """Return the more cautious of both routes, in mg N/L, with the 95 % error that its four readings give it.

    `total` is total ammonia in mg N/L. In water with next to no salt only the simple route is known. Raises DomainError
    outside the range of the simple route.
    """
    inputs = {"total": total, "ph_nbs": ph_nbs, "temperature_c": temperature_c, "salinity_psu": salinity_psu}
    pairs = (number for one in inputs.values() for number in (one.value, one.plus_minus / NORMAL_95))
    simple = un_ionised_with_error(*pairs)
    if _rigorous_or_zero(**{name: one.value for name, one in inputs.items()}) <= simple.value:
        return simple
    rigorous = propagate(un_ionised_rigorous_mg_n_per_l, inputs)
    return UnIonised(rigorous.value, rigorous.plus_minus, _NAMES[rigorous.dominated_by or "total"])


def cautious_worst_plausible(
    total: float, *, ph_upper: float, temperature_upper: float, salinity_lower: float
) -> float:
    """Return the highest un-ionised ammonia in mg N/L that still fits by either route, where a reading is missing.

    Both fractions rise with pH and temperature and fall with salinity. Raises DomainError outside the range of the
    simple route.
    """
    simple = worst_plausible_un_ionised(
        total, ph_upper=ph_upper, temperature_upper=temperature_upper, salinity_lower=salinity_lower
    )
    return max(simple, _rigorous_or_zero(total, ph_upper, salinity_psu=salinity_lower, temperature_c=temperature_upper))


def _rigorous_or_zero(total: float, ph_nbs: float, *, salinity_psu: float, temperature_c: float) -> float:
    """Return the rigorous value, or 0 where that route does not reach, so that the simple one stands alone."""
    try:
        return un_ionised_rigorous_mg_n_per_l(total, ph_nbs, salinity_psu=salinity_psu, temperature_c=temperature_c)
    except DomainError:
        return 0.0
