"""Specific gravity of seawater at any pair of temperatures, and salinity back from it.

A specific gravity means little without its two temperatures: that of the sample and that of the pure water it is held
against. Left unsaid they make 2.6 units of salinity. Not here: what a hydrometer's own glass does.
"""

import re
from dataclasses import dataclass
from typing import overload

from pratique.science.chemistry.density import density_kg_per_m3, salinity_from_density
from pratique.science.chemistry.domain import DomainError, Number, require_within

_SIXTY_F_C = (60.0 - 32.0) / 1.8


@dataclass(frozen=True)
class ReferencePair:
    """The two temperatures of a specific gravity in °C: the sample's, and the pure water's it is held against."""

    name: str
    temperature_c: float
    reference_c: float


REFERENCES = {
    pair.name: pair
    for pair in (
        ReferencePair("60F/60F", _SIXTY_F_C, _SIXTY_F_C),
        ReferencePair("20/20", 20.0, 20.0),
        ReferencePair("25/25", 25.0, 25.0),
        ReferencePair("20/4", 20.0, 4.0),
        ReferencePair("25/4", 25.0, 4.0),
        ReferencePair("25/20", 25.0, 20.0),
        ReferencePair("25/60F", 25.0, _SIXTY_F_C),
    )
}


@overload
def specific_gravity(salinity_psu: float, *, temperature_c: float, reference_c: float) -> float: ...
@overload
def specific_gravity(salinity_psu: Number, *, temperature_c: Number, reference_c: Number) -> Number: ...
def specific_gravity(salinity_psu: Number, *, temperature_c: Number, reference_c: Number) -> Number:
    """Return the specific gravity: density of the seawater over that of pure water at the reference temperature.

    Parameters
    ----------
    salinity_psu : practical salinity; 0 to 70. Published for 0 to 42.
    temperature_c, reference_c : °C, of the sample and of the pure water; -2 to 45. Published to 40.

    Raises
    ------
    DomainError   outside these ranges.

    Source
    ------
    TEOS-10 (IOC, SCOR & IAPSO 2010), both densities by the exact form.
    """
    return density_kg_per_m3(salinity_psu, temperature_c) / _pure_water_kg_per_m3(reference_c)


@overload
def salinity_from_specific_gravity(specific_gravity: float, *, temperature_c: float, reference_c: float) -> float: ...
@overload
def salinity_from_specific_gravity(
    specific_gravity: Number, *, temperature_c: Number, reference_c: Number
) -> Number: ...
def salinity_from_specific_gravity(specific_gravity: Number, *, temperature_c: Number, reference_c: Number) -> Number:
    """Return the practical salinity (PSU) of water with this specific gravity at this pair of temperatures.

    Parameters
    ----------
    specific_gravity : a plain number such as 1.026; 0.98 to 1.06.
    temperature_c, reference_c : °C, of the sample and of the pure water; -2 to 45. Published to 40.

    Raises
    ------
    DomainError   outside these ranges, if the water is lighter than fresh water, or if its salinity would be above 70.

    Source
    ------
    TEOS-10 (IOC, SCOR & IAPSO 2010), the exact form, inverted by `salinity_from_density`.
    """
    require_specific_gravity(specific_gravity)
    return salinity_from_density(specific_gravity * _pure_water_kg_per_m3(reference_c), temperature_c)


def parse_reference(text: str) -> ReferencePair:
    """Return the pair of temperatures that a text names: `25/25`, `20/4 °C`, `60F/60F`, `15,6/15,6`.

    Each temperature is in °C unless an F stands at it; an F at the end alone stands for both where the first could not
    be °C, as in `60/60F`. Raises DomainError with a sentence where the text names no such pair.
    """
    found = re.fullmatch(r"\s*(\d+(?:[.,]\d+)?)\s*°?([CF]?)\s*/\s*(\d+(?:[.,]\d+)?)\s*°?([CF]?)\s*", text.upper())
    if found is None:
        raise DomainError(
            f"“{text.strip()}” is not a pair of temperatures; write the sample's and the pure water's, like 25/25, "
            "20/4 or 60F/60F. They stand on the instrument or in its leaflet."
        )
    first, first_scale, second, second_scale = found.groups()
    if not first_scale and second_scale == "F" and _number(first) > 45.0:
        first_scale = "F"
    pair = (_celsius(first, first_scale), _celsius(second, second_scale))
    if not all(-2.0 <= one <= 45.0 for one in pair):
        raise DomainError(
            f"“{text.strip()}” would be hotter than water is kept; for degrees Fahrenheit write an F at both, 60F/60F."
        )
    known = next((one for one in REFERENCES.values() if (one.temperature_c, one.reference_c) == pair), None)
    return known or ReferencePair("/".join(f"{one:g}" for one in pair), *pair)


def require_specific_gravity(value: Number) -> None:
    """Raise DomainError unless every value is a specific gravity a keeper can meet, 0.98 to 1.06."""
    require_within("Specific gravity, a number like 1.026,", value, lower=0.98, upper=1.06)


def _pure_water_kg_per_m3(temperature_c: Number) -> Number:
    return density_kg_per_m3(0.0, temperature_c)


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _celsius(text: str, scale: str) -> float:
    return (_number(text) - 32.0) / 1.8 if scale == "F" else _number(text)
