"""A case told as happenings, each of which makes the level a·c + b: the equations written again, for a sampler.

Nothing of the reckoning's arithmetic is used here, only the case itself.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.science.estimation.case import Case, Change, Dose, Media, Pulse, Reading, Unlogged

type Array = NDArray[np.float64]
type Indices = NDArray[np.int64]

_HOURS_PER_DAY = 24.0
_SAME_MOMENT_DAYS = 1e-9
# As good as infinite beside a level: the tail of a normal beyond it is nothing.
_FAR = 1e3


@dataclass(frozen=True)
class Telling:
    """Every happening in order: a stretch of `days` in which the level falls and gains, or one act at a moment.

    `release_mg_per_day` is (happening, pulse). `reading_at` and `grid_at` count the happenings before a reading and
    before a point of the grid. Of a reading `low` and `high` are what it left possible, equal where it is plain.
    """

    days: Array
    extra_loss_per_day: Array
    release_mg_per_day: Array
    change_l: Array
    incoming: Array
    incoming_sd: Array
    dose_mg: Array
    dose_sd_mg: Array
    jolt_sd: Array
    pulse_relative_sd: Array
    reading_at: Indices
    grid_at: Indices
    grid_days: Array
    low: Array
    high: Array
    absolute_sd: Array
    relative_sd: Array
    bias_of: Array


def told(case: Case) -> Telling:
    """Return a case as its happenings: at one moment readings come first, then changes, then doses, then the grid."""
    grid_days = np.arange(round(case.span_days * _HOURS_PER_DAY / case.grid_hours) + 1) * case.grid_hours / 24.0
    pulses = [event for event in case.events if isinstance(event, Pulse)]
    acts = [(r.day, 0, "reading", float(n)) for n, r in enumerate(case.readings)]
    acts += [
        (e.day, 1 if isinstance(e, Change | Unlogged) else 2, "event", float(n)) for n, e in enumerate(case.events)
    ]
    acts += [(p.day + p.hours / _HOURS_PER_DAY, 3, "pulse ends", float(n)) for n, p in enumerate(pulses)]
    acts += [(float(day), 4, "grid", 0.0) for day in grid_days]
    rows, reading_at, grid_at = _Rows(len(pulses)), np.zeros(len(case.readings), np.int64), []
    for day, _, kind, number in sorted(acts):
        if day > case.span_days + _SAME_MOMENT_DAYS:
            break
        rows.go_on_to(day)
        if kind == "reading":
            reading_at[int(number)] = len(rows.happenings)
        elif kind == "grid":
            grid_at.append(len(rows.happenings))
        elif kind == "pulse ends":
            rows.releases[int(number)] = 0.0
        else:
            _take(case.events[int(number)], rows, pulses)
    columns = np.array([one[:8] for one in rows.happenings]).T
    released = np.array([one[8] for one in rows.happenings]).reshape(len(rows.happenings), len(pulses))
    return Telling(
        columns[0],
        columns[1],
        released,
        *columns[2:],
        np.array([pulse.relative_sd for pulse in pulses]),
        reading_at,
        np.array(grid_at, np.int64),
        grid_days,
        *_of_readings(case),
    )


class _Rows:
    """The happenings so far, the moment they have come to, and what goes on then."""

    def __init__(self, pulses: int) -> None:
        self.happenings: list[tuple] = []
        self.now = self.extra_loss = 0.0
        self.releases = np.zeros(pulses)

    def go_on_to(self, day: float) -> None:
        """Add the stretch up to a moment, if it is one."""
        if day - self.now > _SAME_MOMENT_DAYS:
            self.add(day - self.now)
            self.now = day

    def add(self, days: float, **act: float) -> None:
        """Add one happening."""
        numbers = [act.get(key, 0.0) for key in ("litres", "incoming", "incoming_sd", "mg", "sd_mg", "jolt_sd")]
        self.happenings.append((days, self.extra_loss, *numbers, self.releases.copy()))


def _take(event: object, rows: _Rows, pulses: list[Pulse]) -> None:
    match event:
        case Dose():
            rows.add(0.0, mg=event.amount_mg, sd_mg=event.amount_mg * event.relative_sd)
        case Change():
            rows.add(0.0, litres=event.volume_l, incoming=event.incoming, incoming_sd=event.incoming_sd)
        case Unlogged():
            rows.add(0.0, jolt_sd=event.level_sd)
        case Pulse():
            rows.releases[pulses.index(event)] = event.amount_mg * _HOURS_PER_DAY / event.hours
        case Media():
            rows.extra_loss += event.extra_loss_per_day


def _of_readings(case: Case) -> Array:
    """Return rows low, high, absolute sd, relative sd and bias number (-1 for none) of every reading."""
    found = []
    for reading in case.readings:
        method = case.methods[reading.method]
        bias = biased(case).index(reading.method) if method.bias_sd else -1
        found.append((*_left_possible(case, reading), method.absolute_sd, method.relative_sd, bias))
    return np.array(found).T


def _left_possible(case: Case, reading: Reading) -> tuple[float, float]:
    seen, method = reading.observed, case.methods[reading.method]
    if seen.value is None:
        low = seen.low if seen.low is not None else seen.above
        high = seen.high if seen.high is not None else seen.below
        return -_FAR if low is None else low, _FAR if high is None else high
    half = method.resolution / 2.0
    least = -_FAR if method.lower_limit is None else method.lower_limit
    most = _FAR if method.upper_limit is None else method.upper_limit
    return (max(seen.value - half, least), min(seen.value + half, most)) if half else (seen.value, seen.value)


def biased(case: Case) -> list[str]:
    """Return the methods that were used and may be off by the same amount at every reading."""
    return sorted({reading.method for reading in case.readings if case.methods[reading.method].bias_sd})
