"""How the bench says numbers, errors, ranges that were left, and sources."""

from collections.abc import Iterable, Mapping
from math import floor, isfinite, log10

from pratique.casework.bench.card import Line, Secondary
from pratique.casework.sheets import Reason
from pratique.knowledge import Figure
from pratique.science.chemistry.uncertainty import Propagated
from pratique.science.chemistry.validity import Validity, outside
from pratique.units import THIN_SPACE, show

_MOST_DECIMALS = 6
# From this much more above than below on, one number after ± would mislead.
_LOPSIDED = 1.25


def three_digits(value: float) -> int:
    """Return the decimals that leave three significant digits of a number, none for one of a hundred or more."""
    if not isfinite(value) or value == 0.0:
        return 2
    return min(_MOST_DECIMALS, max(0, 2 - floor(log10(abs(value)))))


def with_error(value: float, plus_minus: float, decimals: int, unit: str = "") -> str:
    """Return a number with its error: `35.0 ± 0.8 PSU`; without an error the number alone."""
    if plus_minus <= 0.0:
        return show(value, decimals, unit)
    smallest = 10.0**-decimals
    error = show(plus_minus, decimals, unit)
    if plus_minus < smallest / 2:
        error = f"less than {show(smallest, decimals, unit)}"
    return f"{show(value, decimals)} ± {error}"


def ends_of(found: Propagated) -> tuple[float, float] | None:
    """Return the ends of an answer's 95 % interval where they lie at plainly different distances, or None."""
    near, far = sorted((found.value - found.low, found.high - found.value))
    return (found.low, found.high) if far > _LOPSIDED * near else None


def with_ends(value: float, ends: tuple[float, float], decimals: int, unit: str = "") -> str:
    """Return a number with the ends of its 95 % interval: `0.033 (0.008 to 0.080) mg/L`."""
    low, high = (show(one, decimals) for one in ends)
    return f"{show(value, decimals)} ({low} to {high})" + (f"{THIN_SPACE}{unit}" if unit else "")


def carried(words: str, found: Propagated, decimals: int, unit: str = "", *, times: float = 1.0) -> Secondary:
    """Return a figure with the error that was carried to it, in another unit by a factor where one is given."""
    low, high = ends_of(found) or (None, None)
    return Secondary(
        words=words,
        value=found.value * times,
        unit=unit,
        decimals=decimals,
        plus_minus=found.plus_minus * times,
        low=low if low is None else low * times,
        high=high if high is None else high * times,
    )


def second(words: str, value: float, decimals: int, unit: str = "", plus_minus: float | None = None) -> Secondary:
    """Return a figure beside the answer."""
    return Secondary(words=words, value=value, unit=unit, decimals=decimals, plus_minus=plus_minus)


def line(words: str, value: float, decimals: int, unit: str = "") -> Line:
    """Return one line of the working with its number."""
    return Line(words, show(value, decimals, unit))


def extrapolated(validities: Iterable[Validity], values: Mapping[str, float]) -> tuple[str, ...]:
    """Return a sentence for each published range that was left; `values` are by the range's name in lower case."""
    found = []
    for one in validities:
        value = values.get(one.name.casefold())
        if value is not None and outside(one, value):
            span = f"{one.lower:g} to {one.upper:g}" + (f"\u202f{one.unit}" if one.unit else "")
            name = one.name if one.name.startswith("pH") else one.name[:1].upper() + one.name[1:]
            found.append(f"{name} {value:.4g} is outside the published range {span} ({one.source}): extrapolated.")
    return tuple(dict.fromkeys(found))


def reason_of(figure: Figure, words: str) -> Reason:
    """Return a figure of ours as a source."""
    return Reason(words, figure.source, figure.status)


def show_validity(one: Validity) -> str:
    """Return a published range that was left, without the value that left it."""
    name = one.name[:1].upper() + one.name[1:]
    span = f"{one.lower:g} to {one.upper:g}" + (f"\u202f{one.unit}" if one.unit else "")
    return f"{name} is outside the published range {span} ({one.source}): extrapolated."


def figure_words(one: Secondary) -> str:
    """Return a figure beside the answer as it is shown."""
    if one.low is not None and one.high is not None:
        return with_ends(one.value, (one.low, one.high), one.decimals, one.unit)
    return with_error(one.value, one.plus_minus or 0.0, one.decimals, one.unit)
