"""Numbers as keepers write them, in the unit we keep, and what is impossible or doubtful about them."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import isclose

from pratique import knowledge
from pratique.knowledge import Constituent
from pratique.science.chemistry.specific_gravity import specific_gravity
from pratique.units import basis_of, parse_number, show, split_quantity, to_canonical

_INTERVAL = re.compile(r"(?P<low>[\d.,\s]*\d)\s*(?:-|–|—|\bto\b|…|\.\.\.?)\s*(?P<high>[\d.,]*\d.*)", re.DOTALL)
# A hydrometer as it is mostly made (common practice).
_HYDROMETER_C = 25.0
_FACTORS = (0.1, 10.0, 0.01, 100.0, 0.001, 1000.0)


@dataclass(frozen=True, slots=True)
class Result:
    """What a test showed, in the constituent's own unit: a number, an interval, or beyond a limit.

    `unit` is the one it was written in.
    """

    value: float | None = None
    low: float | None = None
    high: float | None = None
    below: float | None = None
    above: float | None = None
    unit: str = ""

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
        below = bare.lstrip("<≤= ")
        return Result(below=number(below), unit=split_quantity(below)[1] or unit)
    if bare[:1] in {">", "≥"}:
        above = bare.lstrip(">≥= ")
        return Result(above=number(above), unit=split_quantity(above)[1] or unit)
    interval = _INTERVAL.fullmatch(bare)
    if interval is None:
        return Result(value=number(bare), unit=split_quantity(bare)[1] or unit)
    _, written_unit = split_quantity(interval["high"])
    low, high = number(f"{interval['low']} {written_unit}"), number(interval["high"])
    if low > high:
        raise ValueError(f"“{bare}” runs backwards; write the lower end first, like {interval['high']} - {low:g}.")
    return Result(low=low, high=high, unit=written_unit or unit)


def impossible(constituent: Constituent, number: float, *, unit: str = "") -> str | None:
    """Return a sentence for a value that cannot be, with what would be right; None for one that can.

    `unit` is the one the value was written in, where it is not the constituent's own.
    """
    # Up to 1.1 a hydrometer reads; a salinity of 1 itself may be that of nearly fresh water.
    if constituent.key == "salinity" and 1.0 < number < 1.1:
        usual_psu = knowledge.figure("salinity.usual_psu").value
        return (
            f"{plain(number)} looks like a specific gravity; salinity is in PSU here. The bench turns one into the "
            f"other, under Salinity: {usual_psu:g}\u202fPSU is about {_gravity_of(usual_psu):.4f} on a hydrometer "
            f"made for {_HYDROMETER_C:g}\u202f°C."
        )
    bounds = (constituent.possible_lower, constituent.possible_upper)
    if bounds[0] <= number <= bounds[1]:
        return None
    value, name = _value(constituent, number, unit)
    sentence = f"{value} cannot be: {name} lies between {_between(constituent, bounds, unit)}."
    hint = _hint(constituent, number, unit)
    return f"{sentence} Did you mean {hint}?" if hint else sentence


def doubtful(
    constituent: Constituent, number: float, *, usual_upper: float | None = None, unit: str = ""
) -> str | None:
    """Return a question about a possible but unusual value, or None. `usual_upper` widens what is usual.

    `unit` is the one the value was written in, where it is not the constituent's own.
    """
    bounds = (constituent.usual_lower, max(constituent.usual_upper, usual_upper or constituent.usual_upper))
    if bounds[0] <= number <= bounds[1]:
        return None
    value, name = _value(constituent, number, unit)
    return f"{value} is unusual: {name} mostly lies between {_between(constituent, bounds, unit)}. Is it right?"


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


def _gravity_of(salinity_psu: float) -> float:
    """Return what a usual hydrometer shows."""
    return specific_gravity(salinity_psu, temperature_c=_HYDROMETER_C, reference_c=_HYDROMETER_C)


def plain(number: float) -> str:
    """Return a number without false digits."""
    return f"{number:.9g}"


def _value(constituent: Constituent, number: float, unit: str) -> tuple[str, str]:
    """Return the value as a sentence begins with it, and what the rest of the sentence calls the constituent."""
    if not _is_converted(constituent, number, unit):
        return f"{_capital(constituent.name)} of {plain(number)}", "it"
    kept = show(number, constituent.decimals, constituent.unit)
    return f"{_back(constituent, number, unit)}\u202f{unit} is {kept}, which", constituent.name


def _between(constituent: Constituent, bounds: tuple[float, float], unit: str) -> str:
    lower, upper = (plain(bound) for bound in bounds)
    own = f"{lower} and {_with_unit(upper, constituent)}"
    if not _is_converted(constituent, bounds[1], unit):
        return own
    lower, upper = (_back(constituent, bound, unit) for bound in bounds)
    return f"{own} ({lower} and {upper}\u202f{unit})"


def _hint(constituent: Constituent, number: float, unit: str) -> str:
    """Return what was probably meant: the number in our own unit, or with its decimal point elsewhere; or nothing."""
    usual = (constituent.usual_lower, constituent.usual_upper)
    if _is_converted(constituent, number, unit):
        written = _back(constituent, number, unit)
        return _with_unit(written, constituent) if usual[0] <= float(written) <= usual[1] else ""
    slip = slipped(number, *usual)
    return plain(slip) if slip is not None else ""


def _back(constituent: Constituent, number: float, unit: str) -> str:
    """Return a number of ours in the unit it was written in, without the digits conversion leaves behind."""
    return plain(float(f"{_unrounded_back(constituent, number, unit):.6g}"))


def _is_converted(constituent: Constituent, number: float, unit: str) -> bool:
    """Return whether the number is another one in the unit it was written in; ppm and mg/L are the same."""
    return bool(unit) and not isclose(_unrounded_back(constituent, number, unit), number, rel_tol=1e-6)


def _unrounded_back(constituent: Constituent, number: float, unit: str) -> float:
    # A unit written without its basis was taken in the constituent's own.
    own = basis_of(constituent.unit)
    full = f"{unit} {own}" if own is not None and basis_of(unit) is None else unit
    return to_canonical(number, constituent.unit, full)


def _capital(name: str) -> str:
    return name if name == "pH" else name[:1].upper() + name[1:]


def _with_unit(text: str, constituent: Constituent) -> str:
    return text if constituent.key == "ph" else f"{text}\u202f{constituent.unit}"
