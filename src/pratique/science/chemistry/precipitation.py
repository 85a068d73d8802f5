"""When calcium carbonate may fall out of the water by itself, how much can be added before, and what is left after.

The figures are for Ω of aragonite in well-mixed water; where a dose goes in, Ω is higher. Not here: the state itself.
"""

from dataclasses import dataclass
from typing import Literal

from pratique.knowledge import figure
from pratique.science.chemistry.carbonate import CarbonateState
from pratique.science.chemistry.carbonate_pairs import state_from_alkalinity_dic
from pratique.science.chemistry.density import density_kg_per_m3
from pratique.science.chemistry.domain import require_within
from pratique.science.chemistry.ph_after_dosing import (
    Reagent,
    calcium_mg_per_l,
    state_after_alkalinity,
    state_after_two_part,
)

type Risk = Literal["stable", "possible", "likely"]

STABLE = "precipitation.omega_aragonite_stable"
RUNAWAY = "precipitation.omega_aragonite_runaway"
# More at once is no keeper's dose.
_MOST_AT_ONCE_MEQ_PER_L = 5.0


@dataclass(frozen=True)
class Precipitation:
    """How near a water is to losing calcium carbonate, with the limit it is judged by and where that comes from."""

    omega_aragonite: float
    risk: Risk
    limit: float
    source: str


def precipitation_risk(state: CarbonateState[float]) -> Precipitation:
    """Return whether aragonite may fall out: stable to Ω 5, possible above, likely and running away above 7.

    Source: Moras et al. 2022 (figures `precipitation.*`).
    """
    stable, runaway = figure(STABLE), figure(RUNAWAY)
    omega = state.omega_aragonite
    if omega > runaway.value:
        return Precipitation(omega, "likely", runaway.value, runaway.source)
    if omega > stable.value:
        return Precipitation(omega, "possible", runaway.value, runaway.source)
    return Precipitation(omega, "stable", stable.value, stable.source)


def most_alkalinity_at_once_meq_per_l(
    state: CarbonateState[float], *, reagent: Reagent, with_calcium: bool = False
) -> float | None:
    """Return how much alkalinity may go in at once before aragonite is likely to fall out; None where 5 meq/L may.

    In meq per litre of the whole tank, mixed, before the air has answered; 0 where Ω is above the limit already.
    `with_calcium` adds the calcium that matches it. Raises DomainError as `state_after_alkalinity`.
    """
    limit = figure(RUNAWAY).value

    def omega_after(added: float) -> float:
        change = state_after_two_part if with_calcium else state_after_alkalinity
        return change(state, added_meq_per_l=added, reagent=reagent).omega_aragonite

    if state.omega_aragonite >= limit:
        return 0.0
    if omega_after(_MOST_AT_ONCE_MEQ_PER_L) <= limit:
        return None
    low, high = 0.0, _MOST_AT_ONCE_MEQ_PER_L
    while high - low > 1e-6:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if omega_after(middle) <= limit else (low, middle)
    return low


def state_after_precipitation(state: CarbonateState[float], *, lost_mmol_per_l: float) -> CarbonateState[float]:
    """Return the water after so many mmol of calcium carbonate per litre fell out: two of alkalinity, one of carbon.

    Raises DomainError for a loss below 0, or beyond the calcium, carbon or alkalinity there is.
    """
    density = density_kg_per_m3(state.salinity_psu, state.temperature_c)
    lost = lost_mmol_per_l * 1e6 / density
    most = min(state.calcium_umol_per_kg, state.dic_umol_per_kg, 0.5 * state.alkalinity_umol_per_kg)
    require_within("The calcium carbonate lost", lost_mmol_per_l, lower=0.0, upper=most * density * 1e-6, unit="mmol/L")
    return state_from_alkalinity_dic(
        state.alkalinity_umol_per_kg - 2.0 * lost,
        state.dic_umol_per_kg - lost,
        salinity_psu=state.salinity_psu,
        temperature_c=state.temperature_c,
        calcium_mg_per_l=calcium_mg_per_l(state) * (1.0 - lost / state.calcium_umol_per_kg),
    )
