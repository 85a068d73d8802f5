"""Put an answer together from what was reckoned: its error, its working from the inputs on, its sources."""

from collections.abc import Callable, Mapping
from typing import TypedDict, Unpack

from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.card import BenchAnswer, Line, Secondary
from pratique.casework.bench.quantities import MASS, VOLUME
from pratique.casework.bench.saying import ends_of, second, three_digits, with_ends, with_error
from pratique.casework.sheets import NextStep, Reason
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.uncertainty import Propagated, propagate_skewed


class Rest(TypedDict, total=False):
    """The parts of an answer that not every card has."""

    cautions: tuple[str, ...]
    warnings: tuple[str, ...]
    volume_words: str
    extrapolated: tuple[str, ...]
    more: tuple[Secondary, ...]
    steps: tuple[Line, ...]
    entry: NextStep | None


class Said(TypedDict):
    """How the answer is said: its unit, its decimals, and the sentence, with {} where the number stands."""

    unit: str
    decimals: int
    words: str


def answered(
    asked: Asking,
    found: Propagated,
    inputs: Mapping[str, Measured],
    *,
    said: Said,
    working: tuple[Line, ...] = (),
    sources: tuple[Reason, ...],
    **rest: Unpack[Rest],
) -> BenchAnswer:
    """Return the answer: the inputs head the working, and what was assumed stands behind the sources."""
    given = tuple(Line(one.label, one.shown) for one in inputs.values())
    rest["more"] = (*_american(found, said["unit"], inputs), *rest.get("more", ()))
    ends = ends_of(found)
    if ends is None:
        number = with_error(found.value, found.plus_minus, said["decimals"], said["unit"])
    else:
        number = with_ends(found.value, ends, said["decimals"], said["unit"])
    low, high = ends or (None, None)
    return BenchAnswer(
        value=found.value,
        unit=said["unit"],
        plus_minus=found.plus_minus,
        decimals=said["decimals"],
        words=said["words"].replace("{}", number),
        working=(*given, *working),
        sources=tuple(dict.fromkeys((*sources, *asked.assumed_sources))),
        dominated_by=inputs[found.dominated_by].label if found.dominated_by in inputs else "",
        assumed=tuple(asked.assumed),
        low=low,
        high=high,
        **rest,
    )


def carry_skewed(asked: Asking, function: Callable[..., float], inputs: Mapping[str, Measured]) -> Propagated:
    """Return what `Asking.carry` does, for an answer that goes by factors and so errs farther up than down."""
    asked.settle()
    try:
        return propagate_skewed(function, {name: one.uncertain for name, one in inputs.items()})
    except DomainError as problem:
        raise asked.not_in_domain(problem, inputs.values()) from None


def _american(found: Propagated, unit: str, inputs: Mapping[str, Measured]) -> tuple[Secondary, ...]:
    """Return litres in gallons and kilograms in pounds for who wrote gallons or degrees Fahrenheit."""
    if not any(one.shown.endswith(("US gal", "°F")) for one in inputs.values()):
        return ()
    others = {"L": ("US gal", VOLUME.to_canonical(1.0, "US gal")), "kg": ("lb", MASS.to_canonical(1.0, "lb") / 1000.0)}
    if unit not in others:
        return ()
    other, factor = others[unit]
    value = found.value / factor
    return (second(f"The same in {other}", value, three_digits(value), other, found.plus_minus / factor),)
