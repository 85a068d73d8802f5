"""What adding alkalinity does to pH and Ω: at once in the well-mixed water, and after the air has had its way.

Where the dose goes in, pH and Ω are higher still until it is mixed. Not here: how much of a salt makes a meq
(`reagents`), and when calcium carbonate falls out (`precipitation`).
"""

from typing import Literal, overload

from pratique.science.chemistry.alkalinity import umol_per_kg_from_meq_per_l
from pratique.science.chemistry.carbonate import CarbonateState
from pratique.science.chemistry.carbonate_inputs import CALCIUM_G_PER_MOL
from pratique.science.chemistry.carbonate_pairs import state_from_alkalinity_dic, state_from_alkalinity_pco2
from pratique.science.chemistry.density import density_kg_per_m3
from pratique.science.chemistry.domain import DomainError, Number, require_above_zero, require_within
from pratique.science.chemistry.ions import CALCIUM_MG_PER_MEQ

type Reagent = Literal["bicarbonate", "carbonate", "hydroxide"]

# Moles of inorganic carbon that come with each equivalent of alkalinity.
CARBON_PER_ALKALINITY: dict[Reagent, float] = {"bicarbonate": 1.0, "carbonate": 0.5, "hydroxide": 0.0}


@overload
def calcium_mg_per_l(state: CarbonateState[float]) -> float: ...
@overload
def calcium_mg_per_l(state: CarbonateState[Number]) -> Number: ...
def calcium_mg_per_l(state: CarbonateState[Number]) -> Number:
    """Return the calcium of a water in mg/L, by its density."""
    density = density_kg_per_m3(state.salinity_psu, state.temperature_c)
    return state.calcium_umol_per_kg * (1e-6 * CALCIUM_G_PER_MOL) * density


@overload
def state_after_alkalinity(
    state: CarbonateState[float], *, added_meq_per_l: float, reagent: Reagent, added_calcium_mg_per_l: float = 0.0
) -> CarbonateState[float]: ...
@overload
def state_after_alkalinity(
    state: CarbonateState[Number], *, added_meq_per_l: Number, reagent: Reagent, added_calcium_mg_per_l: Number = 0.0
) -> CarbonateState[Number]: ...
def state_after_alkalinity(
    state: CarbonateState[Number], *, added_meq_per_l: Number, reagent: Reagent, added_calcium_mg_per_l: Number = 0.0
) -> CarbonateState[Number]:
    """Return the water just after alkalinity was added and mixed in, before any carbon dioxide comes or goes.

    `added_meq_per_l` is per litre of the whole tank, 0 to 20; calcium that comes with it in mg/L likewise, 0 to 1,000.
    Raises DomainError outside these, for an unknown reagent, and where the water ends beyond what can be solved.

    Source: conservation of alkalinity and carbon. Check: rows DOSEPH-*.
    """
    if reagent not in CARBON_PER_ALKALINITY:
        raise DomainError(f"“{reagent}” is not known here; alkalinity comes as {', '.join(CARBON_PER_ALKALINITY)}.")
    require_within("The added alkalinity", added_meq_per_l, lower=0.0, upper=20.0, unit="meq/L")
    require_within("The added calcium", added_calcium_mg_per_l, lower=0.0, upper=1000.0, unit="mg/L")
    density = density_kg_per_m3(state.salinity_psu, state.temperature_c)
    added = umol_per_kg_from_meq_per_l(added_meq_per_l, density)
    return state_from_alkalinity_dic(
        state.alkalinity_umol_per_kg + added,
        state.dic_umol_per_kg + CARBON_PER_ALKALINITY[reagent] * added,
        salinity_psu=state.salinity_psu,
        temperature_c=state.temperature_c,
        calcium_mg_per_l=calcium_mg_per_l(state) + added_calcium_mg_per_l,
    )


@overload
def state_after_two_part(
    state: CarbonateState[float], *, added_meq_per_l: float, reagent: Reagent
) -> CarbonateState[float]: ...
@overload
def state_after_two_part(
    state: CarbonateState[Number], *, added_meq_per_l: Number, reagent: Reagent
) -> CarbonateState[Number]: ...
def state_after_two_part(
    state: CarbonateState[Number], *, added_meq_per_l: Number, reagent: Reagent
) -> CarbonateState[Number]:
    """Return the water just after alkalinity and the calcium that matches it, 20.039 mg to the meq, were mixed in.

    Both parts at once: in practice one follows the other. Bounds and errors as `state_after_alkalinity`.
    """
    return state_after_alkalinity(
        state,
        added_meq_per_l=added_meq_per_l,
        reagent=reagent,
        added_calcium_mg_per_l=CALCIUM_MG_PER_MEQ * added_meq_per_l,
    )


def limewater_meq_per_l(limewater_l: float, *, net_volume_l: float, strength_meq_per_l: float) -> float:
    """Return the alkalinity (meq/L) that limewater (kalkwasser) brings where it replaces what had evaporated.

    The volume stays, and each meq brings 20.039 mg of calcium and no carbon: mixed in at once it is
    `state_after_two_part` with hydroxide. `strength_meq_per_l` is 0 to 60; saturated at 25 °C it is the figure
    `limewater.saturated_meq_per_l`.
    Raises DomainError outside that, for a net volume not above zero, and for limewater of more than a tenth of it.

    Source: mass balance. Check: row DIL-14.
    """
    require_above_zero("The net volume", net_volume_l, unit="L")
    share = limewater_l / net_volume_l
    require_within("The limewater, as a part of the whole water,", share, lower=0.0, upper=0.1)
    require_within("The strength of the limewater", strength_meq_per_l, lower=0.0, upper=60.0, unit="meq/L")
    return share * strength_meq_per_l


@overload
def state_after_air(state: CarbonateState[float], pco2_uatm: float) -> CarbonateState[float]: ...
@overload
def state_after_air(state: CarbonateState[Number], pco2_uatm: Number) -> CarbonateState[Number]: ...
def state_after_air(state: CarbonateState[Number], pco2_uatm: Number) -> CarbonateState[Number]:
    """Return the water once it is at rest with air of this pCO2 (0.1 to 100,000 µatm), its alkalinity unchanged.

    Raises DomainError as `state_from_alkalinity_pco2` does.
    """
    return state_from_alkalinity_pco2(
        state.alkalinity_umol_per_kg,
        pco2_uatm,
        salinity_psu=state.salinity_psu,
        temperature_c=state.temperature_c,
        calcium_mg_per_l=calcium_mg_per_l(state),
    )
