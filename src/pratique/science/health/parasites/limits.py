"""The shortest and longest stages of a parasite at a temperature, and the days of a plan that follow from them."""

from dataclasses import dataclass
from math import ceil, exp

from pratique import knowledge
from pratique.knowledge.parasites import Bounds
from pratique.science.chemistry.domain import require_within

_HOURS_PER_DAY = 24.0
_ROUNDING = 1e-9


@dataclass(frozen=True)
class StageLimits:
    """Days of each stage: on the fish, off it until hatching, swimming; `latest_extreme` is the longest ever reported.

    For flukes the stage on the fish is that from settling to laying. `develops` says whether any hatches at this
    temperature: where not, what waits may still live, and hatch when it is warmed. `may_sleep` says whether it is so
    cold that what waits may outlast every limit here.
    """

    shortest_on_host: float
    longest_on_host: float
    earliest_hatch: float
    latest_hatch: float
    latest_extreme: float
    longest_swim: float
    develops: bool
    may_sleep: bool


def limits_of(parasite: str, temperature_c: float) -> StageLimits:
    """Return the limits of a parasite's stages at a temperature in °C.

    Raises KeyError for an unknown parasite and DomainError outside 0 to 45 °C. Source: `knowledge.parasites`.
    """
    known = knowledge.parasite(parasite)
    require_within("The temperature", temperature_c, lower=0.0, upper=45.0, unit="°C")
    host, off = known.host_bounds, known.off_host_bounds
    return StageLimits(
        shortest_on_host=host.shortest_days * _shorter(host, temperature_c),
        longest_on_host=host.longest_days * _longer(host, temperature_c),
        earliest_hatch=off.shortest_days * _shorter(off, temperature_c),
        latest_hatch=off.longest_days * _longer(off, temperature_c),
        latest_extreme=off.extreme_days * _longer(off, temperature_c),
        longest_swim=known.swimmer_life_hours.high / _HOURS_PER_DAY,
        may_sleep=temperature_c < known.sleeps_below_c.value,
        develops=known.develops_c.low < temperature_c < known.develops_c.high,
    )


def transfers_needed(limits: StageLimits) -> int:
    """Return how many moves to clean tanks break the cycle, that of day 0 among them.

    The moves lie `earliest_hatch` days apart, so nothing hatches between two; the last must come after the longest stay
    on the fish. Source: Colorni 1985, 4 moves at 3 days.
    """
    return ceil(limits.longest_on_host / limits.earliest_hatch - _ROUNDING) + 1


def transfer_days(limits: StageLimits) -> tuple[float, ...]:
    """Return the latest days to move on, the day of arrival being 0."""
    return tuple(n * limits.earliest_hatch for n in range(transfers_needed(limits)))


def worst_chain_days(limits: StageLimits) -> float:
    """Return the days from arrival to the end of the longest stay, the last hatching after it and the longest swim."""
    return limits.longest_on_host + limits.latest_hatch + limits.longest_swim


def covers_extreme(limits: StageLimits, days: float) -> bool:
    """Return whether a course of so many days outlasts the worst chain."""
    return days >= worst_chain_days(limits) - _ROUNDING


def fallow_days(limits: StageLimits) -> float:
    """Return the days without fish after which even the longest wait ever reported is over."""
    return limits.latest_extreme + limits.longest_swim


def second_dose_window(limits: StageLimits) -> tuple[float, float]:
    """Return from which day after the first dose the second may be given, and before which day it must.

    Not before the last egg has hatched, for eggs live through a dose; before the first of those hatched lays. The
    window is empty where the first day is not before the second.
    """
    return limits.latest_hatch, limits.earliest_hatch + limits.shortest_on_host


def _shorter(bounds: Bounds, temperature_c: float) -> float:
    return exp(-bounds.shorter_per_c * max(temperature_c - bounds.at_c, 0.0))


def _longer(bounds: Bounds, temperature_c: float) -> float:
    return exp(bounds.longer_per_c * max(bounds.at_c - temperature_c, 0.0))
