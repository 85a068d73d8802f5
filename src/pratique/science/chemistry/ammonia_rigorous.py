"""Un-ionised ammonia by the rigorous route, beside the simple one, and the more cautious of the two.

Not here: the pK of each author (`ammonia_constants`) and the simple route (`ammonia`).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal, overload

from pratique.science.chemistry.ammonia import (
    UnIonised,
    un_ionised_ammonia_mg_n_per_l,
    un_ionised_fraction_khoo1977,
    un_ionised_of,
)
from pratique.science.chemistry.ammonia_constants import pk_ammonium_clegg1995
from pratique.science.chemistry.ammonia_species import TotalAsN, UnIonisedAsN
from pratique.science.chemistry.domain import DomainError, Number, as_given, require_at_least, require_within
from pratique.science.chemistry.ph_scales import ph_total_from_nbs
from pratique.science.chemistry.uncertainty import Uncertain, propagate_skewed

type Route = Literal["rigorous", "simple"]

# Where the rigorous fraction is highest at one pH and temperature; at no salt at all it is not known.
_PEAKS_PSU = range(1, 26)


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
    """Return the more cautious of both routes, in mg N/L, with the 95 % interval that its four readings give it.

    `total` is total ammonia in mg N/L. Where one route does not reach the other stands alone: in water with next to no
    salt the simple one, below 5 and above 40 °C the rigorous one. Raises DomainError where neither does.
    """
    inputs = {"total": total, "ph_nbs": ph_nbs, "temperature_c": temperature_c, "salinity_psu": salinity_psu}
    answers, refused = _by_every_route(**{name: one.value for name, one in inputs.items()})
    if not answers:
        raise refused
    return un_ionised_of(propagate_skewed(_ROUTES[max(answers, key=lambda route: answers[route])], inputs))


def cautious_worst_plausible(
    total: float, *, ph_upper: float, temperature_upper: float, salinity_lower: float
) -> float:
    """Return the highest un-ionised ammonia in mg N/L that still fits by either route, where a reading is missing.

    Both fractions rise with pH and temperature. The simple one falls with salinity; the rigorous one has its peak
    between salinity 1 and 25, so every salinity from the lower one to there is looked at. Raises DomainError where
    neither route reaches.
    """
    found: list[float] = []
    for salinity_psu in (salinity_lower, *(float(one) for one in _PEAKS_PSU if one > salinity_lower)):
        answers, refused = _by_every_route(total, ph_upper, salinity_psu=salinity_psu, temperature_c=temperature_upper)
        found += answers.values()
    if not found:
        raise refused
    return max(found)


def _simple(total: float, ph_nbs: float, *, salinity_psu: float, temperature_c: float) -> float:
    return un_ionised_ammonia_mg_n_per_l(total, ph_nbs, temperature_c, salinity_psu)


_ROUTES: Mapping[Route, Callable[..., float]] = {"simple": _simple, "rigorous": un_ionised_rigorous_mg_n_per_l}


def _by_every_route(
    total: float, ph_nbs: float, *, salinity_psu: float, temperature_c: float
) -> tuple[dict[Route, float], DomainError]:
    """Return the answer of each route that reaches this water, and the refusal to raise where there is none."""
    answers: dict[Route, float] = {}
    refused = DomainError("No route was tried.")
    for route, un_ionised in _ROUTES.items():
        try:
            answers[route] = un_ionised(total, ph_nbs, salinity_psu=salinity_psu, temperature_c=temperature_c)
        except DomainError as problem:
            refused = problem
    return answers, refused
