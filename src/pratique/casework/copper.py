"""The copper of a course: its track from the ledger, and what it has been credited with."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from pratique import knowledge
from pratique.casework.copper_told import (
    CONSTITUENT,
    Told,
    copper_entries,
    copper_substances,
    since_last_known,
    told_by,
    track_of,
)
from pratique.casework.facts import LOOK_BACK, Facts
from pratique.casework.timeline import hours_of
from pratique.knowledge import CopperForm
from pratique.ledger.entries import Recorded
from pratique.ledger.states import CourseState
from pratique.science.estimation import mass_balance
from pratique.science.estimation.straight_exposure import Exposure, exposure

__all__ = ["CONSTITUENT", "CourseCopper", "copper_substances", "course_copper", "form_of", "stale_after", "uuids"]


@dataclass(frozen=True)
class CourseCopper:
    """A course's copper: the entries behind it, and the track and exposure where the net volume is known.

    `told` is None for a course of anything but copper: such a course is not reckoned.
    """

    course: CourseState
    entries: tuple[Recorded, ...]
    told: Told | None
    track: mass_balance.Track | None
    exposure: Exposure | None
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

    def entry(self, entry_id: str | None) -> Recorded | None:
        """Return one of the entries behind the track."""
        return next((one for one in self.entries if str(one.id) == entry_id), None)

    def held_between(self, start: datetime, end: datetime) -> Exposure | None:
        """Return the exposure in a part of the course, such as one animal's stay in its water; None if not reckoned."""
        begun, closes = self.course.started, min(end, self.end)
        if self.track is None or begun is None or max(start, begun) > closes:
            return None
        known = self.known_until
        opens = hours_of(max(start, begun))
        return exposure(
            self.track,
            lower=self.course.target_lower,
            hard_upper=self.course.hard_upper,
            start=opens,
            end=hours_of(closes),
            known_until=hours_of(known) if known is not None else opens,
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
    end = min(course.stopped or facts.now, facts.now)
    start = course.started or course.planned
    form = form_of(course)
    if form is None:
        return CourseCopper(course, (), None, None, None, end)
    found = copper_entries(course.system, since=start - LOOK_BACK, until=end)
    entries = tuple(since_last_known(facts.household, found, form, moment=start - timedelta(days=1)))
    told = told_by(facts.household, entries, form)
    has_begun = course.started is not None and course.started <= end
    system = facts.household.system_or_missing(course.system)
    track = track_of(system, told, until=end) if has_begun else None
    copper = CourseCopper(course, entries, told, track, None, end)
    return CourseCopper(course, entries, told, track, copper.held_between(start, end), end)


def last_seen(copper: CourseCopper) -> datetime | None:
    """Return the moment from which the level of a course is not known any more, if it ended before the course did."""
    known = copper.known_until
    if known is None:
        return copper.course.started
    return known if known < copper.end else None


def uuids(names: Iterable[str | None]) -> tuple[UUID, ...]:
    """Return the entry ids that science carried as text."""
    return tuple(UUID(name) for name in names if name)
