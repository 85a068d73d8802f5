"""What is known of one animal's body: length, weight, how it stands to its shape of body, and days without loss."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from pratique import knowledge
from pratique.casework.concerns.pieces import reason
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets.body import BodyTold
from pratique.casework.sheets.lines import Reason
from pratique.casework.timeline import at_days
from pratique.casework.words import amount, days_words, percent, plus_minus, sentence_case, when
from pratique.knowledge import BodyShape
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.animals import Observation
from pratique.science.estimation.reading import NORMAL_95
from pratique.science.health.condition_curve import (
    WeightCurve,
    against_curve,
    curve_between,
    fulton_k,
    mean_k,
    weight_from_length,
)
from pratique.science.health.condition_holding import Holding, holding

_HOW_LENGTH = "not known. Write its whole length, tail fin included, with “Write what you see”."
_HOW_PICTURES = "not known. Photograph it side-on on two days, and set four points on each picture."
_OWN_TREND = "Its own pictures over weeks tell thin from stout better than any curve."


@dataclass(frozen=True)
class _Measured:
    """A number and when it was taken."""

    value: float
    at: datetime


def body_told(health: AnimalHealth, seen: Iterable[Recorded]) -> BodyTold:
    """Return what is told of a fish's body; `seen` are the observations of it, the oldest first."""
    length, weight = _newest(health, seen)
    shape = knowledge.body_shape_of(knowledge.species_or_unknown(health.animal.species))
    held = holding_of(health)
    lines = (
        ("Length", _length_words(health, length)),
        ("Weight", _weight_words(health, length, weight, shape)),
        *_against(length, weight, shape),
        *_depth(health),
        ("Days without loss", _holding_words(health, held)),
    )
    return BodyTold(lines, (*_curve_reasons(shape if length else None, is_weighed=weight is not None), *_reasons(held)))


def curve_of(shape: BodyShape) -> WeightCurve:
    """Return the curve of a shape of body with the spread of one animal about it."""
    error = knowledge.figure("condition.individual_weight_error").value
    return curve_between(shape.a_range, shape.b, a=shape.a, individual_error=error)


def _newest(health: AnimalHealth, seen: Iterable[Recorded]) -> tuple[_Measured | None, _Measured | None]:
    """Return the newest length in cm, that of its arrival where no newer is known, and the newest weight in g."""
    animal = health.animal
    length = None if animal.length_cm is None else _Measured(animal.length_cm, animal.stays[0].since)
    weight = None
    for one in seen:
        if isinstance(one.payload, Observation):
            if one.payload.length_cm is not None:
                length = _Measured(one.payload.length_cm, one.happened_at)
            if one.payload.weight_g is not None:
                weight = _Measured(one.payload.weight_g, one.happened_at)
    return length, weight


def _length_words(health: AnimalHealth, length: _Measured | None) -> str:
    if length is None:
        return _HOW_LENGTH
    error = NORMAL_95 * knowledge.figure("condition.length_error").value * length.value
    decimals = 1 if error < 1.0 else 0
    return f"{plus_minus(length.value, error, decimals, 'cm')}, {_when(health, length.at)}"


def _weight_words(
    health: AnimalHealth, length: _Measured | None, weight: _Measured | None, shape: BodyShape | None
) -> str:
    if weight is not None:
        error = NORMAL_95 * knowledge.figure("condition.weight_error").value * weight.value
        words = plus_minus(weight.value, error, _decimals(error), "g")
        return f"{words}, weighed {_when(health, weight.at)}"
    if length is None:
        return "not known: neither weight nor length is written."
    if shape is None:
        return "not known: no curve of weight against length fits its shape."
    found = weight_from_length(
        curve_of(shape), length.value, length_error=knowledge.figure("condition.length_error").value
    )
    decimals = _decimals(found.value / 2)
    low, high = (amount(one, decimals) for one in (found.low, found.high))
    return (
        f"about {amount(found.value, decimals, 'g')} from its length alone, {low} to {high} with 95\u202f%; "
        f"by the curve of {shape.name}"
    )


def _against(length: _Measured | None, weight: _Measured | None, shape: BodyShape | None) -> Iterator[tuple[str, str]]:
    """Yield how a weighed animal of known length stands to its shape of body."""
    if length is None or weight is None:
        return
    k = amount(fulton_k(weight.value, length.value), 2)
    if shape is None:
        yield "Against its shape", f"not known: no curve fits it. Its condition factor 100·W/L³ is {k}."
        return
    light_below = knowledge.figure("condition.light_below").value
    found = against_curve(
        weight.value,
        length.value,
        curve_of(shape),
        weight_error=knowledge.figure("condition.weight_error").value,
        length_error=knowledge.figure("condition.length_error").value,
        light_below=light_below,
    )
    one = found.relative
    doubt = f" {_OWN_TREND}" if one.low < 1.0 < one.high else ""
    yield (
        "Against its shape",
        f"{amount(one.value, 2)} times what {shape.name} of its length weigh "
        f"({amount(one.low, 2)} to {amount(one.high, 2)} with 95\u202f%); {percent(found.probability_light)} likely "
        f"to be light, under {light_below:g} times. Its condition factor 100·W/L³ is {k}, on the curve "
        f"{amount(mean_k(curve_of(shape), length.value), 2)}.{doubt}",
    )


def _depth(health: AnimalHealth) -> Iterator[tuple[str, str]]:
    """Yield the newest depth over length, and that of its kind where it is in print."""
    ratios = health.depth_ratios
    if not ratios:
        return
    newest = ratios[-1]
    error = NORMAL_95 * newest.sd
    words = plus_minus(newest.depth_over_length, error, 3 if error < 0.01 else 2)
    of_kind = knowledge.body_depth_of(knowledge.species_or_unknown(health.animal.species))
    kind = f"; {amount(of_kind.low, 2)} to {amount(of_kind.high, 2)} in print for its kind" if of_kind else ""
    yield "Depth over length", f"{words}, {_when(health, at_days(newest.at_day))}{kind}"


def holding_of(health: AnimalHealth) -> Holding | None:
    """Return how many days a fish has held its depth over length; None without pictures of two days."""
    return holding(
        health.depth_ratios,
        loss_per_week=knowledge.figure("condition.loss_per_week").value,
        required=knowledge.figure("condition.held_probability").value,
        fall_probability=knowledge.figure("condition.fall_probability").value,
    )


def _holding_words(health: AnimalHealth, held: Holding | None) -> str:
    if held is None:
        return _HOW_PICTURES
    pace = f"{amount(100 * knowledge.figure('condition.loss_per_week').value, 0)}\u202f%"
    newest = _when(health, at_days(held.last.at_day))
    if held.days == 0.0:
        return (
            f"none shown, up to the newest picture {newest}: {percent(held.probability_not_losing)} sure that it is "
            f"not losing, {percent(held.probability_within)} that it loses no more than {pace} a week."
        )
    return (
        f"{days_words(held.days)}, up to the newest picture {newest}: {percent(held.probability_within)} sure that it "
        f"lost no more than {pace} a week, {percent(held.probability_not_losing)} that it lost nothing."
    )


def _curve_reasons(shape: BodyShape | None, *, is_weighed: bool) -> Iterator[Reason]:
    if shape is None:
        return
    words = f"{sentence_case(shape.name)}: W = {shape.a:g}·L to the power {shape.b:g}, in grams and centimetres."
    yield Reason(words, shape.source, shape.status.value)
    yield reason("condition.individual_weight_error", "How far one animal's weight lies from such a curve.")
    yield reason("condition.length_error", "The error of its length.")
    if is_weighed:
        yield reason("condition.weight_error", "The error of its weight.")
        yield reason("condition.light_below", "From where an animal counts as light.")


def _reasons(held: Holding | None) -> Iterator[Reason]:
    if held is not None:
        yield reason("condition.loss_per_week", "The loss that is let pass.")
        yield reason("condition.held_probability", "How sure it must be for days to count.")


def _when(health: AnimalHealth, moment: datetime) -> str:
    return when(moment, health.facts.now, health.facts.zone)


def _decimals(number: float) -> int:
    """Return how many decimals show a number of this size without false ones."""
    return 0 if number >= 5 else 1 if number >= 0.3 else 2
