"""Refuse a case that cannot be reckoned, in a sentence that says what would be right."""

import math
from itertools import pairwise

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Case, Change, Dose, Event, Media, Pulse, Reading, Refill, Unlogged
from pratique.science.estimation.reading import Method

_LONGEST_DAYS = 4000.0
_MOST_POINTS = 200_000


def require_reckonable(case: Case) -> None:
    """Raise DomainError with one sentence for the first thing about a case that cannot be."""
    _check_span(case)
    _check_beliefs(case)
    for key, method in case.methods.items():
        _check_method(key, method)
    for event in case.events:
        _check_event(case, event)
    _check_order(case)
    for reading in case.readings:
        _check_reading(case, reading)


def _check_span(case: Case) -> None:
    if not 0.0 < case.span_days <= _LONGEST_DAYS:
        raise DomainError(f"A case must end after its start, at most {_LONGEST_DAYS:g} days later.")
    if not case.grid_hours > 0.0:
        raise DomainError("The step of the grid must be above 0 hours.")
    if case.span_days * 24.0 / case.grid_hours > _MOST_POINTS:
        raise DomainError(f"A grid of {case.grid_hours:g} hours is too fine for so long a case: take a wider step.")
    if case.band is not None and not case.band.lower <= case.band.upper:
        raise DomainError("The lower end of the band cannot lie above its upper end.")
    if case.draws < 1:
        raise DomainError("At least one trajectory must be drawn.")


def _check_beliefs(case: Case) -> None:
    volume, loss, source = case.volume, case.loss, case.source
    if not (volume.mean_l > 0.0 and math.isfinite(volume.mean_l)):
        raise DomainError(f"The net volume must be above 0 L; this was {volume.mean_l:g}.")
    spreads = {
        "net volume": volume.sd_l,
        "loss": loss.log_sd,
        "source": source.sd_per_day,
        "wandering of the source": source.walk_sd_per_sqrt_day,
        "starting level": case.initial.sd,
        "wandering of the level": case.level_walk_sd_per_sqrt_day,
        "strength of the stock": case.stock_strength_relative_sd,
    }
    for name, sd in spreads.items():
        if not (sd >= 0.0 and math.isfinite(sd)):
            raise DomainError(f"The spread of the {name} must be a number at or above 0.")
    if not (loss.median_per_day >= 0.0 and math.isfinite(loss.median_per_day)):
        raise DomainError(f"The loss cannot be below 0 a day; this was {loss.median_per_day:g}.")
    if not (math.isfinite(source.mean_per_day) and math.isfinite(case.initial.mean)):
        raise DomainError("The source and the starting level must be numbers.")
    if case.needs_volume and not volume.is_lognormal:
        sds_above = (volume.mean_l - case.largest_change_l) / volume.sd_l if volume.sd_l else math.inf
        if volume.mean_l <= case.largest_change_l or sds_above < -3.0:
            raise DomainError(
                f"A change of {case.largest_change_l:g} L cannot be made in a tank of about {volume.mean_l:g} L."
            )


def _check_method(key: str, method: Method) -> None:
    numbers = (method.absolute_sd, method.relative_sd, method.resolution, method.bias_sd)
    if not all(math.isfinite(number) and number >= 0.0 for number in numbers):
        raise DomainError(f"The errors of the method {key} must be numbers at or above 0.")
    if method.marks:
        if len(method.marks) < 2 or any(not low < high for low, high in pairwise(method.marks)):
            raise DomainError(f"The marks of {key} must be at least two, each above the one before.")
    elif method.absolute_sd == 0.0 and method.relative_sd == 0.0 and method.resolution == 0.0:
        raise DomainError(f"The method {key} has no error model: give absolute_sd, relative_sd, resolution or marks.")


def _check_event(case: Case, event: Event) -> None:
    _check_moment(case, event.day, "An event")
    match event:
        case Dose() | Pulse():
            _check_amount(event)
        case Change():
            _check_change(event)
        case Media():
            if not math.isfinite(event.extra_loss_per_day):
                raise DomainError("What the media take out must be a number.")
        case Refill():
            own = event.source or case.source
            spreads = (event.level_sd, own.sd_per_day, own.walk_sd_per_sqrt_day)
            if not (math.isfinite(event.level) and all(math.isfinite(sd) and sd >= 0.0 for sd in spreads)):
                raise DomainError("The level of the new water must be a number, and its spreads at or above 0.")
        case Unlogged():
            if not (event.level_sd >= 0.0 and math.isfinite(event.level_sd)):
                raise DomainError("How far something unlogged may have moved the level must be a number at or above 0.")


def _check_amount(event: Dose | Pulse) -> None:
    if not (event.amount_mg >= 0.0 and math.isfinite(event.amount_mg)):
        raise DomainError(f"A dose cannot be below 0 mg; this was {event.amount_mg:g}.")
    if not (event.relative_sd >= 0.0 and math.isfinite(event.relative_sd)):
        raise DomainError("The error of a dose must be a number at or above 0.")
    if isinstance(event, Pulse) and not event.hours > 0.0:
        raise DomainError("Food must be released over some hours: more than 0.")


def _check_change(event: Change) -> None:
    if not (event.volume_l >= 0.0 and math.isfinite(event.volume_l)):
        raise DomainError(f"A water change cannot be below 0 L; this was {event.volume_l:g}.")
    if not (math.isfinite(event.incoming) and event.incoming_sd >= 0.0 and math.isfinite(event.incoming_sd)):
        raise DomainError("The level of the incoming water must be a number, and its spread at or above 0.")


def _check_order(case: Case) -> None:
    for name, moments in (
        ("Events", [event.day for event in case.events]),
        ("Readings", [reading.day for reading in case.readings]),
    ):
        for before, after in pairwise(moments):
            if after < before:
                raise DomainError(f"{name} must stand in order of time; day {after:g} follows day {before:g}.")


def _check_moment(case: Case, day: float, what: str) -> None:
    if not math.isfinite(day) or day < 0.0:
        raise DomainError(f"{what} cannot lie before the case starts: day {day:g}.")
    if day > case.span_days:
        raise DomainError(f"{what} lies after the end of the case: day {day:g} of {case.span_days:g}.")


def _check_reading(case: Case, reading: Reading) -> None:
    _check_moment(case, reading.day, "A reading")
    method = case.methods.get(reading.method)
    if method is None:
        raise DomainError(f"The method {reading.method} is not described: give its error, or its marks.")
    seen = reading.observed
    numbers = [n for n in (seen.value, seen.low, seen.high, seen.below, seen.above) if n is not None]
    if not all(math.isfinite(number) for number in numbers):
        raise DomainError("A reading must be a number.")
    if seen.value is None:
        return
    if method.lower_limit is not None and seen.value < method.lower_limit:
        raise DomainError(
            f"{reading.method} cannot show {seen.value:g}, under its limit of {method.lower_limit:g}: "
            f"write it as below {method.lower_limit:g}."
        )
    if method.upper_limit is not None and seen.value > method.upper_limit:
        raise DomainError(
            f"{reading.method} cannot show {seen.value:g}, over its limit of {method.upper_limit:g}: "
            f"write it as above {method.upper_limit:g}."
        )
