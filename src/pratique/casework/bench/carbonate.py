"""The card for the carbonate system: from any two readings the rest, with how near the water is to losing chalk."""

from collections.abc import Callable

from pratique.casework.bench.alkalinity import alkalinity_field
from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.carbonate_water import CarbonateWater, carbonate_water, left_ranges
from pratique.casework.bench.card import BenchAnswer, Card, Secondary, Way
from pratique.casework.bench.quantities import CO2, CONCENTRATION, PER_KG
from pratique.casework.bench.questions import number, ph, salinity, temperature
from pratique.casework.bench.saying import carried, line, second, three_digits
from pratique.casework.bench.sources import BORATE, CARBONATE, DKH_CONVENTION, PH_SCALES, SOLUBILITY
from pratique.casework.sheets import NextStep, Reason
from pratique.knowledge import figure
from pratique.science.chemistry.alkalinity import alkalinity_as
from pratique.science.chemistry.carbonate import CarbonateState
from pratique.science.chemistry.density import density_kg_per_m3
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.nutrient_acids import nutrient_alkalinity_umol_per_kg, phosphate_umol_per_kg
from pratique.science.chemistry.ph_after_dosing import state_after_air
from pratique.science.chemistry.precipitation import RUNAWAY, precipitation_risk

type _State = CarbonateState[float]


def _dkh_of(state: _State) -> float:
    density = density_kg_per_m3(state.salinity_psu, state.temperature_c)
    return alkalinity_as(state.alkalinity_umol_per_kg, "µmol/kg", "dKH", density_kg_per_m3=density)


# Goes by factors with pH, as pCO2 does.
_GAS = "Dissolved carbon dioxide"
# Each figure beside the answer: its words, how it is read off the state, its decimals and its unit.
_FIGURES: tuple[tuple[str, Callable[[_State], float], int, str], ...] = (
    ("Ω calcite", lambda state: state.omega_calcite, 1, ""),
    ("Alkalinity", _dkh_of, 2, "dKH"),
    ("pH as a hobby meter reads it (NBS)", lambda state: state.ph_nbs, 2, ""),
    ("pH, total scale", lambda state: state.ph_total, 2, ""),
    ("pH, free scale", lambda state: state.ph_free, 2, ""),
    ("Dissolved inorganic carbon (DIC)", lambda state: state.dic_umol_per_kg, 0, "µmol/kg"),
    (_GAS, lambda state: state.co2_umol_per_kg, 1, "µmol/kg"),
    ("Bicarbonate", lambda state: state.bicarbonate_umol_per_kg, 0, "µmol/kg"),
    ("Carbonate", lambda state: state.carbonate_umol_per_kg, 0, "µmol/kg"),
    ("Buffer (Revelle factor)", lambda state: state.revelle_factor, 1, ""),
)
RISK_WORDS = {
    "stable": "Chalk does not fall out of such water.",
    "possible": "Chalk may fall out where a dose goes in.",
    "likely": "Chalk is likely to fall out, and to take more alkalinity with it than was added.",
}


def _reckon(asked: Asking) -> BenchAnswer:
    water = carbonate_water(asked)
    air = asked.optional("room_co2", CO2)
    phosphate = asked.optional("phosphate", CONCENTRATION)
    asked.settle()
    found = water.carry(asked, lambda state: state.omega_aragonite)
    state = water.now()
    pressure = water.carry_skewed(asked, lambda state: state.pco2_uatm)
    risk = precipitation_risk(state)
    density = density_kg_per_m3(state.salinity_psu, state.temperature_c)
    return answered(
        asked,
        found,
        water.inputs,
        said={"unit": "", "decimals": 1, "words": f"Ω of aragonite is {{}}. {RISK_WORDS[risk.risk]}"},
        working=(
            line("Density of the water", density, 1, "kg/m³"),
            line("Alkalinity", state.alkalinity_umol_per_kg, 0, "µmol/kg"),
            line("pH on the total scale", state.ph_total, 3),
            line("Carbonate", state.carbonate_umol_per_kg, 1, "µmol/kg"),
            line("Calcium", state.calcium_umol_per_kg, 0, "µmol/kg"),
        ),
        sources=(CARBONATE, BORATE, SOLUBILITY, PH_SCALES, DKH_CONVENTION, _runaway()),
        extrapolated=left_ranges(state),
        more=(
            carried("pCO2, the pressure of carbon dioxide in the water", pressure, 0, "µatm"),
            *(_figure(asked, water, one) for one in _FIGURES),
            *(_at_rest(state, air.value) if air is not None else ()),
            *(_of_phosphate(asked, state, phosphate) if phosphate is not None else ()),
        ),
        warnings=(RISK_WORDS[risk.risk],) if risk.risk != "stable" else (),
        entry=_entry(water),
    )


def _figure(asked: Asking, water: CarbonateWater, told: tuple[str, Callable[[_State], float], int, str]) -> Secondary:
    words, read, decimals, unit = told
    carry = water.carry_skewed if words == _GAS else water.carry
    found = carry(asked, read)
    return carried(words, found, decimals, unit)


def _at_rest(state: _State, room_co2: float) -> tuple[Secondary, ...]:
    """Return what the same water comes to once it is at rest with the air of the room."""
    rest = state_after_air(state, room_co2)
    return (
        second("pH (NBS) at rest with the room's air", rest.ph_nbs, 2),
        second("Ω aragonite at rest with the room's air", rest.omega_aragonite, 1),
    )


def _of_phosphate(asked: Asking, state: _State, phosphate: Measured) -> tuple[Secondary, ...]:
    """Return how much of the alkalinity is phosphate's; the figures above count all of it as the carbonate system's."""
    density = density_kg_per_m3(state.salinity_psu, state.temperature_c)
    try:
        umol_per_kg = nutrient_alkalinity_umol_per_kg(
            state.ph_total,
            phosphate_umol_per_kg=phosphate_umol_per_kg(phosphate.value, density),
            silicate_umol_per_kg=0.0,
            salinity_psu=state.salinity_psu,
            temperature_c=state.temperature_c,
        )
    except DomainError as problem:
        raise asked.not_in_domain(problem, (phosphate,)) from None
    dkh = alkalinity_as(umol_per_kg, "µmol/kg", "dKH", density_kg_per_m3=density)
    return (second("Part of the alkalinity that is phosphate's, not carbonate's", dkh, three_digits(dkh), "dKH"),)


def _entry(water: CarbonateWater) -> NextStep | None:
    """Return the readings of it that the ledger takes: alkalinity by the litre, and pH with its scale."""
    answers: list[tuple[str, str]] = []
    if "alkalinity" in water.inputs and not water.is_per_kg:
        answers += [("alkalinity", f"{water.inputs['alkalinity'].value:.4g}"), ("alkalinity_unit", "dKH")]
    if "ph" in water.inputs:
        answers += [("ph", f"{water.inputs['ph'].value:.4g}"), ("ph_scale", water.scale)]
    if not answers:
        return None
    return NextStep("Write these readings into the ledger", form="readings", answers=tuple(answers))


def _runaway() -> Reason:
    limit = figure(RUNAWAY)
    return Reason(f"Chalk falls out above Ω {limit.value:g} of aragonite.", limit.source, limit.status)


CARBONATE_CARD = Card(
    name="carbonate",
    question="What does this reading mean?",
    title="Alkalinity, pH and carbon dioxide",
    words="From any two of alkalinity, pH, all dissolved carbon (DIC) and the pressure of carbon dioxide (pCO2) the "
    "rest, with Ω, above 1 where chalk can form, and what the room's air does.",
    ways=(
        Way(
            key="two",
            words="Two readings of the same water",
            fields=(
                *alkalinity_field(required=False),
                *ph(required=False),
                *number(
                    "dic",
                    "DIC",
                    PER_KG,
                    hint="Dissolved inorganic carbon: carbon dioxide, bicarbonate and carbonate together.",
                ),
                *number(
                    "pco2",
                    "pCO2 of the water",
                    CO2,
                    hint="The pressure of the carbon dioxide in it: the air it would be at rest with holds as much.",
                ),
                *salinity(),
                *temperature(),
                *number("calcium", "Calcium", CONCENTRATION, hint="Left empty: the ocean's for this salinity."),
                *number("phosphate", "Phosphate (PO4)", CONCENTRATION, exact=True, hint="Left empty: not reckoned."),
                *number("room_co2", "CO2 in the room's air", CO2, exact=True, hint="Left empty: not reckoned."),
            ),
            reckon=_reckon,
        ),
    ),
)
