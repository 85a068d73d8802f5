"""Weight against length: W = a·Lᵇ in grams and centimetres, and how one animal stands to it."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from pratique.science.chemistry.domain import DomainError, require_above_zero
from pratique.science.estimation.reading import NORMAL_95


@dataclass(frozen=True)
class WeightCurve:
    """a and b for grams and centimetres; `ln_sd` is the spread of one animal's ln weight about the curve, one sd."""

    a: float
    b: float
    ln_sd: float

    def weight_g(self, length_cm: float) -> float:
        """Return the weight on the curve; raises DomainError for a length that is not above zero."""
        require_above_zero("The length", length_cm, unit="cm")
        return float(self.a * length_cm**self.b)


@dataclass(frozen=True)
class Range:
    """A middle value with its 95 % range; the error is a factor, so the range is wider above than below."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Against:
    """An animal's weight over the curve's, and the probability that it is lighter than a part of it."""

    relative: Range
    probability_light: float


def a_for_cm(a_for_mm: float, b: float) -> float:
    """Return a for centimetres from a for millimetres, both with grams (FishBase manual)."""
    return float(a_for_mm * 10.0**b)


def fulton_k(weight_g: float, length_cm: float) -> float:
    """Return Fulton's condition factor 100·W/L³; it rests on which length was taken. Raises DomainError."""
    require_above_zero("The weight", weight_g, unit="g")
    require_above_zero("The length", length_cm, unit="cm")
    return 100.0 * weight_g / length_cm**3


def mean_k(curve: WeightCurve, length_cm: float) -> float:
    """Return the condition factor on the curve at a length, 100·a·Lᵇ⁻³ (Froese 2006). Raises DomainError."""
    return fulton_k(curve.weight_g(length_cm), length_cm)


def relative_condition(weight_g: float, length_cm: float, curve: WeightCurve) -> float:
    """Return Kn, the weight over that of the animal's own curve (Le Cren 1951). Raises DomainError."""
    require_above_zero("The weight", weight_g, unit="g")
    return weight_g / curve.weight_g(length_cm)


def relative_weight(weight_g: float, length_cm: float, curves: Iterable[tuple[float, float]]) -> float:
    """Return W_rm = 100·W/(a_m·L^b_m) over many curves (a, b) of a species (Froese 2006).

    a_m is the geometric mean of the a, b_m the mean of the b. Raises DomainError where there is no curve.
    """
    known = tuple(curves)
    if not known:
        raise DomainError("At least one curve is needed for a relative weight.")
    a_m = math.exp(math.fsum(math.log(a) for a, _ in known) / len(known))
    b_m = math.fsum(b for _, b in known) / len(known)
    return 100.0 * relative_condition(weight_g, length_cm, WeightCurve(a_m, b_m, 0.0))


def curve_between(a_range: tuple[float, float], b: float, *, a: float, individual_error: float) -> WeightCurve:
    """Return a curve from the 95 % range of its a between kinds, and the average error of one animal's weight.

    The average error is a part of the weight; for a normal error one sd is √(π/2) of it. The range of b is left out:
    high a go with low b (Froese 2006), so that at the lengths kept at home the range of a alone already says too much.
    """
    low, high = a_range
    between = math.log(high / low) / (2.0 * NORMAL_95)
    return WeightCurve(a, b, math.hypot(between, math.sqrt(math.pi / 2.0) * individual_error))


def weight_from_length(curve: WeightCurve, length_cm: float, *, length_error: float) -> Range:
    """Return the weight a length lets expect, in grams; `length_error` is one sd as a part of the length."""
    return _range(curve.weight_g(length_cm), math.hypot(curve.ln_sd, curve.b * length_error))


def against_curve(
    weight_g: float,
    length_cm: float,
    curve: WeightCurve,
    *,
    weight_error: float,
    length_error: float,
    light_below: float,
) -> Against:
    """Return how an animal's weight stands to the curve; errors are one sd as a part of what was measured.

    `light_below` is the part of the curve's weight under which an animal counts as light. Raises DomainError.
    """
    require_above_zero("The part under which an animal is light", light_below)
    relative = relative_condition(weight_g, length_cm, curve)
    sd = math.hypot(math.hypot(curve.ln_sd, weight_error), curve.b * length_error)
    if not sd > 0.0:
        raise DomainError("A weight against a curve needs an error above zero.")
    score = math.log(light_below / relative) / sd
    return Against(_range(relative, sd), 0.5 * math.erfc(-score / math.sqrt(2.0)))


def _range(value: float, ln_sd: float) -> Range:
    factor = math.exp(NORMAL_95 * ln_sd)
    return Range(value, value / factor, value * factor)
