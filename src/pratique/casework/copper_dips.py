"""Where a course's copper likely dipped below its target, and what that leaves and costs of its days."""

import math
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.copper import CourseCopper
from pratique.casework.course_sureness import sure_days
from pratique.casework.reckoning.reckoned import Level

if TYPE_CHECKING:
    from pratique.science.estimation.exposure import Chance

# Where PROBABILITIES has the middle.
_MIDDLE = 3
_ROUNDING = 1e-9
_STEP = timedelta(hours=1)


@dataclass(frozen=True)
class LikelyDip:
    """A stretch in which the level likely went below the target after it was reached.

    `likeliest` is when it is likeliest to have been below, `lowest` the lowest level reckoned in the stretch.
    """

    start: datetime
    end: datetime
    likeliest: datetime
    chance: "Chance"
    lowest: Level


def dips_of(copper: CourseCopper, *, at_least: float | None = None) -> tuple[LikelyDip, ...]:
    """Return the dips of a course that are at least so likely: as likely as a dip that is acted on, unless told."""
    held, found = copper.exposure, copper.reckoned
    if held is None or found is None:
        return ()
    least = knowledge.figure("copper.dip_probability").value if at_least is None else at_least
    dips = []
    for dip in held.dips:
        if dip.probability.value < least:
            continue
        start, end, likeliest = (found.ledger.moment_of(day) for day in (dip.start_day, dip.end_day, dip.day))
        lowest = min((level for _, level in found.ribbon(start, end)), key=lambda one: one.mean)
        dips.append(LikelyDip(start, end, likeliest, dip.probability, lowest))
    return tuple(dips)


def days_counted(copper: CourseCopper) -> int:
    """Return the whole days of the run that stands, with 95 %: a dip anywhere restarted it."""
    held = copper.exposure
    return math.floor(sure_days(held) + _ROUNDING) if held is not None else 0


def days_lost(copper: CourseCopper) -> int:
    """Return the whole days held before each likely dip, which count no more."""
    opens, lost = copper.course.started, 0
    for dip in dips_of(copper):
        held = copper.held_between(opens, dip.start - _STEP) if opens is not None else None
        lost += math.floor(held.credited_days.quantiles[_MIDDLE] + _ROUNDING) if held is not None else 0
        opens = dip.end
    return lost
