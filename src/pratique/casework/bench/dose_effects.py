"""What a dose of alkalinity does to pH and Ω of a water whose state was told."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from pratique.casework.bench.alkalinity import alkalinity_field, is_per_kg
from pratique.casework.bench.asking import Asking
from pratique.casework.bench.carbonate import RISK_WORDS
from pratique.casework.bench.carbonate_water import CarbonateWater, left_ranges
from pratique.casework.bench.card import Secondary
from pratique.casework.bench.quantities import ALKALINITY, CONCENTRATION, PER_KG, PH, SALINITY, TEMPERATURE
from pratique.casework.bench.questions import number, ph, salinity, scale_of, temperature
from pratique.casework.bench.saying import second
from pratique.casework.bench.sources import BORATE, CARBONATE, PH_SCALES, PRECIPITATION, SOLUBILITY
from pratique.casework.sheets import Reason
from pratique.science.chemistry.alkalinity import DKH_PER_MEQ
from pratique.science.chemistry.carbonate import CarbonateState
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.ph_after_dosing import (
    Reagent,
    state_after_air,
    state_after_alkalinity,
    state_after_two_part,
)
from pratique.science.chemistry.precipitation import most_alkalinity_at_once_meq_per_l, precipitation_risk

_GROUP = "What it does to pH, if you like"
# By formula in Hill order.
_REAGENTS: Mapping[str, Reagent] = {
    "CHNaO3": "bicarbonate",
    "CHKO3": "bicarbonate",
    "CNa2O3": "carbonate",
    "CK2O3": "carbonate",
    "HNaO": "hydroxide",
    "HKO": "hydroxide",
    "CaH2O2": "hydroxide",
    "CaO": "hydroxide",
}
_WITH_CALCIUM = frozenset({"CaH2O2", "CaO"})
_ALL_OR_NONE = (
    "To reckon what it does to pH, give alkalinity, pH, salinity and temperature of the water, or none of them."
)


@dataclass(frozen=True)
class Effects:
    """What the dose does, or nothing where the water was not told."""

    more: tuple[Secondary, ...] = ()
    warnings: tuple[str, ...] = ()
    sources: tuple[Reason, ...] = ()
    extrapolated: tuple[str, ...] = ()


@dataclass(frozen=True)
class WaterBefore:
    """The water before the dose; None where it was not told."""

    water: CarbonateWater | None

    def of(self, hill: str, added_meq_per_l: float) -> Effects:
        """Return what so much alkalinity of a salt does; nothing for a salt whose carbon is not known here."""
        reagent = _REAGENTS.get(hill)
        if self.water is None or reagent is None:
            return Effects()
        try:
            return _effects(self.water.now(), reagent, added_meq_per_l, with_calcium=hill in _WITH_CALCIUM)
        except DomainError as problem:
            return Effects(warnings=(f"What it does to pH cannot be told: {problem}",))


def asked_effects(asked: Asking) -> WaterBefore:
    """Return the water before the dose; a problem is kept where only a part of it was told."""
    names = ("alkalinity", "ph", "salinity", "temperature")
    given = [name for name in names if asked.given(name)]
    if not given:
        return WaterBefore(None)
    if len(given) < len(names):
        asked.problem(next(name for name in names if name not in given), _ALL_OR_NONE)
        return WaterBefore(None)
    per_kg = is_per_kg(asked)
    read = {
        "alkalinity": asked.optional("alkalinity", PER_KG if per_kg else ALKALINITY),
        "ph": asked.optional("ph", PH),
        "salinity_psu": asked.optional("salinity", SALINITY),
        "temperature_c": asked.optional("temperature", TEMPERATURE),
        "calcium_mg_per_l": asked.optional("calcium", CONCENTRATION),
    }
    inputs = {name: one for name, one in read.items() if one is not None}
    return WaterBefore(CarbonateWater(inputs, scale_of(asked.choice("ph_scale")), per_kg))


def _effects(before: CarbonateState[float], reagent: Reagent, added: float, *, with_calcium: bool) -> Effects:
    change = state_after_two_part if with_calcium else state_after_alkalinity
    after = change(before, added_meq_per_l=added, reagent=reagent)
    rest = state_after_air(after, before.pco2_uatm)
    risk = precipitation_risk(after)
    most = most_alkalinity_at_once_meq_per_l(before, reagent=reagent, with_calcium=with_calcium)
    matched = () if with_calcium else (_matched(before, added, reagent),)
    told = (
        second("pH (NBS) before", before.ph_nbs, 2),
        second("pH (NBS) just after, mixed in", after.ph_nbs, 2),
        second("pH (NBS) once the air has had its way", rest.ph_nbs, 2),
        second("Ω aragonite just after", after.omega_aragonite, 1),
        *matched,
        *(
            (second("The most at once without chalk falling out", most * DKH_PER_MEQ, 1, "dKH"),)
            if most is not None
            else ()
        ),
    )
    where = "Where the dose goes in, pH and Ω are higher still until it is mixed."
    warnings = () if risk.risk == "stable" else (f"{RISK_WORDS[risk.risk]} {where}",)
    sources = (CARBONATE, BORATE, SOLUBILITY, PH_SCALES, PRECIPITATION)
    return Effects(told, warnings, sources, left_ranges(after))


def _matched(before: CarbonateState[float], added: float, reagent: Reagent) -> Secondary:
    """Return Ω where the calcium that matches the alkalinity is dosed with it, as in a two-part."""
    both = state_after_two_part(before, added_meq_per_l=added, reagent=reagent)
    return second("Ω aragonite with the calcium that matches it (two-part)", both.omega_aragonite, 1)


EFFECT_FIELDS = tuple(
    replace(one, group=_GROUP)
    for one in (
        *alkalinity_field(required=False),
        *ph(required=False),
        *salinity(required=False),
        *temperature(required=False),
        *number("calcium", "Calcium now", CONCENTRATION, hint="Left empty: the ocean's for this salinity."),
    )
    if not one.name.endswith("_plus_minus")
)
