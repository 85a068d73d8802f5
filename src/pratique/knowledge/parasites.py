"""What is known of the parasites of reef fishes, each figure with how far it can be trusted."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import log

from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status

_HALF_OF_90_PERCENT = 1.6449


@dataclass(frozen=True)
class _Sourced:
    """A figure that says where it comes from; ValueError without."""

    source: str
    status: Status

    def __post_init__(self) -> None:
        if not self.source.strip():
            raise ValueError("a figure lacks a source")


@dataclass(frozen=True, kw_only=True)
class Uncertain(_Sourced):
    """A figure with `low` to `high`, which holds 90 % of what is believed of it."""

    value: float
    low: float
    high: float
    unit: str

    def __post_init__(self) -> None:
        super().__post_init__()
        if not self.low <= self.value <= self.high:
            raise ValueError(f"{self.value} does not lie between {self.low} and {self.high}")

    @property
    def log_sd(self) -> float:
        """Return the standard deviation of its logarithm: 0 for a figure taken as it is; ValueError for a low of 0."""
        if self.low <= 0.0:
            raise ValueError("a figure whose low end is 0 has no spread of its logarithm")
        return log(self.high / self.low) / (2.0 * _HALF_OF_90_PERCENT)


@dataclass(frozen=True, kw_only=True)
class Span(_Sourced):
    """The least and the most that was seen; ValueError where the least is more."""

    low: float
    high: float
    unit: str

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.low > self.high:
            raise ValueError(f"{self.low} is more than {self.high}")


@dataclass(frozen=True, kw_only=True)
class Bounds(_Sourced):
    """The shortest and longest days of a stage at `at_c`, and the extreme of all reports.

    The shortest shortens by `shorter_per_c` (of its logarithm) a degree above `at_c` and is not lengthened below; the
    longest lengthens by `longer_per_c` a degree below and is not shortened above: caution at both ends. ValueError
    where the days are out of order.
    """

    shortest_days: float
    longest_days: float
    extreme_days: float
    at_c: float
    shorter_per_c: float
    longer_per_c: float

    def __post_init__(self) -> None:
        super().__post_init__()
        if not 0.0 < self.shortest_days <= self.longest_days <= self.extreme_days:
            raise ValueError(
                f"{self.shortest_days}, {self.longest_days} and {self.extreme_days} days are not in their order"
            )


@dataclass(frozen=True, kw_only=True)
class Shape(_Sourced):
    """How the days of a stage are spread within its bounds: log-normal, with stragglers.

    The median's logarithm falls by `faster_per_c` a degree, and by `colder_per_c` more below `cold_below_c`; above
    `warmest_c` it falls no more. `log_sd` is the spread within one isolate and differs between isolates by
    `log_sd_between` (of its logarithm), their medians by `median_between`. `early` and `late` are the shares that come
    anywhere between the shortest and the median, or the median and the longest days, each uncertain by `shares_log_sd`.
    """

    median_days: float
    at_c: float
    faster_per_c: float
    cold_below_c: float
    colder_per_c: float
    warmest_c: float
    log_sd: float
    log_sd_between: float
    median_between: float
    early: float
    late: float
    shares_log_sd: float
    chance_of_extreme: float


@dataclass(frozen=True, kw_only=True)
class EverHatching(_Sourced):
    """One kind of isolate, by `weight`: the fraction that ever hatches at each (°C, fraction), straight between."""

    weight: float
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, kw_only=True)
class HatchingSeen(_Sourced):
    """A fraction of all cysts or eggs that was seen to have hatched by a day."""

    temperature_c: float
    day: float
    fraction: float


@dataclass(frozen=True, kw_only=True)
class Limit(_Sourced):
    """One figure with its unit and without a spread."""

    value: float
    unit: str


@dataclass(frozen=True, kw_only=True)
class Parasite(_Sourced):
    """One parasite of reef fishes: its stages, its number, what is seen of it and what kills it.

    `swimmers_per_off_host` is what one cyst sets free, 1 for an egg; `infection_probability` the chance that one
    swimmer settles in a tank with fish and nothing against it. `detection_at_burden_10` is the chance that one look at
    an animal with ten parasites finds them; `carried_on_move` that one off the fish goes along to a clean tank.
    Copper's figures are of ionic copper: the level that keeps half of the swimmers from settling, and the log-logistic
    slope. Low salinity kills what waits off the fish at or below `lethal_psu`, where there is one.
    """

    key: str
    name: str
    host_stage: str
    off_host_stage: str
    swimmer: str
    host_bounds: Bounds
    off_host_bounds: Bounds
    host_shape: Shape
    off_host_shape: Shape
    ever_hatching: tuple[EverHatching, ...]
    hatching_seen: tuple[HatchingSeen, ...] = ()
    off_host_fraction: Uncertain
    swimmers_per_off_host: Uncertain
    swimmer_infective_hours: Span
    swimmer_life_hours: Span
    infection_probability: Uncertain
    clumping: Uncertain
    burden_cap: Uncertain
    initial_burden: Uncertain
    initially_infected_probability: Uncertain
    detection_at_burden_10: Uncertain
    carried_on_move: Uncertain
    copper_half_kill_mg_per_l: Uncertain
    copper_slope: Uncertain
    low_salinity_strain_probability: Uncertain
    bath_kill_fraction: Uncertain
    develops_c: Span
    sleeps_below_c: Limit
    usual_c: Span
    lethal_psu: Uncertain | None = None
    eggs_per_adult_per_day: Uncertain | None = None
    adult_life_days: Uncertain | None = None

    @property
    def lays_eggs(self) -> bool:
        """Return whether adults stay on the fish and lay eggs."""
        return self.eggs_per_adult_per_day is not None


@cache
def _parasites() -> Mapping[str, Parasite]:
    return read("parasites.toml", Parasite)


def parasites() -> tuple[Parasite, ...]:
    """Return every parasite."""
    return tuple(_parasites().values())


def parasite(key: str) -> Parasite:
    """Return one parasite; KeyError with a plain sentence for an unknown key."""
    return pick(_parasites(), key, what="parasite")
