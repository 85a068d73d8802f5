"""The copper in a system's water as it is now, whether a course is under way there or not."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from uuid import UUID

from pratique import knowledge
from pratique.casework.copper import entries_in, form_of, reckoned_in
from pratique.casework.copper_level import level_of
from pratique.casework.copper_told import CONSTITUENT, Told, copper_substances, told_by
from pratique.casework.facts import RECENT, Facts
from pratique.casework.reckoning.reckoned import Level, Reckoned, reckoned
from pratique.knowledge import CopperForm
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.water import Reading
from pratique.ledger.states import CourseState, SystemState

_DAY = timedelta(days=1)


@dataclass(frozen=True)
class WaterCopper:
    """What tells of copper in a system's water, and the level reckoned from it up to `now`."""

    system: SystemState
    entries: tuple[Recorded, ...]
    told: Told
    reckoned: Reckoned | None
    now: datetime

    @cached_property
    def level(self) -> Level | None:
        """Return the level now; None where it is not known."""
        return level_of(self.told, self.reckoned, until=self.now)

    @property
    def newest(self) -> tuple[Recorded, Reading] | None:
        """Return the newest copper reading, by whatever method."""
        found = ((one, one.payload) for one in reversed(self.entries))
        return next(((entry, payload) for entry, payload in found if isinstance(payload, Reading)), None)

    @property
    def may_hold_copper(self) -> bool:
        """Return whether copper went in or was found, and neither a clear reading nor all new water says it is gone.

        A level that is only reckoned to have fallen proves nothing: how fast copper is lost is a guess.
        """
        told, present = self.told, knowledge.figure("copper.absent_mg_per_l").value
        if told.foreign or self._is_dosed_since_read:
            return True
        if self.level is not None:
            return max(self.level.mean, _centre(told.bounded[-1])) >= present
        if told.doses or (told.binders and told.readings):
            return True
        return self.newest is not None and self.newest[1].centre >= present

    @property
    def _is_dosed_since_read(self) -> bool:
        doses, newest = self.told.doses, self.told.newest_reading
        return bool(doses) and (newest is None or newest.happened_at <= doses[-1].happened_at)


def _centre(entry: Recorded) -> float:
    return entry.payload.centre if isinstance(entry.payload, Reading) else 0.0


def water_copper(facts: Facts, system: SystemState) -> WaterCopper | None:
    """Return the copper in a system's water, or None where nothing in the time looked back on tells of any."""
    return facts.once(("water copper", system.key), lambda: _water_copper(facts, system))


def _water_copper(facts: Facts, system: SystemState) -> WaterCopper | None:
    course = course_in(facts, system.key)
    is_meant = course is not None and is_open(facts, course)
    if not (is_meant or facts.read_of(system.key, CONSTITUENT) or _copper_doses(facts, system.key)):
        return None
    return water_of(facts, system, form=form_in(facts, system))


def water_of(
    facts: Facts, system: SystemState, *, form: CopperForm, without: Collection[UUID] = frozenset()
) -> WaterCopper:
    """Return what a system's entries tell of one form of copper in its water now; `without` names some to leave out."""
    found = entries_in(facts, system.key, since=facts.since, until=facts.now)
    entries = tuple(one for one in found if one.id not in without)
    told = told_by(facts.household, entries, form)
    since = _since(facts, system)
    held = (
        reckoned(facts, system, CONSTITUENT, since=since, until=facts.now, form=form, without=without)
        if without
        else reckoned_in(facts, system, since=since, until=facts.now, form=form)
    )
    return WaterCopper(system, entries, told, held, facts.now)


def _since(facts: Facts, system: SystemState) -> datetime:
    """Return from when on the level is reckoned: as the page of an open course has it, so that both share one."""
    course = course_in(facts, system.key)
    if course is not None and course.started is not None and is_open(facts, course):
        return course.started - _DAY
    return facts.now - RECENT


def course_in(facts: Facts, system: str) -> CourseState | None:
    """Return the copper course that is open in a system, or the last that was and after which it was not emptied."""
    begun = [
        one
        for one in facts.household.courses_of(system)
        if one.started is not None and one.started <= facts.now and form_of(one) is not None
    ]
    newest = max(begun, key=lambda one: (is_open(facts, one), one.started or one.planned), default=None)
    if newest is None or is_open(facts, newest):
        return newest
    emptied = _emptied(facts, system)
    is_gone = newest.stopped is not None and emptied is not None and newest.stopped < emptied
    return None if is_gone else newest


def is_open(facts: Facts, course: CourseState) -> bool:
    """Return whether a course is under way at this moment."""
    return (
        course.started is not None
        and course.started <= facts.now
        and (course.stopped is None or course.stopped > facts.now)
    )


def form_in(facts: Facts, system: SystemState) -> CopperForm:
    """Return the form of copper a system holds: its course's, else that of the newest dose, else ionic."""
    course = course_in(facts, system.key)
    form = form_of(course) if course is not None else None
    if form is not None:
        return form
    doses = _copper_doses(facts, system.key)
    dosed = knowledge.substance_or_unknown(doses[-1]).form if doses else None
    return dosed or CopperForm.IONIC


def _emptied(facts: Facts, system: str) -> datetime | None:
    return max((one.happened_at for one in facts.changes_of(system) if one.number is None), default=None)


def _copper_doses(facts: Facts, system: str) -> list[str]:
    """Return the copper substances dosed since the system was last emptied, the oldest first."""
    emptied = _emptied(facts, system)
    return [
        one.topic
        for one in facts.doses_of(system)
        if one.topic in copper_substances() and (emptied is None or one.happened_at >= emptied)
    ]
