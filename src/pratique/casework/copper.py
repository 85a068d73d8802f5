"""The copper of a course: what the ledger tells of it, the level reckoned, and how long it was held."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.copper_level import level_of
from pratique.casework.copper_told import (
    CONSTITUENT,
    Told,
    copper_entries,
    copper_substances,
    since_last_known,
    told_by,
)
from pratique.casework.facts import LOOK_BACK, Facts
from pratique.casework.reckoning.reckoned import Level, Reckoned, reckoned
from pratique.knowledge import CopperForm
from pratique.ledger.entries import Recorded
from pratique.ledger.states import CourseState, SystemState

if TYPE_CHECKING:
    # Only for the type: its loops are compiled when a level is reckoned, not when a page starts.
    from pratique.science.estimation.exposure import Exposure

__all__ = [
    "CONSTITUENT",
    "CourseCopper",
    "copper_substances",
    "course_copper",
    "entries_in",
    "form_of",
    "last_seen",
    "reckoned_in",
    "stale_after",
]

_DAY = timedelta(days=1)


@dataclass(frozen=True)
class CourseCopper:
    """A course's copper: the entries behind it, and the level and exposure reckoned from them.

    `told` is None for a course of anything but copper: such a course is not reckoned. `reckoned` is None before a
    course begins and where nothing at all tells of copper. Level and exposure are reckoned when asked for.
    """

    course: CourseState
    entries: tuple[Recorded, ...]
    told: Told | None
    reckoned: Reckoned | None
    end: datetime

    @property
    def is_reckoned(self) -> bool:
        """Return whether the course is one of copper, whose level is reckoned."""
        return self.told is not None

    @property
    def known_until(self) -> datetime | None:
        """Return up to when the newest reading of the course can be relied on; None where none was taken."""
        newest = self.told.newest_reading if self.told is not None else None
        return newest.happened_at + stale_after() if newest is not None else None

    @property
    def last_reading(self) -> Recorded | None:
        """Return the newest copper reading of the course, by whatever method."""
        return next((one for one in reversed(self.entries) if one.kind == "reading"), None)

    @cached_property
    def level(self) -> Level | None:
        """Return the level at the course's stop, or now while it is open; None where it is not known."""
        return level_of(self.told, self.reckoned, until=self.end) if self.told is not None else None

    @cached_property
    def exposure(self) -> "Exposure | None":
        """Return the exposure of the whole course as far as it is known; None where nothing of it is."""
        begun = self.course.started
        return self.held_between(begun, self.end) if begun is not None else None

    def entry(self, entry_id: str | None) -> Recorded | None:
        """Return one of the entries behind the level."""
        return next((one for one in self.entries if str(one.id) == entry_id), None)

    def held_between(self, start: datetime, end: datetime, *, required_days: float | None = None) -> "Exposure | None":
        """Return the exposure in a part of the course, such as one animal's stay in its water; None if not known.

        It closes where the newest reading no longer tells the level: what came later is neither credited nor lost.
        The course's own days are asked for where `required_days` is not given.
        """
        begun, known, found = self.course.started, self.known_until, self.reckoned
        if begun is None or known is None or found is None or found.problem:
            return None
        opens, closes = max(start, begun), min(end, self.end, known, found.ledger.end)
        if opens > closes:
            return None
        return found.exposure(
            lower=self.course.target_lower,
            upper=self.course.hard_upper,
            start=opens,
            end=closes,
            required_days=self.course.required_days if required_days is None else required_days,
        )


def form_of(course: CourseState) -> CopperForm | None:
    """Return the form of copper a course is bound to, or None for a course of something else."""
    return knowledge.substance_or_unknown(course.substance).form


def stale_after() -> timedelta:
    """Return how long a copper reading speaks for the water."""
    return timedelta(hours=knowledge.figure("reading.stale_hours.copper").value)


def course_copper(facts: Facts, course: CourseState) -> CourseCopper:
    """Return what the ledger says of a course's copper up to its stop, or to now while it is open.

    It begins with the last reading or emptying before the course, so that copper already there is counted, and a day
    earlier than that, so that the doses of the last day are.
    """
    return facts.once(("course copper", course), lambda: _course_copper(facts, course))


def _course_copper(facts: Facts, course: CourseState) -> CourseCopper:
    end = min(course.stopped or facts.now, facts.now)
    start = course.started or course.planned
    form = form_of(course)
    if form is None:
        return CourseCopper(course, (), None, None, end)
    found = entries_in(facts, course.system, since=start - LOOK_BACK, until=end)
    entries = tuple(since_last_known(facts.household, found, form, moment=start - _DAY))
    told = told_by(facts.household, entries, form)
    if course.started is None or course.started > end:
        return CourseCopper(course, entries, told, None, end)
    system = facts.household.system_or_missing(course.system)
    held = reckoned_in(facts, system, since=start - _DAY, until=end, form=form)
    return CourseCopper(course, entries, told, held, end)


def entries_in(facts: Facts, system: str, *, since: datetime, until: datetime) -> list[Recorded]:
    """Return what tells of copper in a system until a moment, read once for a look."""
    back_to = min([since, facts.since, *_looks_back(facts, system)])
    found = facts.once(
        ("copper entries", system, back_to), lambda: copper_entries(system, since=back_to, until=facts.now)
    )
    first = bisect_left(found, since, key=_moment)
    return found[first : bisect_right(found, min(until, facts.now), key=_moment)]


def _looks_back(facts: Facts, system: str) -> list[datetime]:
    """Return how far back the courses of a system are looked into whose entries a page may ask for again."""
    return [
        course.started - LOOK_BACK
        for course in facts.household.courses_of(system)
        if course.started is not None and (course.stopped is None or course.stopped > facts.since)
    ]


def _moment(entry: Recorded) -> datetime:
    return entry.happened_at


def reckoned_in(
    facts: Facts, system: SystemState, *, since: datetime, until: datetime, form: CopperForm
) -> Reckoned | None:
    """Return the copper reckoned in a system, once for a look: the course and its water share one."""
    return facts.once(
        ("copper reckoned", system.key, since, until, form),
        lambda: reckoned(facts, system, CONSTITUENT, since=since, until=until, form=form),
    )


def last_seen(copper: CourseCopper) -> datetime | None:
    """Return the moment from which the level of a course is not known any more, if it ended before the course did."""
    known = copper.known_until
    if known is None:
        return copper.course.started
    return known if known < copper.end else None
