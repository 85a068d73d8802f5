"""The card that says a quantity in another unit, or counts it another way."""

from dataclasses import dataclass

from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking
from pratique.casework.bench.card import BenchAnswer, Card, Secondary, Way
from pratique.casework.bench.quantities import (
    ALKALINITY,
    CONCENTRATION,
    CONDUCTIVITY,
    DENSITY,
    MASS,
    PRESSURE,
    TEMPERATURE,
    VOLUME,
    Measure,
)
from pratique.casework.bench.questions import choice, number
from pratique.casework.bench.saying import second, three_digits
from pratique.casework.bench.sources import BASES, DKH_CONVENTION, UNITS
from pratique.casework.sheets import Reason
from pratique.units import WrongUnit, basis_of, split_quantity, to_canonical

_LENGTH = Measure("cm", ("cm", "in", "mm"))
_KINDS = (VOLUME, TEMPERATURE, ALKALINITY, MASS, _LENGTH, CONDUCTIVITY, DENSITY, PRESSURE, CONCENTRATION)
_COUNTED = (
    *("mg/L NO3", "mg/L NO3-N", "mg/L NO2", "mg/L NO2-N", "mg/L NH3", "mg/L NH4", "mg/L as N"),
    *("mg/L PO4", "mg/L PO4-P", "µg/L PO4-P", "mg/L SiO2", "mg/L Si"),
)
_OFFERED = tuple(dict.fromkeys((*(unit for kind in _KINDS for unit in kind.units), *_COUNTED)))


@dataclass(frozen=True)
class _Into(Measure):
    """Any quantity, brought into one unit."""

    def to_canonical(self, number: float, unit: str) -> float:
        return _converted(number, unit, self.canonical)


def _converted(number: float, written: str, into: str) -> float:
    """Return a number in another unit of its kind, or counted another way. Raises WrongUnit."""
    for kind in _KINDS:
        if _is_of(kind, written) and _is_of(kind, into):
            nothing = kind.to_canonical(0.0, into)
            return (kind.to_canonical(number, written) - nothing) / (kind.to_canonical(1.0, into) - nothing)
    if basis_of(written) is None or basis_of(into) is None:
        if any(_is_of(kind, written) for kind in _KINDS) or basis_of(written) is not None:
            raise WrongUnit(
                f"{written} cannot be told in {into}: they are different things, or one does not say what it counts."
            )
        raise WrongUnit(f"“{written}” is not a unit known here; such are {', '.join(_OFFERED[:9])} or mg/L NO3-N.")
    return to_canonical(number, written, into)


def _is_of(kind: Measure, unit: str) -> bool:
    try:
        kind.to_canonical(1.0, unit)
    except ValueError:
        return False
    return True


def _reckon(asked: Asking) -> BenchAnswer:
    text = asked.text("amount", "Write the number.")
    written = split_quantity(text)[1] or asked.text("unit", "Say what unit it is in.")
    into = asked.text("into", "Say what unit to tell it in.")
    if into and basis_of(into) is None and not any(_is_of(kind, into) for kind in _KINDS):
        asked.problem("into", f"“{into}” is not a unit known here; such are {', '.join(_OFFERED[:9])} or mg/L NO3-N.")
    asked.settle()
    bare = asked.number("amount", _Into(into, (written,), least=None), "Write the number.", unit=written)
    inputs = {"amount": bare}
    found = asked.carry(_itself, inputs)
    return answered(
        asked,
        found,
        inputs,
        said={"unit": into, "decimals": three_digits(found.value), "words": f"{bare.shown} is {{}}."},
        sources=_sources(into),
        more=_elsewhere(bare.value, into),
    )


def _itself(amount: float) -> float:
    return amount


def _sources(into: str) -> tuple[Reason, ...]:
    if basis_of(into) is not None:
        return (BASES,)
    return (DKH_CONVENTION,) if _is_of(ALKALINITY, into) else (UNITS,)


def _elsewhere(value: float, into: str) -> tuple[Secondary, ...]:
    """Return the same in the other units of its kind."""
    kind = next((one for one in _KINDS if into in one.units), None)
    others = [unit for unit in (kind.units if kind is not None else ()) if unit != into]
    told = [(unit, _converted(value, into, unit)) for unit in others]
    return tuple(second(f"In {unit}", one, three_digits(one), unit) for unit, one in told)


CONVERT_CARD = Card(
    name="convert",
    question="What does this reading mean?",
    title="Another unit",
    words="A volume, a temperature, a level or an alkalinity in another unit, or counted another way.",
    ways=(
        Way(
            key="unit",
            words="A number in one unit",
            fields=(
                *number("amount", "The number", Measure(""), required=True, hint="Its unit may stand behind it."),
                *choice("unit", "It is in", [(unit, unit) for unit in _OFFERED]),
                *choice("into", "Tell it in", [(unit, unit) for unit in _OFFERED], required=True),
            ),
            reckon=_reckon,
        ),
    ),
)
