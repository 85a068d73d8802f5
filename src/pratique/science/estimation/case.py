"""One case for the reckoning: what is believed beforehand, what was done, and what was read.

Times are days since the case's start; levels are in the constituent's own unit (mg/L for what is dosed by weight).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from pratique.science.estimation.reading import Method, Observed


@dataclass(frozen=True)
class Volume:
    """Net volume: normal about `mean_l` with `sd_l`, cut at the largest water change.

    `is_lognormal` is for a tank nobody measured: then `mean_l` is the median and `sd_l` the sd of its logarithm.
    """

    mean_l: float
    sd_l: float
    is_lognormal: bool = False


@dataclass(frozen=True)
class Loss:
    """First-order loss per day, lognormal about its median; `log_sd` 0 means known, a median of 0 means none."""

    median_per_day: float = 0.0
    log_sd: float = 0.0


@dataclass(frozen=True)
class Source:
    """Net gain per day, normal at the start, wandering by `walk_sd_per_sqrt_day`."""

    mean_per_day: float = 0.0
    sd_per_day: float = 0.0
    walk_sd_per_sqrt_day: float = 0.0


@dataclass(frozen=True)
class Initial:
    """The level at the start, normal and not cut."""

    mean: float
    sd: float


@dataclass(frozen=True)
class Dose:
    """`amount_mg` added at `day`, each time with its own relative error."""

    day: float
    amount_mg: float
    relative_sd: float = 0.0
    entry: str = ""


@dataclass(frozen=True)
class Change:
    """`volume_l` of water replaced at `day` by water at level `incoming`."""

    day: float
    volume_l: float
    incoming: float = 0.0
    incoming_sd: float = 0.0
    entry: str = ""


@dataclass(frozen=True)
class Pulse:
    """`amount_mg` released evenly over `hours` from `day` on, as food turns into ammonia."""

    day: float
    amount_mg: float
    hours: float
    relative_sd: float = 0.0
    entry: str = ""


@dataclass(frozen=True)
class Media:
    """The loss per day jumps by a known amount at `day`: carbon put in (above 0) or taken out (below 0)."""

    day: float
    extra_loss_per_day: float
    entry: str = ""


@dataclass(frozen=True)
class Unlogged:
    """Something nobody wrote down at `day` that may have moved the level by `level_sd`, either way."""

    day: float
    level_sd: float
    entry: str = ""


@dataclass(frozen=True)
class Refill:
    """All water let out at `day` and new water filled in at `level`: level and source of before count no more.

    The source begins anew: as the case's own, or until the next dose as `source` where the new water's is better known.
    """

    day: float
    level: float
    level_sd: float
    entry: str = ""
    source: Source | None = None


type Event = Dose | Change | Pulse | Media | Unlogged | Refill


@dataclass(frozen=True)
class Reading:
    """What was read at `day`, by a method named in the case."""

    day: float
    method: str
    observed: Observed
    entry: str = ""


@dataclass(frozen=True)
class Band:
    """The level to hold: at or above `lower`, and not above `upper`."""

    lower: float
    upper: float


@dataclass(frozen=True)
class Case:
    """Everything one reckoning rests on.

    `level_walk_sd_per_sqrt_day` lets the level itself wander, for what is not dosed (temperature, pH);
    `stock_strength_relative_sd` is one unknown shared by every dose of the case.
    """

    constituent: str
    unit: str
    span_days: float
    initial: Initial
    grid_hours: float = 1.0
    volume: Volume = Volume(1.0, 0.0)
    loss: Loss = Loss()
    source: Source = Source()
    level_walk_sd_per_sqrt_day: float = 0.0
    stock_strength_relative_sd: float = 0.0
    methods: Mapping[str, Method] = field(default_factory=dict)
    events: tuple[Event, ...] = ()
    readings: tuple[Reading, ...] = ()
    band: Band | None = None
    required_days: float | None = None
    seed: int = 0
    draws: int = 4000

    @property
    def largest_change_l(self) -> float:
        """Return the largest volume changed at once, L; the tank cannot hold less."""
        return max((event.volume_l for event in self.events if isinstance(event, Change)), default=0.0)

    @property
    def needs_volume(self) -> bool:
        """Return whether anything was done whose effect depends on the volume."""
        return any(isinstance(event, Dose | Change | Pulse) for event in self.events)
