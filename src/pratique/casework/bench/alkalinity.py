"""The card that says an alkalinity in every unit in use."""

from collections.abc import Mapping
from dataclasses import replace
from typing import get_args

from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.card import BenchAnswer, Card, Line, Secondary, Way
from pratique.casework.bench.quantities import ALKALINITY, PER_KG, SALINITY, TEMPERATURE
from pratique.casework.bench.questions import choice, number, salinity, temperature
from pratique.casework.bench.saying import line, second
from pratique.casework.bench.sources import DENSITY, DKH_CONVENTION
from pratique.casework.sheets import NextStep
from pratique.casework.writing.fields import Field
from pratique.science.chemistry import alkalinity as science
from pratique.science.chemistry.alkalinity import AlkalinityUnit, alkalinity_as
from pratique.science.chemistry.density import density_kg_per_m3
from pratique.units import split_quantity

_DECIMALS: Mapping[AlkalinityUnit, int] = {"dKH": 2, "meq/L": 3, "mg/L CaCO3": 0, "µmol/kg": 0}
_PER_KG: AlkalinityUnit = "µmol/kg"


def is_per_kg(asked: Asking) -> bool:
    """Return whether the alkalinity was written per kilogram of water, as seawater tables have it."""
    unit = split_quantity(asked.text("alkalinity"))[1] or asked.unit("alkalinity")
    return "mol/kg" in unit.replace(" ", "").casefold()


def _reckon(asked: Asking) -> BenchAnswer:
    given: AlkalinityUnit = _PER_KG if is_per_kg(asked) else "dKH"
    measure = PER_KG if given == _PER_KG else ALKALINITY
    error = "" if given == _PER_KG else "alkalinity"
    inputs = {"alkalinity": asked.number("alkalinity", measure, "Write the alkalinity.", error=error)}
    wanted = _wanted(asked, given)
    is_by_mass = _PER_KG in {given, wanted}
    needed = "Between litres and kilograms the water's {} counts: write it." if is_by_mass else ""
    inputs |= _water(asked, needed)
    asked.settle()
    found = asked.carry(lambda **at: _as(wanted, given, **at), inputs)
    water = {name: one.value for name, one in inputs.items()}
    return answered(
        asked,
        found,
        inputs,
        said={"unit": wanted, "decimals": _DECIMALS[wanted], "words": "The alkalinity is {}."},
        working=_working(inputs),
        sources=(DKH_CONVENTION, *((DENSITY,) if len(inputs) > 1 else ())),
        more=_more(water, given, wanted),
        entry=_entry(_as("dKH", given, **water)) if given != _PER_KG or len(inputs) > 1 else None,
    )


def _as(
    wanted: AlkalinityUnit,
    given: AlkalinityUnit,
    *,
    alkalinity: float,
    salinity_psu: float | None = None,
    temperature_c: float | None = None,
) -> float:
    density = None
    if salinity_psu is not None and temperature_c is not None:
        density = density_kg_per_m3(salinity_psu, temperature_c)
    return alkalinity_as(alkalinity, given, wanted, density_kg_per_m3=density)


def _water(asked: Asking, needed: str) -> dict[str, Measured]:
    """Return salinity and temperature, where they are needed or both were given."""
    if needed:
        return {
            "salinity_psu": asked.number("salinity", SALINITY, needed.format("salinity"), error="salinity"),
            "temperature_c": asked.number(
                "temperature", TEMPERATURE, needed.format("temperature"), error="temperature"
            ),
        }
    salt, warmth = asked.optional("salinity", SALINITY), asked.optional("temperature", TEMPERATURE)
    if salt is None or warmth is None:
        return {}
    return {"salinity_psu": salt, "temperature_c": warmth}


def _wanted(asked: Asking, given: AlkalinityUnit) -> AlkalinityUnit:
    """Return the unit to tell it in: the one chosen, or the one most often wanted of what was given."""
    chosen = asked.choice("into")
    for unit in get_args(AlkalinityUnit.__value__):
        if unit == chosen:
            found: AlkalinityUnit = unit
            return found
    written = (split_quantity(asked.text("alkalinity"))[1] or asked.unit("alkalinity")).casefold()
    return "meq/L" if given == "dKH" and "dkh" in written else "dKH"


def _working(inputs: Mapping[str, Measured]) -> tuple[Line, ...]:
    lines = [
        Line("1\u202fmeq/L counts as", "2.8\u202fdKH"),
        Line("and as", "50\u202fmg/L CaCO3"),
    ]
    if "salinity_psu" in inputs:
        density = density_kg_per_m3(inputs["salinity_psu"].value, inputs["temperature_c"].value)
        lines.append(line("Density of the water", density, 1, "kg/m³"))
    return tuple(lines)


def _more(water: Mapping[str, float], given: AlkalinityUnit, wanted: AlkalinityUnit) -> tuple[Secondary, ...]:
    has_density = "salinity_psu" in water
    told = [
        second(f"In {unit}", _as(unit, given, **water), decimals, unit)
        for unit, decimals in _DECIMALS.items()
        if unit != wanted and (has_density or _PER_KG not in {unit, given})
    ]
    if has_density or given != _PER_KG:
        exact = _as("meq/L", given, **water) * science.DKH_PER_MEQ_EXACT
        told.append(second("By the exact 2.8039\u202fdKH for 1\u202fmeq/L", exact, 2, "dKH"))
    return tuple(told)


def _entry(dkh: float) -> NextStep:
    answers = (("alkalinity", f"{dkh:.2f}"), ("alkalinity_unit", "dKH"))
    return NextStep("Write the alkalinity into the ledger", form="readings", answers=answers)


def alkalinity_field(*, required: bool = True) -> tuple[Field, ...]:
    """Return the question for an alkalinity in any unit, per kilogram included."""
    asked, error = number("alkalinity", "Alkalinity", ALKALINITY, required=required)
    return replace(asked, units=(*ALKALINITY.units, _PER_KG)), error


ALKALINITY_CARD = Card(
    name="alkalinity",
    question="What does this reading mean?",
    title="Alkalinity",
    words="An alkalinity in dKH, meq/L, mg/L CaCO3 and µmol/kg.",
    ways=(
        Way(
            key="units",
            words="An alkalinity reading",
            fields=(
                *alkalinity_field(),
                *choice("into", "Tell it in", [(unit, unit) for unit in _DECIMALS]),
                *salinity(required=False),
                *temperature(required=False, hint="Salinity and temperature are needed only for µmol/kg."),
            ),
            reckon=_reckon,
        ),
    ),
)
