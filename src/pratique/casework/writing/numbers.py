"""Numbers as keepers write them, in the unit we keep, and what is impossible or doubtful about them."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from pratique.knowledge import Constituent
from pratique.units import parse_number, split_quantity, to_canonical

_INTERVAL = re.compile(r"(?P<low>[\d.,\s]*\d)\s*(?:-|–|—|\bto\b|…|\.\.\.?)\s*(?P<high>[\d.,]*\d.*)", re.DOTALL)
_FACTORS = (0.1, 10.0, 0.01, 100.0, 0.001, 1000.0)


@dataclass(frozen=True, slots=True)
class Result:
    """What a test showed, in the constituent's own unit: a number, an interval, or beyond a limit."""

    value: float | None = None
    low: float | None = None
    high: float | None = None
    below: float | None = None
    above: float | None = None

    @property
    def numbers(self) -> tuple[float, ...]:
        """Return the numbers it names."""
        given = (self.value, self.low, self.high, self.below, self.above)
        return tuple(number for number in given if number is not None)


def quantity(text: str, unit: str, canonical: str) -> float:
    """Return a number in the canonical unit; a unit written behind it counts before the one chosen.

    An empty canonical unit takes plain numbers only. Raises ValueError with a sentence.
    """
    number, written_unit = split_quantity(text)
    if not number or not canonical:
        return parse_number(text)
    converted = to_canonical(parse_number(number), written_unit or unit or canonical, canonical)
    # Conversion leaves digits behind the ninth that nobody measured.
    return float(f"{converted:.9g}")


def result(text: str, unit: str, constituent: Constituent) -> Result:
    """Return what was written for a reading: `8.1`, `<0.02`, `>5`, `0.1-0.2`. Raises ValueError with a sentence."""
    bare = text.strip()

    def number(part: str) -> float:
        return quantity(part, unit, constituent.unit)

    if bare[:1] in {"<", "≤"}:
        return Result(below=number(bare.lstrip("<≤= ")))
    if bare[:1] in {">", "≥"}:
        return Result(above=number(bare.lstrip(">≥= ")))
    interval = _INTERVAL.fullmatch(bare)
    if interval is None:
        return Result(value=number(bare))
    _, written_unit = split_quantity(interval["high"])
    low, high = number(f"{interval['low']} {written_unit}"), number(interval["high"])
    if low > high:
        raise ValueError(f"“{bare}” runs backwards; write the lower end first, like {interval['high']} - {low:g}.")
    return Result(low=low, high=high)


def impossible(constituent: Constituent, number: float) -> str | None:
    """Return a sentence for a value that cannot be, with what would be right; None for one that can."""
    if constituent.possible_lower <= number <= constituent.possible_upper:
        return None
    name = _capital(constituent.name)
    lower, upper = (plain(bound) for bound in (constituent.possible_lower, constituent.possible_upper))
    sentence = f"{name} of {plain(number)} cannot be: it lies between {lower} and {_with_unit(upper, constituent)}."
    hint = slipped(number, constituent.usual_lower, constituent.usual_upper)
    return f"{sentence} Did you mean {plain(hint)}?" if hint is not None else sentence


def doubtful(constituent: Constituent, number: float, *, usual_upper: float | None = None) -> str | None:
    """Return a question about a possible but unusual value, or None. `usual_upper` widens what is usual."""
    upper = max(constituent.usual_upper, usual_upper or constituent.usual_upper)
    if constituent.usual_lower <= number <= upper:
        return None
    name = _capital(constituent.name)
    lower, top = plain(constituent.usual_lower), _with_unit(plain(upper), constituent)
    sentence = f"{name} of {plain(number)} is unusual: it mostly lies between {lower} and {top}."
    if constituent.key == "salinity" and 1.0 <= number < 1.1:
        return f"{sentence} {plain(number)} looks like a specific gravity; here it must be practical salinity."
    return f"{sentence} Is it right?"


def slipped(number: float, lower: float, upper: float) -> float | None:
    """Return the number with its decimal point where the usual range wants it, or None where no shift helps."""
    if not number:
        return None
    return next((round(number * factor, 9) for factor in _FACTORS if lower <= number * factor <= upper), None)


def units_of(constituent: Constituent, *, fahrenheit: bool = False) -> tuple[str, ...]:
    """Return the units a reading of this constituent may be written in, the assumed one first."""
    known: dict[str, Sequence[str]] = {
        "temperature": ("°F", "°C") if fahrenheit else ("°C", "°F"),
        "alkalinity": ("dKH", "meq/L", "mg/L CaCO3"),
        "total_ammonia": ("mg/L as N", "mg/L NH3", "mg/L NH4"),
        "nitrite": ("mg/L NO2", "mg/L NO2-N"),
        "nitrate": ("mg/L NO3", "mg/L NO3-N"),
        "phosphate": ("mg/L PO4", "mg/L PO4-P", "µg/L PO4-P"),
        "silicate": ("mg/L SiO2", "mg/L Si"),
        "copper": ("mg/L", "µg/L"),
        "salinity": ("PSU", "ppt"),
        "ph": ("NBS",),
    }
    return tuple(known.get(constituent.key, (constituent.unit,)))


def plain(number: float) -> str:
    """Return a number without false digits."""
    return f"{number:.9g}"


def _capital(name: str) -> str:
    return name if name == "pH" else name[:1].upper() + name[1:]


def _with_unit(text: str, constituent: Constituent) -> str:
    return text if constituent.key == "ph" else f"{text}\u2009{constituent.unit}"
