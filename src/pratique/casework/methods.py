"""How a reading was taken, and what it says with its error."""

import math
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from pratique import knowledge
from pratique.casework.words import amount, plus_minus
from pratique.knowledge import CopperForm
from pratique.ledger.household import Household
from pratique.ledger.kinds.water import Reading
from pratique.ledger.states import MethodState
from pratique.science.estimation.reading import Method, Observed, Range, reading_range, sd_at

NAME_OF_UNKNOWN = "method not named"


@dataclass(frozen=True)
class NamedMethod:
    """A method of reading with the name the keeper knows it by."""

    key: str
    name: str
    error: Method
    constituents: tuple[str, ...]
    copper_forms: tuple[CopperForm, ...] = ()

    def reads(self, form: CopperForm) -> bool:
        """Return whether it can read copper of this form; a method that names no form is not held to any."""
        return not self.copper_forms or form in self.copper_forms


@cache
def _not_named(constituent: str) -> NamedMethod:
    """Return what stands where a reading names no method: the crudest built-in error for this constituent.

    So nothing looks surer than it is. A constituent no built-in method reads gets a wide relative error.
    """
    usual = [one for one in knowledge.methods() if constituent in one.constituents and _is_usual(one)]
    if not usual:
        error = Method(0.0, 0.0, knowledge.figure("method.not_named_relative_sd").value)
    else:
        error = Method(0.0, max(map(_absolute_sd, usual)), max(one.relative_sd for one in usual))
    return NamedMethod(key="", name=NAME_OF_UNKNOWN, error=error, constituents=())


def _is_usual(one: knowledge.MethodFigure) -> bool:
    """Return whether a method is one for everyday use; a chart for bound copper is not."""
    return not one.copper_forms or CopperForm.IONIC in one.copper_forms


def _absolute_sd(one: knowledge.MethodFigure) -> float:
    """Return a method's absolute error; a chart's is that of a flat interval as wide as its smallest step."""
    if one.marks is None:
        return one.absolute_sd
    return min(upper - lower for lower, upper in pairwise(one.marks)) / 12**0.5


@cache
def _built_in() -> dict[str, NamedMethod]:
    return {one.key: _named(one) for one in knowledge.methods()}


def _named(one: knowledge.MethodFigure | MethodState) -> NamedMethod:
    error = Method(one.resolution or 0.0, one.absolute_sd, one.relative_sd, one.lower_limit, one.upper_limit, one.marks)
    # An edited built-in method still reads the same form of copper.
    forms = next((built_in.copper_forms for built_in in knowledge.methods() if built_in.key == one.key), ())
    return NamedMethod(key=one.key, name=one.name, error=error, constituents=one.constituents, copper_forms=forms)


def methods_of(household: Household) -> dict[str, NamedMethod]:
    """Return every method by key: the built-in ones, and the household's own or edited ones over them."""
    return _built_in() | {own.key: _named(own) for own in household.methods.values()}


def method_of(household: Household, key: str | None, constituent: str) -> NamedMethod:
    """Return a method by key; where none was named, or none of that name is known, one with a crude error."""
    own = household.methods.get(key or "")
    return _named(own) if own is not None else _built_in().get(key or "", _not_named(constituent))


def method_by(household: Household, reading: Reading) -> NamedMethod:
    """Return the method a reading was taken by."""
    return method_of(household, reading.method, reading.constituent)


def observed_of(reading: Reading) -> Observed:
    """Return the reading in the shape science takes."""
    return Observed(value=reading.value, low=reading.low, high=reading.high, below=reading.below, above=reading.above)


def range_of(household: Household, reading: Reading) -> Range:
    """Return what a reading says, with 95 %."""
    return reading_range(method_by(household, reading).error, observed_of(reading))


def sd_of(household: Household, reading: Reading) -> float:
    """Return one standard deviation of a reading: its method's, or a sixth of what an interval spans."""
    method = method_by(household, reading).error
    if reading.value is not None and method.marks is None:
        return sd_at(method, reading.value)
    spread = reading_range(method, observed_of(reading))
    # A flat interval of width w has the standard deviation w/√12.
    return (spread.high - spread.low) / 12**0.5


def reading_words(household: Household, reading: Reading) -> str:
    """Return a reading with its error in words: `0.18 ± 0.03 mg/L`, `0.1 to 0.2 mg/L`, `below 0.02 mg/L`.

    Beyond what its method can read it is a bound: `above 3.00 mg/L`. The scale of a pH is named where it is not NBS.
    """
    scale = "" if reading.scale == "nbs" else f" on the {reading.scale} scale"
    return f"{_number_words(household, reading)}{scale}"


def _number_words(household: Household, reading: Reading) -> str:
    figure = knowledge.constituent_or_unknown(reading.constituent)
    unit = "" if reading.constituent == "ph" else figure.unit
    spread, error = range_of(household, reading), method_by(household, reading).error
    if reading.below is not None:
        return f"below {amount(reading.below, figure.decimals, unit)}"
    if math.isinf(spread.high):
        return f"above {amount(spread.low, figure.decimals, unit)}"
    if reading.value is not None and error.lower_limit is not None and reading.value < error.lower_limit:
        return f"below {amount(error.lower_limit, figure.decimals, unit)}"
    if reading.low is not None or error.marks is not None:
        return f"{amount(spread.low, figure.decimals)} to {amount(spread.high, figure.decimals, unit)}"
    return plus_minus(spread.centre, (spread.high - spread.low) / 2, figure.decimals, unit)
