"""A tank's carbonate state as the bench is told it: any two of four readings, salinity, temperature, calcium."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

from pratique.casework.bench.alkalinity import is_per_kg
from pratique.casework.bench.answering import carry_skewed
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.quantities import ALKALINITY, CO2, CONCENTRATION, PER_KG, PH, SALINITY, TEMPERATURE
from pratique.casework.bench.questions import scale_of
from pratique.casework.bench.saying import show_validity
from pratique.science.chemistry import carbonate_pairs as pairs
from pratique.science.chemistry.alkalinity import alkalinity_as
from pratique.science.chemistry.carbonate import CarbonateState
from pratique.science.chemistry.density import density_kg_per_m3
from pratique.science.chemistry.ph_scales import PhScale
from pratique.science.chemistry.uncertainty import Propagated

_GIVE_TWO = "Give two of alkalinity, pH, DIC and pCO2, no more and no fewer: any two settle the rest."


@dataclass(frozen=True)
class CarbonateWater:
    """What was given: `inputs` by the names that `state` takes, the pH scale, and whether alkalinity is per kg."""

    inputs: Mapping[str, Measured]
    scale: PhScale
    is_per_kg: bool

    def state(self, **at: float) -> CarbonateState[float]:
        """Return the whole state; DomainError as science has it."""
        water = {"salinity_psu": at["salinity_psu"], "temperature_c": at["temperature_c"]}
        if "alkalinity" in at and not self.is_per_kg:
            density = density_kg_per_m3(water["salinity_psu"], water["temperature_c"])
            at["alkalinity"] = alkalinity_as(at["alkalinity"], "dKH", "µmol/kg", density_kg_per_m3=density)
        solve = partial(_SOLVERS[_pair(at)], **water, calcium_mg_per_l=at.get("calcium_mg_per_l"))
        first, second = (at[name] for name in _pair(at))
        return solve(first, second, ph_scale=self.scale) if "ph" in at else solve(first, second)

    def now(self) -> CarbonateState[float]:
        """Return the state at the numbers themselves."""
        return self.state(**{name: one.value for name, one in self.inputs.items()})

    def carry(self, asked: Asking, wanted: Callable[[CarbonateState[float]], float]) -> Propagated:
        """Return one figure of the state with its error."""
        return asked.carry(lambda **at: wanted(self.state(**at)), self.inputs)

    def carry_skewed(self, asked: Asking, wanted: Callable[[CarbonateState[float]], float]) -> Propagated:
        """Return one figure that goes by factors, as pCO2 does with pH."""
        return carry_skewed(asked, lambda **at: wanted(self.state(**at)), self.inputs)


_NAMES = ("alkalinity", "dic", "ph", "pco2")
_SOLVERS: Mapping[tuple[str, ...], Callable[..., CarbonateState[float]]] = {
    ("alkalinity", "ph"): pairs.state_from_alkalinity_ph,
    ("alkalinity", "dic"): pairs.state_from_alkalinity_dic,
    ("alkalinity", "pco2"): pairs.state_from_alkalinity_pco2,
    ("dic", "ph"): pairs.state_from_dic_ph,
    ("dic", "pco2"): pairs.state_from_dic_pco2,
    ("ph", "pco2"): pairs.state_from_ph_pco2,
}


def _pair(at: Mapping[str, float]) -> tuple[str, ...]:
    return tuple(name for name in _NAMES if name in at)


def carbonate_water(asked: Asking) -> CarbonateWater:
    """Return what was given of the water; problems are kept where it is not exactly two readings and their water."""
    per_kg = is_per_kg(asked)
    read = {
        "alkalinity": asked.optional(
            "alkalinity", PER_KG if per_kg else ALKALINITY, error="" if per_kg else "alkalinity"
        ),
        "dic": asked.optional("dic", PER_KG),
        "ph": asked.optional("ph", PH, error="ph"),
        "pco2": asked.optional("pco2", CO2),
    }
    given = [name for name in _NAMES if asked.given(name)]
    if len(given) != 2:
        asked.problem(given[-1] if len(given) > 2 else "", _GIVE_TWO)
    inputs = {name: one for name, one in read.items() if one is not None} | water_inputs(asked)
    return CarbonateWater(inputs, scale_of(asked.choice("ph_scale")), per_kg)


def water_inputs(asked: Asking) -> dict[str, Measured]:
    """Return salinity and temperature, and calcium where it was read."""
    inputs = {
        "salinity_psu": asked.number("salinity", SALINITY, "Write the salinity.", error="salinity"),
        "temperature_c": asked.number("temperature", TEMPERATURE, "Write the temperature.", error="temperature"),
    }
    calcium = asked.optional("calcium", CONCENTRATION, error="calcium")
    return inputs | ({"calcium_mg_per_l": calcium} if calcium is not None else {})


def left_ranges(state: CarbonateState[float]) -> tuple[str, ...]:
    """Return a sentence for each published range the state leaves."""
    return tuple(dict.fromkeys(show_validity(one) for one in state.extrapolated))
