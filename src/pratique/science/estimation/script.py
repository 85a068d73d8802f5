"""A case turned into a script: the moments to stop at, and what happens between them, as plain arrays.

At one moment the order is: readings, then changes, then doses, then the point of the grid. Between two stops
everything is composed into one linear step of the level and its source,

    level' = a·level + f·source + g·strength + d + noise        source' = source + noise,

which depends on the loss and the volume; `write_steps` does that for one pair of them.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Final

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique.science.estimation.case import Case, Change, Dose, Event, Media, Pulse, Refill, Source, Unlogged

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]
type Moment = tuple[float, int, str, tuple[float, float, float]]

ADVANCE: Final = 0
CHANGE: Final = 1
DOSE: Final = 2
STOP: Final = 3
JOLT: Final = 4
REFILL: Final = 5
FORGET: Final = 6
WALK: Final = 7
_CODES: Final = {"change": CHANGE, "dose": DOSE, "jolt": JOLT, "refill": REFILL, "forget": FORGET, "walk": WALK}
STEP_WIDTH: Final = 9
_SAME_MOMENT: Final = 1e-9
_HOURS_PER_DAY: Final = 24.0
_SHORT: Final = 0.02


@dataclass(frozen=True)
class Script:
    """What happens, in order: `code[i]` with up to three numbers in `what[i]`; a stop counts up.

    advance: days, extra loss per day, mg released per day. change: litres, incoming level, its sd.
    dose: mg, mg of its own noise, mg that share the stock's strength. jolt: sd of a jump of the level.
    refill: the level of the new water, its sd. forget: the source of before gives way to this mean and sd.
    walk: how the source wanders from here on, sd per square root of a day.
    Stop n is reading number `reading_of[n]`, or a point of the grid where that is below 0.
    """

    code: Indices
    what: Array
    days: Array
    reading_of: Indices

    @property
    def stops(self) -> int:
        """Return the number of stops."""
        return len(self.days)

    @property
    def is_grid(self) -> NDArray[np.bool_]:
        """Return which stops are points of the grid."""
        return self.reading_of < 0


def grid_days(case: Case) -> Array:
    """Return the grid of a case in days: the start, every `grid_hours`, and the end."""
    step = case.grid_hours / _HOURS_PER_DAY
    count = int(np.floor(case.span_days / step + _SAME_MOMENT))
    days: Array = np.arange(count + 1, dtype=np.float64) * step
    if case.span_days - days[-1] > _SAME_MOMENT:
        days = np.append(days, case.span_days)
    return days


def script_of(case: Case, grid: Array, *, begins: float = 0.0, before: Sequence[Event] = ()) -> Script:
    """Return the script of a case that stops at each reading and at each of the given days.

    A script may begin later than the case; `before` are the events already taken in, of which media and unfinished
    pulses go on.
    """
    found = (*_going_on(before, begins), *_moments(case, grid), *_wakings(case, before))
    moments = sorted(found, key=lambda one: (one[0], one[1]))
    codes: list[int] = []
    whats: list[tuple[float, float, float]] = []
    days: list[float] = []
    readings: list[int] = []
    now, extra_loss, release = begins, 0.0, 0.0
    for day, _, act, numbers in moments:
        if day - now > _SAME_MOMENT:
            codes.append(ADVANCE)
            whats.append((day - now, extra_loss, release))
            now = day
        match act:
            case "stop":
                codes.append(STOP)
                whats.append((0.0, 0.0, 0.0))
                days.append(day)
                readings.append(int(numbers[0]))
            case "release":
                release += numbers[0]
            case "media":
                extra_loss += numbers[0]
            case _:
                codes.append(_CODES[act])
                whats.append(numbers)
    return Script(
        np.array(codes, np.int64), np.array(whats).reshape(-1, 3), np.array(days), np.array(readings, np.int64)
    )


def _moments(case: Case, grid: Array) -> list[Moment]:
    """Return every moment with its rank among things at one moment, what it is, and its numbers."""
    found: list[Moment] = [(r.day, 0, "stop", (float(n), 0.0, 0.0)) for n, r in enumerate(case.readings)]
    found += [(float(day), 4, "stop", (-1.0, 0.0, 0.0)) for day in grid]
    for event in case.events:
        match event:
            case Change():
                found.append((event.day, 1, "change", (event.volume_l, event.incoming, event.incoming_sd)))
            case Dose():
                noise = event.amount_mg * event.relative_sd
                found.append((event.day, 2, "dose", (event.amount_mg, noise, event.amount_mg)))
            case Pulse():
                found.append((event.day, 3, "release", (_mg_per_day(event), 0.0, 0.0)))
                found += _end_of(event, case.span_days)
            case Media():
                found.append((event.day, 3, "media", (event.extra_loss_per_day, 0.0, 0.0)))
            case Unlogged():
                found.append((event.day, 1, "jolt", (event.level_sd, 0.0, 0.0)))
            case Refill():
                found.append((event.day, 1, "refill", (event.level, event.level_sd, 0.0)))
                found += _anew(event.day, event.source or case.source)
    return found


def _anew(day: float, source: Source) -> list[Moment]:
    """Return a source that begins again, and wanders as told from here on."""
    numbers = (source.mean_per_day, source.sd_per_day, 0.0)
    return [(day, 1, "forget", numbers), (day, 1, "walk", (source.walk_sd_per_sqrt_day, 0.0, 0.0))]


def _is_quiet(is_quiet: bool, event: Event) -> bool:
    """Return whether new water with a source of its own is still without a dose after an event."""
    match event:
        case Refill():
            return event.source is not None
        case Unlogged():
            return False
        case Dose():
            # One of nothing only opens the volume to what may be added.
            return is_quiet and event.amount_mg == 0.0
    return is_quiet


def _as_they_act(events: Sequence[Event]) -> list[Event]:
    """Return events in the order they act in: at one moment changes and refills before doses."""
    return sorted(events, key=lambda event: (event.day, isinstance(event, Dose)))


def _is_left_quiet(before: Sequence[Event]) -> bool:
    """Return whether new water is still without a dose after some events."""
    return reduce(_is_quiet, _as_they_act(before), False)


def _wakings(case: Case, before: Sequence[Event]) -> list[Moment]:
    """Return where the first dose into quiet water makes the source that of the case again."""
    found: list[Moment] = []
    is_quiet = _is_left_quiet(before)
    for event in _as_they_act(case.events):
        was_quiet, is_quiet = is_quiet, _is_quiet(is_quiet, event)
        if was_quiet and not is_quiet and not isinstance(event, Refill):
            found += _anew(event.day, case.source)
    return found


def _going_on(before: Sequence[Event], begins: float) -> list[Moment]:
    """Return what of earlier events still acts when a script begins."""
    found: list[Moment] = []
    for event in before:
        if isinstance(event, Media):
            found.append((begins, -1, "media", (event.extra_loss_per_day, 0.0, 0.0)))
        elif isinstance(event, Pulse) and _end_day(event) > begins:
            found.append((begins, -1, "release", (_mg_per_day(event), 0.0, 0.0)))
            found += _end_of(event, math.inf)
    filled = [event for event in before if isinstance(event, Refill)]
    if filled and filled[-1].source is not None and _is_left_quiet(before):
        found.append((begins, -1, "walk", (filled[-1].source.walk_sd_per_sqrt_day, 0.0, 0.0)))
    return found


def _mg_per_day(pulse: Pulse) -> float:
    return pulse.amount_mg * _HOURS_PER_DAY / pulse.hours


def _end_day(pulse: Pulse) -> float:
    return pulse.day + pulse.hours / _HOURS_PER_DAY


def _end_of(pulse: Pulse, span_days: float) -> list[Moment]:
    """Return the end of a pulse, with its error laid there: one number, not a shape."""
    end = _end_day(pulse)
    if end > span_days:
        return []
    noise = pulse.amount_mg * pulse.relative_sd
    return [(end, 3, "release", (-_mg_per_day(pulse), 0.0, 0.0)), (end, 3, "dose", (0.0, noise, 0.0))]


@njit(cache=True, error_model="numpy")
def write_steps(  # noqa: PLR0913, PLR0917 - a compiled loop takes plain arrays and numbers
    code: Indices,
    what: Array,
    loss_per_day: float,
    volume_l: float,
    source_walk: float,
    level_walk: float,
    steps: Array,
) -> None:
    """Write one row (a, f, g, d, q11, q12, q22, r, e) per stop for one loss and volume into `steps`.

    Walks are sd per square root of a day; the integrals of the noise are exact, by series where loss × days is small.
    """
    a, f, g, d, q11, q12, q22 = 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    # The source becomes r times itself plus e: other than 1 and 0 only where it is forgotten.
    r, e = 1.0, 0.0
    walk = source_walk
    stop = 0
    for i in range(code.shape[0]):
        if code[i] == ADVANCE:
            days = what[i, 0]
            k = loss_per_day + what[i, 1]
            a2, f2, n11, n12 = _advanced(k, days)
            w2 = walk * walk
            decay = days if abs(k * days) < 1e-12 else -np.expm1(-2.0 * k * days) / (2.0 * k)
            a, g, d = a2 * a, a2 * g, a2 * d + f2 * (e + what[i, 2] / volume_l)
            f = a2 * f + f2 * r
            q11 = a2 * a2 * q11 + 2.0 * a2 * f2 * q12 + f2 * f2 * q22 + w2 * n11 + level_walk * level_walk * decay
            q12 = a2 * q12 + f2 * q22 + w2 * n12
            q22 += w2 * days
        elif code[i] == CHANGE:
            part = what[i, 0] / volume_l
            kept = 1.0 - part
            a, f, g, d = kept * a, kept * f, kept * g, kept * d + part * what[i, 1]
            q11 = kept * kept * q11 + (part * what[i, 2]) ** 2
            q12 = kept * q12
        elif code[i] == DOSE:
            d += what[i, 0] / volume_l
            g += what[i, 2] / volume_l
            q11 += (what[i, 1] / volume_l) ** 2
        elif code[i] == JOLT:
            q11 += what[i, 0] * what[i, 0]
        elif code[i] == REFILL:
            a, f, g, d = 0.0, 0.0, 0.0, what[i, 0]
            q11, q12 = what[i, 1] * what[i, 1], 0.0
        elif code[i] == FORGET:
            r, e, q12, q22 = 0.0, what[i, 0], 0.0, what[i, 1] * what[i, 1]
        elif code[i] == WALK:
            walk = what[i, 0]
        else:
            steps[stop, 0], steps[stop, 1], steps[stop, 2], steps[stop, 3] = a, f, g, d
            steps[stop, 4], steps[stop, 5], steps[stop, 6] = q11, q12, q22
            steps[stop, 7], steps[stop, 8] = r, e
            a, f, g, d, q11, q12, q22 = 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
            r, e = 1.0, 0.0
            stop += 1


@njit(cache=True, error_model="numpy")
def _advanced(k: float, days: float) -> tuple[float, float, float, float]:
    """Return the decay, the source's weight, and the variance and covariance a unit walk of the source gives."""
    x = k * days
    decay = np.exp(-x)
    if abs(x) < _SHORT:
        weight = days * (1.0 - x / 2.0 + x * x / 6.0 - x**3 / 24.0 + x**4 / 120.0)
        own = days**3 * (1.0 / 3.0 - x / 4.0 + 7.0 * x * x / 60.0 - x**3 / 24.0 + 31.0 * x**4 / 2520.0)
        shared = days**2 * (0.5 - x / 6.0 + x * x / 24.0 - x**3 / 120.0 + x**4 / 720.0)
        return decay, weight, own, shared
    weight = -np.expm1(-x) / k
    own = (days - 2.0 * weight - np.expm1(-2.0 * x) / (2.0 * k)) / (k * k)
    shared = (days - weight) / k
    return decay, weight, own, shared
