"""The level of one constituent between readings, by deterministic mass balance.

Simple and honest: nothing is lost between readings. Binding to rock, plastic and slime is not modelled, so the level
can only be trusted as far as the newest reading is fresh. Times are hours since one fixed moment.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from pratique.science.chemistry.domain import DomainError, require_at_least
from pratique.science.estimation.reading import NORMAL_95, Method, Observed, is_plain, reading_range, sd_at

type Cause = Literal["start", "dose", "change", "reading", "fill", "untold"]


@dataclass(frozen=True)
class Dose:
    """`amount_mg` of the constituent added at `at` hours; `entry` is the id of the ledger entry behind it."""

    at: float
    amount_mg: float
    entry: str


@dataclass(frozen=True)
class Change:
    """`volume_l` of water replaced at `at` hours by water at `incoming_mg_per_l`."""

    at: float
    volume_l: float
    incoming_mg_per_l: float
    entry: str


@dataclass(frozen=True)
class Reading:
    """A reading taken at `at` hours by `method`, in mg/L."""

    at: float
    method: Method
    observed: Observed
    entry: str


@dataclass(frozen=True)
class Fill:
    """The system emptied and filled anew at `at` hours with water at a known level."""

    at: float
    level_mg_per_l: float
    entry: str


@dataclass(frozen=True)
class Untold:
    """Something at `at` hours whose effect on the level is not known; `only_adds` says that it takes nothing away."""

    at: float
    only_adds: bool
    entry: str


type Event = Dose | Change | Reading | Fill | Untold

_ORDER: dict[type[Event], int] = {Reading: 0, Fill: 1, Change: 2, Dose: 3, Untold: 3}


@dataclass(frozen=True)
class Step:
    """A span of hours at one level (mg/L, ± 95 %), what began it, and what was predicted before a reading.

    Where the level is not known, `level` is the least it can be.
    """

    start: float
    end: float
    level: float
    plus_minus: float
    cause: Cause
    entry: str | None
    predicted: float | None = None
    is_known: bool = True


@dataclass(frozen=True)
class Track:
    """The steps of one constituent in order of time; steps of no length record events at one moment."""

    steps: tuple[Step, ...]

    def at(self, hour: float) -> Step | None:
        """Return the step that holds at `hour` after every event of that moment, or None outside the track."""
        if not self.steps or hour > self.steps[-1].end:
            return None
        return next((step for step in reversed(self.steps) if step.start <= hour), None)


def balance(
    events: Iterable[Event],
    *,
    net_volume_l: float,
    net_volume_sd_l: float,
    initial_mg_per_l: float | None = 0.0,
    until: float,
) -> Track:
    """Return the track of one constituent from its first event to `until` hours.

    Events at one moment are taken as readings, then a fill, then changes, then doses. A plain reading sets the level
    with the method's error; an interval or a bound leaves a level inside it alone and moves one outside to the
    nearest edge, ± half the interval either way. Doses and changes add the volume's error in quadrature. Events
    after `until` are left out. An `initial_mg_per_l` of None, or something untold, leaves the level not known, at
    least so much, until a reading with two ends, a fill, or a change of the whole volume.

    Raises DomainError for a volume that is not above zero, or a negative amount.
    """
    if not net_volume_l > 0.0:
        raise DomainError(f"The net volume must be above 0\u202fL; this was {net_volume_l:g}.")
    require_at_least("The error of the volume", net_volume_sd_l, lower=0.0)
    ordered = sorted((e for e in events if e.at <= until), key=lambda e: (e.at, _ORDER[type(e)]))
    first = ordered[0].at if ordered else until
    steps = [Step(first, first, initial_mg_per_l or 0.0, 0.0, "start", None, is_known=initial_mg_per_l is not None)]
    for event in ordered:
        steps[-1] = replace(steps[-1], end=event.at)
        steps.append(_after(event, steps[-1], net_volume_l, net_volume_sd_l / net_volume_l))
    steps[-1] = replace(steps[-1], end=until)
    return Track(tuple(steps))


def _after(event: Event, before: Step, volume_l: float, relative_volume_sd: float) -> Step:
    """Return the step that an event begins."""
    match event:
        case Dose():
            require_at_least("A dose", event.amount_mg, lower=0.0)
            rise = event.amount_mg / volume_l
            error = _combine(before.plus_minus, rise * relative_volume_sd)
            return _begun(event, "dose", before.level + rise, error, is_known=before.is_known)
        case Change():
            require_at_least("The changed volume", event.volume_l, lower=0.0)
            # Whoever runs more than the whole volume through has replaced all of it.
            fraction = min(1.0, event.volume_l / volume_l)
            shift = fraction * (event.incoming_mg_per_l - before.level)
            error = _combine(before.plus_minus * (1.0 - fraction), shift * relative_volume_sd)
            return _begun(event, "change", before.level + shift, error, is_known=before.is_known or fraction == 1.0)
        case Fill():
            return _begun(event, "fill", event.level_mg_per_l, 0.0)
        case Untold():
            least = before.level if event.only_adds else 0.0
            return _begun(event, "untold", least, before.plus_minus, is_known=False)
        case Reading():
            return _after_reading(event, before)


def _begun(event: Event, cause: Cause, level: float, plus_minus: float, *, is_known: bool = True) -> Step:
    return Step(event.at, event.at, level, plus_minus, cause, event.entry, is_known=is_known)


def _combine(plus_minus: float, sd: float) -> float:
    """Return a 95 % error joined in quadrature with one standard deviation of another source."""
    return math.hypot(plus_minus, NORMAL_95 * sd)


def _after_reading(event: Reading, before: Step) -> Step:
    """Return the step a reading begins, with what had been predicted where that was known."""
    span = reading_range(event.method, event.observed)
    is_known = True
    if is_plain(event.method, event.observed):
        level, error = span.centre, NORMAL_95 * sd_at(event.method, span.centre)
    elif math.isinf(span.high):
        level = max(before.level, span.low)
        error = max(before.plus_minus, NORMAL_95 * sd_at(event.method, level))
        is_known = before.is_known
    else:
        level = min(max(before.level, span.low), span.high) if before.is_known else span.centre
        error = (span.high - span.low) / 2.0
    predicted = before.level if before.is_known else None
    return Step(event.at, event.at, level, error, "reading", event.entry, predicted, is_known)
