"""When calcium carbonate may fall out of the water by itself, and how much can be added before.

The figures are for Ω of aragonite in well-mixed water; where a dose goes in, Ω is higher. Not here: the state itself.
"""

from dataclasses import dataclass
from typing import Literal

from pratique.knowledge import figure
from pratique.science.chemistry.carbonate import CarbonateState
from pratique.science.chemistry.ph_after_dosing import (
    Reagent,
    state_after_alkalinity,
    state_after_two_part,
)

type Risk = Literal["stable", "possible", "likely"]

STABLE = "precipitation.omega_aragonite_stable"
RUNAWAY = "precipitation.omega_aragonite_runaway"
MOST_AT_ONCE = "alkalinity.most_at_once_meq_per_l"


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
    """Return how much alkalinity may go in at once before aragonite is likely to fall out; None for no limit.

    In meq per litre of the whole tank, mixed, before the air has answered; 0 where Ω is above the limit already;
    None where all that the figure `alkalinity.most_at_once_meq_per_l` names may.
    `with_calcium` adds the calcium that matches it. Raises DomainError as `state_after_alkalinity`.
    """
    limit = figure(RUNAWAY).value

    def omega_after(added: float) -> float:
        change = state_after_two_part if with_calcium else state_after_alkalinity
        return change(state, added_meq_per_l=added, reagent=reagent).omega_aragonite

    if state.omega_aragonite >= limit:
        return 0.0
    low, high = 0.0, figure(MOST_AT_ONCE).value
    if omega_after(high) <= limit:
        return None
    while high - low > 1e-6:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if omega_after(middle) <= limit else (low, middle)
    return low
