"""Six documented cases, invented, each one kind of trouble; every method has an error of its own, the eye's included.

The readings are what one simulated tank showed, reported as its kit reports. They were drawn once and stand here.
"""

from collections.abc import Iterable
from dataclasses import replace

from pratique.science.estimation.case import (
    Band,
    Case,
    Change,
    Dose,
    Event,
    Initial,
    Loss,
    Media,
    Pulse,
    Reading,
    Source,
    Volume,
)
from pratique.science.estimation.reading import Method, Observed

type Seen = float | tuple[float, float] | str

PHOTOMETER = Method(resolution=0.01, absolute_sd=0.02, relative_sd=0.05, lower_limit=0.0, upper_limit=5.0)
CHART = Method(resolution=0.0, absolute_sd=0.02, relative_sd=0.0, marks=(0.0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0))
DROPS = Method(resolution=0.05, absolute_sd=0.03, relative_sd=0.0)
LIMITED = Method(resolution=0.02, absolute_sd=0.015, relative_sd=0.1, lower_limit=0.1)
AMMONIA_DROPS = Method(resolution=0.05, absolute_sd=0.04, relative_sd=0.1, lower_limit=0.05)
AMMONIA_CARD = Method(resolution=0.0, absolute_sd=0.05, relative_sd=0.0, marks=(0.0, 0.25, 0.5, 1.0, 2.0))

_COPPER = Case(
    constituent="copper",
    unit="mg/L",
    span_days=14.0,
    initial=Initial(0.0, 0.01),
    volume=Volume(80.0, 8.0),
    loss=Loss(0.04, 0.8),
    source=Source(0.0, 0.005, 0.002),
    band=Band(0.15, 0.25),
    seed=1,
)


def _readings(method: str, start_day: float, step_days: float, seen: Iterable[Seen]) -> tuple[Reading, ...]:
    """Return readings at even steps: a number is a value, a pair lies between two marks, `<0.1` is a bound."""
    return tuple(Reading(start_day + number * step_days, method, _observed(one)) for number, one in enumerate(seen))


def _observed(seen: Seen) -> Observed:
    match seen:
        case tuple():
            return Observed(low=seen[0], high=seen[1])
        case str():
            bound = float(seen[1:])
            return Observed(below=bound) if seen[0] == "<" else Observed(above=bound)
        case _:
            return Observed(value=seen)


def _course(
    first_mg: float, daily_mg: float, days: int, *others: Event, relative_sd: float = 0.03
) -> tuple[Event, ...]:
    """Return a first dose, a smaller one a day, and what else was done, in order."""
    doses = [Dose(0.04, first_mg, relative_sd), *(Dose(day + 0.4, daily_mg, relative_sd) for day in range(1, days))]
    return _in_order(*doses, *others)


def _in_order(*acts: Event) -> tuple[Event, ...]:
    return tuple(sorted(acts, key=lambda act: act.day))


def _by_day(*acts: Reading) -> tuple[Reading, ...]:
    return tuple(sorted(acts, key=lambda act: act.day))


CASES = {
    "a course of two weeks by photometer": replace(
        _COPPER,
        methods={"photometer": PHOTOMETER},
        events=_course(14.5, 1.6, 14, Change(7.4, 15.0)),
        readings=_readings(
            "photometer",
            0.35,
            1.0,
            (0.19, 0.2, 0.19, 0.13, 0.18, 0.16, 0.18, 0.17, 0.14, 0.11, 0.13, 0.16, 0.13, 0.14),
        ),
        required_days=7.6,
    ),
    "a colour chart alone, and a level that wanders": replace(
        _COPPER,
        span_days=12.0,
        grid_hours=2.0,
        level_walk_sd_per_sqrt_day=0.01,
        methods={"chart": CHART},
        events=_course(14.0, 1.9, 12, Change(6.4, 10.0)),
        readings=_readings(
            "chart",
            0.3,
            1.0,
            [(0.1, 0.2)] * 5 + [(0.2, 0.3)] + [(0.1, 0.2)] * 3 + [(0.2, 0.3), (0.1, 0.2), (0.2, 0.3)],
        ),
        required_days=10.5,
    ),
    "below one limit and above another": replace(
        _COPPER,
        span_days=12.0,
        grid_hours=2.0,
        methods={"limited": LIMITED, "chart": replace(CHART, marks=(0.0, 0.1, 0.2))},
        events=_course(16.0, 1.5, 9, Change(4.4, 30.0), Dose(9.6, 8.0, 0.03), Change(11.1, 40.0)),
        readings=_by_day(
            *_readings("limited", 0.01, 1.3, ("<0.1",)),
            *_readings("chart", 0.2, 1.1, (">0.2", ">0.2")),
            *_readings("limited", 4.3, 1.0, (0.2, 0.14)),
            *_readings("chart", 10.3, 0.2, (">0.2",)),
            *_readings("limited", 11.3, 0.2, ("<0.1", 0.14)),
        ),
        required_days=5.0,
    ),
    "loss and volume both hardly known": replace(
        _COPPER,
        volume=Volume(100.0, 0.5, is_lognormal=True),
        loss=Loss(0.1, 1.2),
        methods={"photometer": PHOTOMETER},
        events=_course(14.0, 2.0, 14, Change(5.4, 15.0), Change(10.4, 15.0)),
        readings=_readings("photometer", 0.35, 2.0, (0.19, 0.16, 0.19, 0.18, 0.21, 0.2, 0.19)),
        required_days=13.0,
    ),
    "a stock of unknown strength and two methods that may be off": replace(
        _COPPER,
        stock_strength_relative_sd=0.1,
        methods={"photometer": replace(PHOTOMETER, bias_sd=0.015), "drops": replace(DROPS, bias_sd=0.03)},
        events=_course(14.0, 1.0, 14, Change(7.4, 15.0, 0.02, 0.02), relative_sd=0.05),
        readings=_by_day(
            *_readings("photometer", 1.35, 3.0, (0.1, 0.15, 0.24, 0.2, 0.27)),
            *_readings("drops", 0.6, 2.0, (0.2, 0.2, 0.15, 0.2, 0.25, 0.25, 0.25)),
        ),
        required_days=12.5,
    ),
    "ammonia from food, with changes and a filter that comes to life": Case(
        constituent="ammonia",
        unit="mg/L",
        span_days=10.0,
        initial=Initial(0.3, 0.2),
        volume=Volume(90.0, 12.0),
        loss=Loss(0.3, 0.7),
        source=Source(0.02, 0.02, 0.01),
        level_walk_sd_per_sqrt_day=0.02,
        methods={"drops": AMMONIA_DROPS, "card": AMMONIA_CARD},
        events=_in_order(
            *(Pulse(day + 0.35, 12.0, 12.0, 0.1) for day in range(10)),
            Change(3.5, 25.0, 0.02, 0.02),
            Change(6.5, 25.0, 0.02, 0.02),
            Media(5.0, 0.25),
        ),
        readings=_by_day(
            *_readings("drops", 0.3, 2.0, (0.4, 0.55, 0.4, 0.3, 0.3)),
            *_readings("card", 1.8, 2.0, ((0.5, 1.0), (0.25, 0.5), (0.5, 1.0), (0.25, 0.5), (0.25, 0.5))),
        ),
        band=Band(0.35, 0.5),
        required_days=6.0,
        seed=1,
    ),
}
