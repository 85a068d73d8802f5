"""A protocol laid out over days at a temperature: when each leg, move, course and dose falls, if all goes well."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import ceil

import numpy as np
from numpy.typing import NDArray

from pratique import knowledge
from pratique.knowledge import CoursePlan, Leg, Protocol
from pratique.science.chemistry.domain import DomainError
from pratique.science.health.parasites.limits import limits_of, second_dose_window, transfers_needed

type Array = NDArray[np.float64]

RECOVERY = "recover"
# Too few letters to say why.
MIN_REASON_LETTERS = 15
_HOURS_PER_DAY = 24.0
_ROUNDING = 1e-9


@dataclass(frozen=True)
class PlannedCourse:
    """A course on the days of the passage: from its first day through the days at target to its last.

    `doses` are the days of single doses, `spans` those on which something of it is in the water. `is_window_kept` is
    False where the stages leave no day for the second dose.
    """

    course: CoursePlan
    starts: float
    at_target_from: float
    at_target_until: float
    ends: float
    doses: tuple[float, ...] = ()
    spans: tuple[tuple[float, float], ...] = ()
    is_window_kept: bool = True


@dataclass(frozen=True)
class PlannedLeg:
    """A leg on the days of the passage; `moves` are those into clean tanks, that of its first day among them."""

    leg: Leg
    starts: float
    ends: float
    moves: tuple[float, ...]
    courses: tuple[PlannedCourse, ...]


@dataclass(frozen=True)
class Plan:
    """A whole passage on its days, the day of arrival being 0."""

    protocol: Protocol
    temperature_c: float
    legs: tuple[PlannedLeg, ...]

    @property
    def days_total(self) -> float:
        """Return the days from arrival to the last gate."""
        return self.legs[-1].ends

    @property
    def moves(self) -> tuple[float, ...]:
        """Return the days of every move into a clean tank."""
        return tuple(day for leg in self.legs for day in leg.moves)

    @property
    def transfers(self) -> int:
        """Return how many moves break the cycle in a transfer from tank to tank, that of its day 0 among them."""
        return sum(len(leg.moves) for leg in self.legs if leg.leg.moves)

    @property
    def courses(self) -> tuple[PlannedCourse, ...]:
        """Return every course in order of legs."""
        return tuple(course for leg in self.legs for course in leg.courses)

    @property
    def days_medicated(self) -> float:
        """Return the days on which any medicine is in the water; lowered salinity is none."""
        return _length_of(span for one in self.courses if one.course.substance is not None for span in one.spans)

    def baths_against(self, parasite: str) -> tuple[float, ...]:
        """Return the days of the doses that kill a parasite on the animals."""
        return tuple(d for one in self.courses if parasite in one.course.against for d in one.doses)

    def leg(self, key: str) -> PlannedLeg | None:
        """Return a leg by its key, or None where the plan has none."""
        return next((one for one in self.legs if one.leg.key == key), None)


def without_recovery(protocol: Protocol, reason: str) -> Protocol:
    """Return the protocol without its recovery leg, carrying the reason; DomainError where none is written."""
    if len(reason.strip()) < MIN_REASON_LETTERS:
        raise DomainError("Write why the recovery is left out: what does this animal gain by going without it?")
    legs = tuple(leg for leg in protocol.legs if leg.key != RECOVERY)
    return replace(protocol, legs=legs, recovery_dropped=reason.strip())


def longer_recovery(protocol: Protocol, days: float) -> Protocol:
    """Return the protocol with so many days added to its recovery, or taken off it down to none.

    Raises DomainError for a protocol without a recovery.
    """
    if all(leg.key != RECOVERY for leg in protocol.legs):
        raise DomainError("This protocol has no recovery to make longer.")
    legs = (replace(leg, days=max(leg.days + days, 0.0)) if leg.key == RECOVERY else leg for leg in protocol.legs)
    return replace(protocol, legs=tuple(legs))


def lay_out(protocol: Protocol, temperature_c: float) -> Plan:
    """Return the protocol on its days at a temperature in °C, the day of arrival being 0.

    The count of moves and the second dose follow from the stages. Raises KeyError for an unknown parasite and
    DomainError for a temperature outside 0 to 45 °C.
    """
    start, legs = 0.0, []
    for leg in protocol.legs:
        moves = _moves(leg, start, temperature_c)
        courses = tuple(_course(one, start, temperature_c) for one in leg.courses)
        ends = [start + leg.days, *(one.ends for one in courses if one.course.agent != "bath")]
        ends += [dose for one in courses for dose in one.doses]
        if leg.moves:
            ends.append(moves[-1] + _between(leg, temperature_c))
        legs.append(PlannedLeg(leg, start, max(ends), moves, courses))
        start = max(ends)
    return Plan(protocol, temperature_c, tuple(legs))


def copper_level(plan: Plan, days: Array) -> Array:
    """Return the level each day is to have in the unit of the plan's form: up the ramp, held at mid-target, gone."""
    found = np.zeros_like(days)
    for one in plan.courses:
        if one.course.agent == "copper":
            lower, upper, _ = band_of(one.course)
            rising = np.clip((days - one.starts) / max(one.at_target_from - one.starts, _ROUNDING), 0.0, 1.0)
            # The last day of the ramp ends at the lower target, from which the days at target are counted.
            level = np.where(days < one.at_target_from, lower * rising, (lower + upper) / 2.0)
            found = np.maximum(found, np.where((days >= one.starts) & (days < one.ends), level, 0.0))
    return found


def salinity_level(plan: Plan, days: Array, *, usual_psu: float) -> Array:
    """Return the salinity each day is to have in PSU."""
    found = np.full_like(days, usual_psu)
    for one in plan.courses:
        if one.course.agent == "low_salinity":
            lower, upper, _ = band_of(one.course)
            low = (lower + upper) / 2.0
            knots = [one.starts, one.at_target_from, one.at_target_until, one.ends]
            found = np.minimum(found, np.interp(days, knots, [usual_psu, low, low, usual_psu]))
    return found


def band_of(course: CoursePlan) -> tuple[float, float, float]:
    """Return the target's two ends and the hard upper limit: the course's own, or that of its form of copper.

    Raises DomainError for a course that has no band at all.
    """
    own = (course.target_lower, course.target_upper, course.hard_upper)
    if own[0] is not None and own[1] is not None and own[2] is not None:
        return own[0], own[1], own[2]
    form = knowledge.substance(course.substance).form if course.substance is not None else None
    if form is None:
        raise DomainError(f"{course.name} has no band.")
    band = knowledge.copper_band(form)
    return band.target_lower, band.target_upper, band.hard_upper


def _between(leg: Leg, temperature_c: float) -> float:
    """Return the days between two moves: what the protocol says, and never past the earliest hatching."""
    return min(
        min(one.every_hours / _HOURS_PER_DAY, limits_of(one.parasite, temperature_c).earliest_hatch)
        for one in leg.moves
    )


def _moves(leg: Leg, start: float, temperature_c: float) -> tuple[float, ...]:
    if not leg.moves:
        return (start,) if leg.is_clean_move else ()
    every = _between(leg, temperature_c)
    counts = [
        transfers_needed(replace(limits_of(one.parasite, temperature_c), earliest_hatch=every)) for one in leg.moves
    ]
    return tuple(start + n * every for n in range(max(counts)))


def _course(course: CoursePlan, leg_start: float, temperature_c: float) -> PlannedCourse:
    start = leg_start + course.starts_day
    if course.agent == "bath":
        return _bath(course, start, temperature_c)
    reached = start + course.ramp_days
    until = reached + course.days
    ends = until + course.leaving_days
    return PlannedCourse(course, start, reached, until, ends, spans=((start, ends),))


def _bath(course: CoursePlan, start: float, temperature_c: float) -> PlannedCourse:
    """Return a bath's doses: the second on the first whole day the window is open, if there is one before it shuts."""
    doses, is_kept = [start], True
    if course.second_dose_by is not None:
        opens, shuts = second_dose_window(limits_of(course.second_dose_by, temperature_c))
        whole = float(ceil(opens - _ROUNDING))
        is_kept = opens < shuts
        doses.append(start + (whole if whole < shuts else (opens + shuts) / 2.0 if is_kept else whole))
    stays = course.present_days or (0.0,)
    spans = tuple((day, day + stays[min(n, len(stays) - 1)]) for n, day in enumerate(doses))
    ends = max(end for _, end in spans)
    return PlannedCourse(course, start, start, ends, ends, tuple(doses), spans, is_kept)


def _length_of(spans: Iterable[tuple[float, float]]) -> float:
    """Return the days that at least one span covers."""
    total, reached = 0.0, float("-inf")
    for start, end in sorted(spans):
        total += max(end - max(start, reached), 0.0)
        reached = max(reached, end)
    return total
