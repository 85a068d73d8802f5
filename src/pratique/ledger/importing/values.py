"""One cell as numbers in our units: a value, an interval, or beyond what the test could show."""

import re

from pratique.units import AmbiguousNumber, WrongUnit, basis_of, parse_number, split_quantity, to_canonical

_NUMBER = r"[\d.,]+"
_INTERVAL = re.compile(rf"({_NUMBER})\s*(?:-|–|to)\s*({_NUMBER})\s*(\D.*)?", re.DOTALL)


def read_amount(text: str, unit: str | None, canonical: str, *, decimal_mark: str | None) -> float:
    """Return one number in the canonical unit; a unit in the cell wins over the column's.

    Raises NotANumber, AmbiguousNumber and WrongUnit.
    """
    number, own_unit = split_quantity(text)
    return _converted(careful_number(number or text, decimal_mark), resolved_unit(own_unit, unit, canonical), canonical)


def read_shape(text: str, unit: str | None, canonical: str, *, decimal_mark: str | None) -> dict[str, float]:
    """Return a reading's numbers by field: `value`, `low` and `high`, `below` (`<0.02`) or `above` (`>5`)."""
    bare = text.strip()
    for sign, field in (("<", "below"), (">", "above")):
        if bare.startswith(sign):
            return {field: read_amount(bare[1:], unit, canonical, decimal_mark=decimal_mark)}
    interval = _INTERVAL.fullmatch(bare)
    if interval is None:
        return {"value": read_amount(bare, unit, canonical, decimal_mark=decimal_mark)}
    own_unit = resolved_unit(interval[3] or "", unit, canonical)
    low, high = (_converted(careful_number(end, decimal_mark), own_unit, canonical) for end in interval.groups()[:2])
    return {"low": low, "high": high}


def careful_number(text: str, decimal_mark: str | None) -> float:
    """Return the number, but for a file whose decimal mark is not known do not guess what `1.350` means either."""
    bare = text.strip()
    if decimal_mark is None and re.fullmatch(r"[1-9]\d{0,2}\.\d{3}", bare):
        raise AmbiguousNumber(
            f"“{bare}” can be read as {bare.replace('.', '')} or as {bare}; say `decimal_mark` in the mapping."
        )
    return parse_number(bare, decimal_mark=decimal_mark)


def resolved_unit(own: str, columns: str | None, canonical: str) -> str:
    """Return the unit to read a cell in: its own with the column's basis, or the column's; raises WrongUnit."""
    basis = basis_of(columns) if columns is not None else None
    unit = own or columns or ("NBS" if canonical == "NBS" else "")
    if not unit:
        raise WrongUnit(f"There is no unit; write one such as {canonical}, or say `unit` in the mapping.")
    if own and basis is not None and basis_of(own) is None and basis_of(f"{own} {basis}") is not None:
        unit = f"{own} {basis}"
    if basis_of(canonical) is not None and basis_of(unit) is None:
        raise WrongUnit(f"{unit} of what? Write the unit with its basis, such as {canonical}.")
    return unit


def _converted(number: float, unit: str, canonical: str) -> float:
    converted = to_canonical(number, unit, canonical)
    # Six digits are more than any test gives; the rest would be noise of the conversion.
    return number if converted == number else float(f"{converted:.6g}")
