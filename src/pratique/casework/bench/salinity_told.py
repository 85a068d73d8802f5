"""How a salinity is told, whatever it was read with: the sentence, other units, and the way to the ledger."""

from collections.abc import Mapping

from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.card import BenchAnswer, Line, Secondary
from pratique.casework.bench.saying import extrapolated, second, with_error
from pratique.casework.bench.sources import DENSITY
from pratique.casework.sheets import NextStep, Reason
from pratique.science.chemistry.density import VALIDITY, density_kg_per_m3, grams_per_litre
from pratique.science.chemistry.salinity import conductivity_from_practical_salinity
from pratique.science.chemistry.specific_gravity import specific_gravity
from pratique.science.chemistry.uncertainty import Propagated
from pratique.science.chemistry.validity import Validity

_AT_C = 25.0


def salinity_told(  # noqa: PLR0913 - what each instrument adds of its own
    asked: Asking,
    found: Propagated,
    inputs: Mapping[str, Measured],
    *,
    sources: tuple[Reason, ...],
    method: str = "",
    validity: tuple[Validity, ...] = VALIDITY,
    working: tuple[Line, ...] = (),
    warnings: tuple[str, ...] = (),
    more: tuple[Secondary, ...] = (),
) -> BenchAnswer:
    """Return the answer for a practical salinity that was found; `method` is the ledger's key of the instrument."""
    values = {"salinity": found.value}
    if "temperature_c" in inputs:
        values["temperature"] = inputs["temperature_c"].value
    return answered(
        asked,
        found,
        inputs,
        said={"unit": "PSU", "decimals": 1, "words": "The salinity is {}."},
        working=working,
        sources=(*sources, DENSITY),
        extrapolated=extrapolated(validity, values),
        warnings=warnings,
        more=(*more, *_in_other_units(found.value)),
        entry=_entry(found, method),
    )


def _in_other_units(salinity_psu: float) -> tuple[Secondary, ...]:
    gravity = specific_gravity(salinity_psu, temperature_c=_AT_C, reference_c=_AT_C)
    return (
        second("Specific gravity 25/25", gravity, 4),
        second("Density at 25\u202f°C", density_kg_per_m3(salinity_psu, _AT_C), 1, "kg/m³"),
        second("Conductivity at 25\u202f°C", conductivity_from_practical_salinity(salinity_psu, _AT_C), 1, "mS/cm"),
        second("Salt in a litre at 25\u202f°C", grams_per_litre(salinity_psu, _AT_C), 1, "g/L"),
    )


def _entry(found: Propagated, method: str) -> NextStep:
    # An empty method is sent too: the form would else propose the instrument used last.
    answers = (
        ("salinity", f"{found.value:.1f}"),
        ("salinity_unit", "PSU"),
        ("salinity_method", method),
        ("words", f"Salinity reckoned on the bench: {with_error(found.value, found.plus_minus, 1, 'PSU')}."),
    )
    return NextStep("Write the salinity into the ledger", form="readings", answers=answers)
