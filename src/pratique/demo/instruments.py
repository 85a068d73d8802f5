"""Crude instruments: what a method shows of a true value, with its error, its rounding and its limits."""

from bisect import bisect_right
from dataclasses import dataclass
from random import Random

from pratique.knowledge import MethodFigure


@dataclass(frozen=True)
class Shown:
    """What the keeper sees: one value, or the two marks around it, or "below" or "above" a limit."""

    value: float | None = None
    low: float | None = None
    high: float | None = None
    below: float | None = None
    above: float | None = None


def look(method: MethodFigure, truth: float, rng: Random) -> Shown:
    """Return what the method shows of a true value, in the method's unit.

    Absolute and relative errors are independent and normal. Limits are tested on what the instrument perceives, then
    it rounds; a chart gives the two marks that enclose what the eye perceives.
    """
    perceived = truth + rng.gauss(0.0, method.absolute_sd) + truth * rng.gauss(0.0, method.relative_sd)
    if method.marks is not None:
        return _between_marks(method.marks, perceived)
    if method.lower_limit is not None and perceived < method.lower_limit:
        return Shown(below=method.lower_limit)
    if method.upper_limit is not None and perceived > method.upper_limit:
        return Shown(above=method.upper_limit)
    return Shown(value=_rounded(max(0.0, perceived), method.resolution))


def _between_marks(marks: tuple[float, ...], perceived: float) -> Shown:
    if perceived >= marks[-1]:
        return Shown(above=marks[-1])
    index = max(1, bisect_right(marks, perceived))
    return Shown(low=marks[index - 1], high=marks[index])


def _rounded(value: float, resolution: float) -> float:
    # The second rounding takes off the binary dust, so that entries hold 0.17 and not 0.17000000000000001.
    return round(round(value / resolution) * resolution, 6)
