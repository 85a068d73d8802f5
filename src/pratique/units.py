"""Quantities at the edges: read what a keeper wrote, check its dimension, move it to our unit, and show it."""

import re
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pint import UnitRegistry

# Narrow, and no line breaks at it: a number never stands alone at the end of a line.
THIN_SPACE = "\u202f"
MINUS = "\u2212"


class NotANumber(ValueError):
    """The text is not a number; the sentence says what one looks like."""


class AmbiguousNumber(ValueError):
    """The text can be read as two different numbers; the sentence names both."""


class WrongUnit(ValueError):
    """The unit does not fit what is asked; the sentence names what would."""


@dataclass(frozen=True)
class _Quantity:
    """What units measure; each has Pint's own word for it, or our factor to the canonical unit where it has none."""

    name: str
    right: str
    units: dict[str, str | float]


_QUANTITIES = (
    _Quantity(
        "Volume",
        "in litres or US gallons",
        {"L": "liter", "mL": "milliliter", "US gal": "US_liquid_gallon", "imperial gal": "imperial_gallon"},
    ),
    _Quantity("Temperature", "in °C or °F", {"°C": "degC", "°F": "degF"}),
    # ppm is mg/L and ppb is µg/L by the convention of hobby tests, not mg/kg as in oceanography.
    _Quantity(
        "Concentration",
        "in mg/L (the same as ppm) or µg/L (the same as ppb)",
        {"mg/L": "mg/L", "ppm": "mg/L", "µg/L": "ug/L", "ppb": "ug/L", "g/L": "g/L"},
    ),
    _Quantity("Mass", "in grams or milligrams", {"g": "gram", "mg": "milligram", "kg": "kilogram"}),
    _Quantity("Length", "in centimetres or inches", {"cm": "centimeter", "mm": "millimeter", "in": "inch"}),
    _Quantity(
        "Alkalinity",
        "in dKH, meq/L or mg/L CaCO3",
        # 2.8 by convention; see `to_canonical`.
        {"dKH": 1.0, "meq/L": 2.8, "mg/L CaCO3": 2.8 / 50, "ppm CaCO3": 2.8 / 50},
    ),
    # A hobby scale in parts per thousand is read as practical salinity: common practice, no source.
    _Quantity("Salinity", "in PSU", {"PSU": 1.0, "ppt": 1.0}),
    _Quantity("pH", "a plain number, and its scale is said beside it", {"NBS": 1.0}),
)

# How keepers write units, in lower case and without spaces, where it is not simply the unit itself.
_SPELLINGS = {
    "L": "litre litres liter liters ltr",
    "mL": "millilitre millilitres milliliter milliliters",
    # A bare gallon is taken as the US one, the only gallon a household can choose here.
    "US gal": "gal gals gallon gallons usgallon usgallons",
    "imperial gal": "impgal imperialgallon imperialgallons ukgal ukgallons",
    "°C": "c degc celsius ℃",
    "°F": "f degf fahrenheit ℉",
    "µg/L": "ug/l",
    "g": "gram grams gr",
    "mg": "milligram milligrams",
    "in": "inch inches",
    "cm": "centimetre centimetres centimeter centimeters",
    "dKH": "°dkh °kh kh",
    "meq/L": "meq",
    "mg/L CaCO3": "mg/lascaco3",
    "ppm CaCO3": "ppmascaco3",
    "ppt": "‰",
    "NBS": "ph phnbs",
}
_SPECIFIC_GRAVITY = {"sg", "specificgravity", "s.g.", "d"}
_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉μ", "0123456789µ")

# Standard atomic masses, abridged (IUPAC 2021), g/mol.
_H, _N, _O, _P, _SI = 1.008, 14.007, 15.999, 30.974, 28.085
# Each basis: the element it counts, one atom of it in every formula here, and its molar mass.
_BASES: dict[str, tuple[str, float]] = {
    "N": ("N", _N),
    "NH3": ("N", _N + 3 * _H),
    "NH4": ("N", _N + 4 * _H),
    "NO2": ("N", _N + 2 * _O),
    "NO3": ("N", _N + 3 * _O),
    "P": ("P", _P),
    "PO4": ("P", _P + 4 * _O),
    "Si": ("Si", _SI),
    "SiO2": ("Si", _SI + 2 * _O),
}
_BASIS_SPELLINGS = {name.lower(): name for name in _BASES} | {
    "no3-n": "N", "no3n": "N", "no2-n": "N", "no2n": "N", "nh3-n": "N", "nh3n": "N", "nh4-n": "N", "nh4n": "N",
    "tan": "N", "po4-p": "P", "po4p": "P", "no3-": "NO3", "no2-": "NO2", "nh4+": "NH4",
}  # fmt: skip


def parse_number(text: str, *, decimal_mark: str | None = None) -> float:
    """Return the number a keeper wrote: decimal point or comma, thousands set apart by spaces.

    With `decimal_mark` ("." or ",") the other one parts thousands. Without it a single point is the decimal point.
    Raises NotANumber, and AmbiguousNumber where a comma or points may part thousands or decimals.
    """
    bare = re.sub(r"(?<=\d)[ \u00a0\u2009\u202f](?=\d{3}(?!\d))", "", text.strip()).replace(MINUS, "-")
    if not re.fullmatch(r"[+-]?(\d[\d.,]*|[.,]\d+)([eE][+-]?\d{1,2})?", bare):
        raise NotANumber(f"“{text.strip()}” is not a number; write it like 0.18 or 0,18.")
    if decimal_mark is not None:
        plain = _with_point(bare, decimal_mark)
    elif "," in bare and "." in bare:
        plain = _with_point(bare, max(",.", key=bare.rfind))
    elif re.fullmatch(r"[+-]?[1-9]\d{0,2}(,\d{3}|([.,]\d{3}){2,})", bare):
        digits = re.sub(r"[.,]", "", bare)
        first = re.split(r"[.,]", bare)[0]
        raise AmbiguousNumber(
            f"“{text.strip()}” can be read as {digits} or as {first}.{digits[len(first) :]}; write it without the mark "
            "that parts thousands, or with a decimal point."
        )
    else:
        plain = bare.replace(",", ".")
    try:
        return float(plain)
    except ValueError:
        raise NotANumber(f"“{text.strip()}” is not a number; write it like 0.18 or 0,18.") from None


def _with_point(bare: str, decimal_mark: str) -> str:
    """Return the digits with a decimal point; text with thousands not in threes comes back as it is, unreadable."""
    thousands = "." if decimal_mark == "," else ","
    whole, _, rest = bare.partition(decimal_mark)
    if thousands in rest or (thousands in whole and not re.fullmatch(rf"[+-]?\d{{1,3}}(\{thousands}\d{{3}})+", whole)):
        return bare + "?"
    return whole.replace(thousands, "") + ("." + rest if rest else "")


def to_canonical(number: float, unit_text: str, canonical_unit: str) -> float:
    """Return the number in our canonical unit for it, such as `L`, `°C` or `mg/L NO3`.

    A unit without a basis (`ppm` for nitrate) is taken in the canonical unit's own; `basis_of` says whether one was
    named. Alkalinity: 1 meq/L = 2.8 dKH by convention (2.8039 exactly) and 50 mg/L CaCO3. Raises WrongUnit.
    """
    quantity, unit, basis = _known_unit(canonical_unit)
    try:
        theirs, their_unit, their_basis = _known_unit(unit_text)
    except LookupError:
        if _squeezed(unit_text) in _SPECIFIC_GRAVITY:
            raise WrongUnit(_SPECIFIC_GRAVITY_SENTENCE) from None
        raise WrongUnit(f"“{unit_text.strip()}” is not a unit known here; {_right(quantity, basis)}.") from None
    if theirs is not quantity or (their_basis is not None and basis is None):
        raise WrongUnit(f"{_right(quantity, basis)}, not {unit_text.strip()}.")
    converted = _convert(number, quantity.units[their_unit], quantity.units[unit])
    if their_basis is None or basis is None:
        return converted
    return to_basis(converted, their_basis, basis)


_SPECIFIC_GRAVITY_SENTENCE = (
    "Salinity is in PSU here, not specific gravity, which means little without its two temperatures; the bench turns "
    "one into the other, under Salinity."
)


def basis_of(unit_text: str) -> str | None:
    """Return the basis a unit names (`NO3`, `N`, …), or None; an unknown unit names none."""
    try:
        return _known_unit(unit_text)[2]
    except LookupError:
        return None


def to_basis(number: float, basis: str, wanted: str) -> float:
    """Return a mass concentration given as one basis (`NO3-N`, `P`, …) as another, by molar mass (IUPAC 2021).

    Raises WrongUnit where the two are different substances, such as nitrate and nitrite.
    """
    given_key, wanted_key = _basis_key(basis), _basis_key(wanted)
    given_element, given_mass = _BASES[given_key]
    wanted_element, wanted_mass = _BASES[wanted_key]
    pair = {given_key, wanted_key}
    is_same_substance = len(pair) == 1 or bool(pair & {"N", "P", "Si"}) or pair == {"NH3", "NH4"}
    if given_element != wanted_element or not is_same_substance:
        raise WrongUnit(f"A value as {basis} cannot be told as {wanted}: they are different substances.")
    return number * wanted_mass / given_mass


def parse_quantity(text: str, canonical_unit: str, *, decimal_mark: str | None = None) -> float:
    """Return a number with its unit, such as `12 gal` or `78 °F`, in the canonical unit; no unit means that one.

    Raises NotANumber, AmbiguousNumber and WrongUnit.
    """
    number, unit = split_quantity(text)
    return to_canonical(parse_number(number, decimal_mark=decimal_mark), unit or canonical_unit, canonical_unit)


def split_quantity(text: str) -> tuple[str, str]:
    """Return the number part and the unit part of a text; either may be empty."""
    found = re.match(r"\s*([+\-−]?[\d.,](?:[\d.,\s]*[\d.,])?(?:[eE][+-]?\d{1,2})?)\s*(.*?)\s*$", text, re.DOTALL)
    return (found[1], found[2]) if found else ("", text.strip())


def show(number: float, decimals: int, unit: str = "") -> str:
    """Return a number with this many decimals, a true minus sign, and its unit after a thin space."""
    rounded = round(number, decimals) + 0.0
    digits = f"{rounded:.{decimals}f}".replace("-", MINUS)
    return f"{digits}{THIN_SPACE}{unit}" if unit else digits


def _squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text.translate(_SUBSCRIPTS)).lower()


@cache
def _names() -> dict[str, tuple[_Quantity, str]]:
    by_unit = {unit: quantity for quantity in _QUANTITIES for unit in quantity.units}
    names = {_squeezed(unit): (quantity, unit) for unit, quantity in by_unit.items()}
    return names | {word: (by_unit[unit], unit) for unit, words in _SPELLINGS.items() for word in words.split()}


def _known_unit(text: str) -> tuple[_Quantity, str, str | None]:
    """Return what a unit measures, its own name, and the basis it names; LookupError for one not known."""
    squeezed = _squeezed(text)
    if squeezed in _names():
        return *_names()[squeezed], None
    found = re.fullmatch(r"(mg/l|ppm|µg/l|ug/l|ppb|g/l)(?:as)?(.+)", squeezed)
    if found is None or found[2] not in _BASIS_SPELLINGS:
        raise LookupError(text)
    return *_names()[found[1]], _BASIS_SPELLINGS[found[2]]


def _basis_key(basis: str) -> str:
    try:
        return _BASIS_SPELLINGS[_squeezed(basis)]
    except KeyError:
        raise WrongUnit(f"“{basis}” is not a basis known here; such are NO3, NO3-N, PO4, P, NH3 and NH4.") from None


def _right(quantity: _Quantity, basis: str | None) -> str:
    return f"{quantity.name} is {quantity.right}" + (f", counted as {basis}" if basis is not None else "")


@cache
def _registry() -> "UnitRegistry[Any]":
    # Pint takes most of a second to read its definitions, so only who converts pays for it.
    from pint import UnitRegistry  # noqa: PLC0415

    return UnitRegistry()


def _convert(number: float, given: str | float, wanted: str | float) -> float:
    if given == wanted:
        return number
    if isinstance(given, float) and isinstance(wanted, float):
        return number * given / wanted
    return float(_registry().Quantity(number, str(given)).to(str(wanted)).magnitude)
