"""What the numbers of a card measure, and the units each may be written in."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite

from pratique.units import AmbiguousNumber, WrongUnit, parse_number, split_quantity, to_canonical

_LARGEST = 1e9


@dataclass(frozen=True)
class Measure:
    """One kind of quantity: the unit we reckon in, and the units offered, the assumed one first.

    `factors` are units that only the bench knows, each with what it is in the canonical one; all others are those of
    `pratique.units`. `least` is the smallest number that makes sense; `above_zero` leaves out the 0 as well. A comma
    that may part thousands or decimals is a decimal comma where the number then lies within `as_decimals`.
    """

    canonical: str
    units: tuple[str, ...] = ()
    factors: Mapping[str, float] = field(default_factory=dict)
    least: float | None = 0.0
    above_zero: bool = False
    as_decimals: tuple[float, float] | None = None

    def to_canonical(self, number: float, unit: str) -> float:
        """Return the number in our unit; no unit means that one. Raises WrongUnit with a sentence."""
        if not unit.strip() or _plain(unit) == _plain(self.canonical):
            return number
        factor = next((one for name, one in self.factors.items() if _plain(name) == _plain(unit)), None)
        if factor is not None:
            return number * factor
        try:
            return to_canonical(number, unit, self.canonical)
        except LookupError:
            known = ", ".join(dict.fromkeys((*self.units, *self.factors)))
            right = f"it can be {known}" if known else "write the number alone"
            raise WrongUnit(f"“{unit.strip()}” is not a unit this can be in; {right}.") from None

    def read(self, text: str, unit: str) -> tuple[float, str]:
        """Return the number in our unit and the unit it was written in. Raises ValueError with a sentence."""
        digits, written = split_quantity(text)
        given = written or unit
        number = self.to_canonical(self._number(digits or text), given)
        if not isfinite(number) or abs(number) > _LARGEST:
            raise ValueError(f"“{text.strip()}” is larger than anything this can be; check its decimal point.")
        if self.above_zero and number <= 0.0:
            raise ValueError(f"This must be more than 0; {text.strip()} is not.")
        if self.least is not None and number < self.least:
            raise ValueError(f"This cannot be below {self.least:g}; {text.strip()} is.")
        return number, given or self.canonical

    def _number(self, text: str) -> float:
        try:
            return parse_number(text)
        except AmbiguousNumber:
            if self.as_decimals is None or text.count(",") != 1:
                raise
            number = parse_number(text, decimal_mark=",")
            if not self.as_decimals[0] <= number <= self.as_decimals[1]:
                raise
            return number

    def width(self, value: float, text: str, unit: str) -> float:
        """Return an error as a width in our unit, from a text such as `0.5`, `1 °F` or `5 %` of the value."""
        digits, written = split_quantity(text)
        number = parse_number(digits or text)
        if number < 0.0:
            raise ValueError(f"An error cannot be below 0; {text.strip()} is.")
        if written == "%":
            return abs(value) * number / 100.0
        given = written or unit
        width = abs(self.to_canonical(number, given) - self.to_canonical(0.0, given))
        if not isfinite(width) or width > _LARGEST:
            raise ValueError(f"“{text.strip()}” is larger than any error can be; check its decimal point.")
        return width


def _plain(unit: str) -> str:
    return re.sub(r"\s+", "", unit).replace("μ", "µ").replace("³", "3").casefold()


PLAIN = Measure("")
PH = Measure("")
COUNT = Measure("")
VOLUME = Measure("L", ("L", "US gal", "mL", "imperial gal"), above_zero=True)
CHANGED = Measure("L", (*VOLUME.units, "%"), above_zero=True)
SMALL_VOLUME = Measure("mL", ("mL", "L"), above_zero=True)
TEMPERATURE = Measure("°C", ("°C", "°F"), least=None)
SALINITY = Measure("PSU", ("PSU", "ppt"))
CONDUCTIVITY = Measure(
    "mS/cm",
    ("mS/cm", "µS/cm", "S/m"),
    {"µS/cm": 1e-3, "uS/cm": 1e-3, "S/m": 10.0, "mS": 1.0, "µS": 1e-3, "S/cm": 1e3},
    above_zero=True,
)
# All that a hydrometer for seawater is marked with: common practice, no source.
SPECIFIC_GRAVITY = Measure("", above_zero=True, as_decimals=(0.98, 1.06))
DENSITY = Measure(
    "kg/m³",
    ("kg/m³", "g/mL"),
    {"g/mL": 1e3, "g/cm³": 1e3, "kg/L": 1e3, "g/L": 1.0},
    above_zero=True,
)
CONCENTRATION = Measure("mg/L", ("mg/L", "µg/L"))
STRENGTH = Measure("mg/mL", ("mg/mL", "g/L"), {"g/L": 1.0, "mg/L": 1e-3, "ppm": 1e-3, "µg/mL": 1e-3}, above_zero=True)
ALKALINITY = Measure("dKH", ("dKH", "meq/L", "mg/L CaCO3"))
PER_KG = Measure("µmol/kg", ("µmol/kg", "mmol/kg"), {"umol/kg": 1.0, "mmol/kg": 1e3, "mol/kg": 1e6})
CO2 = Measure("µatm", ("µatm",), {"uatm": 1.0, "ppm": 1.0, "ppmv": 1.0, "atm": 1e6, "Pa": 9.869233}, above_zero=True)
PERCENT = Measure("%", ("%",))
# 1 atm is 1013.25 hPa by definition.
PRESSURE = Measure(
    "hPa",
    ("hPa", "atm", "inHg"),
    {"mbar": 1.0, "atm": 1013.25, "inHg": 33.8639, "mmHg": 1.333224, "kPa": 10.0},
    above_zero=True,
)
MASS = Measure("g", ("g", "mg", "kg", "oz", "lb"), {"oz": 28.349523125, "lb": 453.59237}, above_zero=True)
HOURS = Measure("h", ("h", "days"), {"hours": 1.0, "days": 24.0, "d": 24.0, "min": 1.0 / 60.0}, above_zero=True)
DAYS = Measure("days", ("days", "h"), {"d": 1.0, "day": 1.0, "h": 1.0 / 24.0, "hours": 1.0 / 24.0}, above_zero=True)
PER_DAY = Measure("PSU a day", ("PSU a day",), {"PSU/day": 1.0, "PSU/d": 1.0, "PSU": 1.0}, above_zero=True)
PER_HOUR = Measure("per hour", ("per hour",), {"/h": 1.0, "1/h": 1.0, "per h": 1.0})


def part_of(volume_l: float) -> Measure:
    """Return how water taken out of a volume (L) is written: as a volume, or in per cent of all there is."""
    whole = volume_l if isfinite(volume_l) else 100.0
    return Measure("L", CHANGED.units, {"%": whole / 100.0}, above_zero=True)
