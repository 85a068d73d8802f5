"""The days of a course one by one: how likely each was held, which are lost to a dip, and which nothing tells of."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from itertools import groupby
from math import ceil
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.chances import held_words
from pratique.casework.copper import CourseCopper
from pratique.casework.course_dips import CourseDip, likely_dips, lost_days
from pratique.casework.facts import Facts
from pratique.casework.reckoning.reckoned import Level
from pratique.casework.sheets import DayCell

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.exposure import Chance, HeldDay

_DAY = timedelta(days=1)
_HOUR = timedelta(hours=1)
_SAME = 1e-9


@dataclass(frozen=True)
class _Course:
    """What the days of a course are told from; `known` is up to when anything tells the level."""

    copper: CourseCopper
    began: datetime
    known: datetime

    @cached_property
    def held(self) -> "tuple[HeldDay, ...]":
        return self.copper.exposure.days if self.copper.exposure is not None else ()

    @cached_property
    def dips(self) -> tuple[CourseDip, ...]:
        return likely_dips(self.copper)

    @cached_property
    def lost(self) -> frozenset[int]:
        return lost_days(self.copper)

    @cached_property
    def lowest(self) -> dict[int, Level]:
        """Return the level of each day when its median was lowest."""
        found: dict[int, Level] = {}
        if self.copper.reckoned is None:
            return found
        for moment, level in self.copper.reckoned.ribbon(self.began, self.known):
            day = (moment - self.began) // _DAY
            if day not in found or level.median < found[day].median:
                found[day] = level
        return found

    @cached_property
    def reached(self) -> "tuple[Chance, ...]":
        """Return how likely the required days in a row had been held by the end of each day."""
        from pratique.science.estimation.held_so_far import held_by  # noqa: PLC0415 - loads the compiled loops

        found = self.copper.reckoned
        if found is None or found.posterior is None:
            return ()
        start, end = found.ledger.day_of(self.began), found.ledger.day_of(self.known)
        return held_by(
            found.posterior.trajectories,
            found.posterior.days,
            lower=self.copper.course.target_lower,
            start_day=start,
            end_day=end,
            required_days=self.copper.course.required_days,
            by_days=[min(end, start + one.index + 1.0) for one in self.held],
        )

    def is_told(self, index: int) -> bool:
        """Return whether anything tells the level to the end of a day, or as far as the course went in it."""
        closes = min(self.began + (index + 1) * _DAY, self.copper.end)
        return index < len(self.held) and closes <= self.known + _HOUR


def day_cells(facts: Facts, copper: CourseCopper) -> tuple[DayCell, ...]:
    """Return the days of a course of copper up to its stop or to now, each of 24 hours from its start."""
    began = copper.course.started
    if began is None or began > copper.end or not copper.is_reckoned:
        return ()
    known = min(copper.known_until or began, copper.end)
    if copper.reckoned is not None:
        known = min(known, copper.reckoned.ledger.end)
    course = _Course(copper, began, known)
    first_day = began.astimezone(facts.zone).date()
    found: list[DayCell] = []
    for index in range(max(1, ceil((copper.end - began) / _DAY - _SAME))):
        day = first_day + timedelta(days=index)
        if course.is_told(index):
            found.append(_told_cell(course, index, day, was_reached=any(cell.held for cell in found)))
        else:
            found.append(_unknown_cell(index, day))
    return tuple(found)


def day_stretches(cells: Sequence[DayCell]) -> tuple[str, ...]:
    """Return the days in sentences, those alike told as one: `Days 3 to 10: surely held`."""
    found = []
    for words, group in groupby(cells, key=lambda cell: cell.words):
        days = [cell.day for cell in group]
        span = f"Day {days[0]}" if len(days) == 1 else f"Days {days[0]} to {days[-1]}"
        found.append(f"{span}: {words}.")
    return tuple(found)


def _unknown_cell(index: int, day: date) -> DayCell:
    return DayCell(
        day=index + 1,
        date=day,
        held=False,
        is_dip=False,
        is_lost=False,
        is_known=False,
        words="not known, no reading tells the level",
    )


def _told_cell(course: _Course, index: int, day: date, *, was_reached: bool) -> DayCell:
    held, counts = course.held[index].held.value, course.held[index].credited.value
    opens, closes = course.began + index * _DAY, course.began + (index + 1) * _DAY
    even = knowledge.figure("exposure.day_held_probability").value
    is_held = held >= even
    is_dip = not is_held and any(dip.start < closes and dip.end >= opens for dip in course.dips)
    is_lost = index in course.lost
    lowest = course.lowest.get(index)
    if is_dip:
        words = "a dip, the clock restarted"
    elif not is_held and not was_reached:
        words = "not yet at the band" if held_words(held) != held_words(even) else held_words(held)
    elif is_lost:
        words = f"{held_words(held)}, but lost: it lies before a dip"
    elif is_held and counts < even:
        words = f"{held_words(held)}, but perhaps not unbroken since"
    else:
        words = held_words(held)
    return DayCell(
        day=index + 1,
        date=day,
        held=is_held,
        is_dip=is_dip,
        is_lost=is_lost,
        words=words,
        probability=held,
        counts=counts,
        reached=course.reached[index].value,
        lowest=lowest.median if lowest else None,
        lowest_low=lowest.low if lowest else None,
        lowest_high=lowest.high if lowest else None,
    )
