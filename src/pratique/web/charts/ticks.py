"""Where the ticks of an axis stand: round numbers up the side, the keeper's midnights along the foot."""

import math
from collections.abc import Iterator
from datetime import datetime, timedelta, tzinfo

_EPS = 1e-9
_MINUTE_STEPS = (5, 10, 15, 30, 60, 120, 180, 360, 720, 1440)
_DAY_STEPS = (1, 2, 3, 7, 14, 28, 56, 112, 224, 448, 896)


def nice_range(low: float, high: float, *, at_most: int) -> tuple[float, float, tuple[float, ...]]:
    """Return the range widened to whole steps, and at most `at_most` (3 or more) ticks on it.

    A step is 1, 2 or 5 times a power of ten. A range without width is given one.
    """
    if high <= low:
        high = low + (abs(low) or 1.0)
    power = math.floor(math.log10((high - low) / at_most))
    for exponent in (power, power + 1, power + 2):
        for factor in (1, 2, 5):
            step = factor * 10.0**exponent
            first, last = math.floor(low / step + _EPS), math.ceil(high / step - _EPS)
            if last - first < at_most:
                ticks = tuple(round(count * step, max(0, -exponent)) for count in range(first, last + 1))
                return ticks[0], ticks[-1], ticks
    raise AssertionError  # a step of half the range or more always fits three ticks


def decimals_of(ticks: tuple[float, ...]) -> int:
    """Return how many decimals the ticks need so that no two read alike."""
    step = ticks[1] - ticks[0]
    return max(0, -math.floor(math.log10(step) + _EPS))


def time_ticks(start: datetime, end: datetime, zone: tzinfo, *, at_most: int) -> tuple[tuple[datetime, str], ...]:
    """Return moments with their words: midnights as `4 Nov`, or within two days clock times as `18:00`.

    Within a few minutes no round time need lie between them, and the start is told instead.
    """
    days = (end - start).total_seconds() / 86400
    if days <= 2:
        minutes = next((step for step in _MINUTE_STEPS if days * 1440 / step <= at_most), _MINUTE_STEPS[-1])
        moments = tuple(_clock_times(start, end, zone, minutes)) or (start.astimezone(zone),)
        return tuple((moment, f"{moment:%H:%M}") for moment in moments)
    step = next((step for step in _DAY_STEPS if days / step <= at_most), _DAY_STEPS[-1])
    midnights = tuple(_midnights(start, end, zone))[::step]
    return tuple((moment, f"{moment.day} {moment:%b}") for moment in midnights)


def _midnights(start: datetime, end: datetime, zone: tzinfo) -> Iterator[datetime]:
    # Adding days to a local time moves the calendar, so a change of the clocks leaves midnight where it is.
    moment = start.astimezone(zone).replace(hour=0, minute=0, second=0, microsecond=0)
    while moment <= end:
        if moment >= start:
            yield moment
        moment += timedelta(days=1)


def _clock_times(start: datetime, end: datetime, zone: tzinfo, minutes: int) -> Iterator[datetime]:
    moment = start.astimezone(zone).replace(hour=0, minute=0, second=0, microsecond=0)
    while moment <= end:
        if moment >= start:
            yield moment
        moment += timedelta(minutes=minutes)
