"""A bare quarantine tank as it truly is: copper, ammonia and nitrite, minute by minute.

The equations, with V the true net volume, Cu, TAN and NO2 in mg/L (nitrogen as N), G the feed nitrogen not yet
excreted in mg, and h the strength of the nitrifiers per day:

    dCu/dt  = -loss · Cu                                   binding to slime, plastic and silicone
    dG/dt   = -G / gut                                     digestion
    dTAN/dt = G / (gut · V) - h · TAN                      excretion, nitrification
    dNO2/dt = h · TAN - h/2 · NO2                          the second step lags behind the first
    dh/dt   = growth · (1 - hold · Cu) · h · (1 - h/limit) the filter ripens; copper holds it back

A dose adds its milligrams over V; a water change of v litres keeps the part 1 - v/V of everything dissolved; emptying
leaves new water and no nitrifiers. Stepped by the minute (explicit Euler: the largest rate is under 6 a day, so a
step errs by less than 0.5 %). The copper figure is our own guess: no measured one was found for seawater filters.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

MINUTES_PER_DAY = 1440


@dataclass(frozen=True)
class TankTruth:
    """What no keeper can see: volume in L, rates per day, `gut_hours` in hours, `copper_hold` in L/mg."""

    volume_l: float
    copper_loss_per_day: float
    gut_hours: float
    nitrifiers_at_start_per_day: float
    nitrifier_growth_per_day: float
    nitrifier_limit_per_day: float
    copper_hold: float


@dataclass(frozen=True)
class Dosed:
    """Copper added at a minute, in true milligrams."""

    minute: int
    copper_mg: float


@dataclass(frozen=True)
class Fed:
    """Food given at a minute, as the milligrams of nitrogen that will be excreted as ammonia."""

    minute: int
    ammonia_mg_n: float


@dataclass(frozen=True)
class Changed:
    """Water replaced at a minute by water that holds none of it."""

    minute: int
    volume_l: float


@dataclass(frozen=True)
class Emptied:
    """The tank emptied, dried and filled with new water at a minute."""

    minute: int


type TankEvent = Dosed | Fed | Changed | Emptied


@dataclass(frozen=True)
class Water:
    """The true water at one minute; concentrations in mg/L, `in_gut_mg_n` in mg, `nitrifiers_per_day` in 1/day."""

    copper_mg_per_l: float = 0.0
    total_ammonia_mg_n_per_l: float = 0.0
    nitrite_mg_n_per_l: float = 0.0
    in_gut_mg_n: float = 0.0
    nitrifiers_per_day: float = 0.0


@dataclass(frozen=True)
class Trace:
    """The true water minute by minute from `start`; each minute as it was before that minute's events."""

    start: int
    waters: Sequence[Water]

    def at(self, minute: int) -> Water:
        """Return the water at a minute; IndexError outside the trace."""
        if not 0 <= minute - self.start < len(self.waters):
            message = f"minute {minute} lies outside the trace"
            raise IndexError(message)
        return self.waters[minute - self.start]


def simulate(truth: TankTruth, events: Iterable[TankEvent], *, start: int, end: int) -> Trace:
    """Return the true water from `start` to `end`, both included; events of one minute in the order given."""
    by_minute: dict[int, list[TankEvent]] = {}
    for event in events:
        by_minute.setdefault(event.minute, []).append(event)
    water = Water(nitrifiers_per_day=truth.nitrifiers_at_start_per_day)
    waters: list[Water] = []
    for minute in range(start, end + 1):
        waters.append(water)
        for event in by_minute.get(minute, ()):
            water = _after(event, water, truth)
        water = _a_minute_later(water, truth)
    return Trace(start, waters)


def _after(event: TankEvent, water: Water, truth: TankTruth) -> Water:
    match event:
        case Dosed():
            return replace(water, copper_mg_per_l=water.copper_mg_per_l + event.copper_mg / truth.volume_l)
        case Fed():
            return replace(water, in_gut_mg_n=water.in_gut_mg_n + event.ammonia_mg_n)
        case Changed():
            kept = max(0.0, 1.0 - event.volume_l / truth.volume_l)
            return replace(
                water,
                copper_mg_per_l=water.copper_mg_per_l * kept,
                total_ammonia_mg_n_per_l=water.total_ammonia_mg_n_per_l * kept,
                nitrite_mg_n_per_l=water.nitrite_mg_n_per_l * kept,
            )
        case Emptied():
            return Water(nitrifiers_per_day=truth.nitrifiers_at_start_per_day)


def _a_minute_later(water: Water, truth: TankTruth) -> Water:
    step = 1.0 / MINUTES_PER_DAY
    copper, ripe = water.copper_mg_per_l, water.nitrifiers_per_day
    excreted = water.in_gut_mg_n * step * 24.0 / truth.gut_hours
    nitrified = ripe * water.total_ammonia_mg_n_per_l * step
    ripening = truth.nitrifier_growth_per_day * (1.0 - truth.copper_hold * copper)
    return Water(
        copper_mg_per_l=copper * (1.0 - truth.copper_loss_per_day * step),
        total_ammonia_mg_n_per_l=water.total_ammonia_mg_n_per_l + excreted / truth.volume_l - nitrified,
        nitrite_mg_n_per_l=water.nitrite_mg_n_per_l * (1.0 - 0.5 * ripe * step) + nitrified,
        in_gut_mg_n=water.in_gut_mg_n - excreted,
        nitrifiers_per_day=ripe + ripening * ripe * (1.0 - ripe / truth.nitrifier_limit_per_day) * step,
    )
