"""A change of salinity as a schedule of water swaps that never goes faster than a limit."""

import math
from dataclasses import dataclass
from itertools import pairwise

from pratique.science.chemistry.dilution import change_fraction_to_reach
from pratique.science.chemistry.domain import DomainError, require_at_least

# A schedule longer than this is a mistake in its limit, not a plan.
_MOST_STEPS = 1000


@dataclass(frozen=True)
class Step:
    """One swap: `at_hours` from the start, take `litres` out and put as much of the incoming water in."""

    at_hours: float
    from_psu: float
    to_psu: float
    litres: float


@dataclass(frozen=True)
class Pace:
    """How fast salinity may move: at most `psu_per_day`, in swaps `hours_between` apart; both above zero."""

    psu_per_day: float
    hours_between: float = 24.0

    def __post_init__(self) -> None:
        if not (self.psu_per_day > 0.0 and self.hours_between > 0.0):
            raise DomainError("The pace of a change and the hours between its steps must be above zero.")

    def largest_step_psu(self) -> float:
        """Return the most that one swap may move."""
        return self.psu_per_day * self.hours_between / 24.0


def salinity_steps(
    start_psu: float, target_psu: float, *, incoming_psu: float, volume_l: float, pace: Pace
) -> tuple[Step, ...]:
    """Return equal steps from one salinity to another, by swaps with water at `incoming_psu`; none where it is there.

    The first is at once, so no span of hours moves more than the pace allows and one step. Raises DomainError where the
    incoming water cannot bring it about, and for a pace so slow that it takes more than a thousand steps.
    """
    require_at_least("The volume", volume_l, lower=0.0)
    require_at_least("The salinity", min(start_psu, target_psu, incoming_psu), lower=0.0)
    change_fraction_to_reach(start_psu, target_psu, incoming=incoming_psu)
    needed = abs(target_psu - start_psu) / pace.largest_step_psu()
    if not needed <= _MOST_STEPS:
        raise DomainError("At that pace it would take more than a thousand steps; allow more in a day.")
    count = math.ceil(needed - 1e-9)
    marks = [start_psu + (target_psu - start_psu) * number / count for number in range(count)] + [target_psu]
    return tuple(
        Step(
            at_hours=number * pace.hours_between,
            from_psu=here,
            to_psu=there,
            litres=volume_l * change_fraction_to_reach(here, there, incoming=incoming_psu),
        )
        for number, (here, there) in enumerate(pairwise(marks))
    )
