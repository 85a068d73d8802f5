"""What medicine and ammonia have been in each system's water, and since when it is known to be free of them."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Literal
from uuid import UUID

from pratique import knowledge
from pratique.casework.ammonia import AmmoniaAt, ammonia_series
from pratique.casework.copper import CONSTITUENT, copper_substances
from pratique.casework.facts import Facts, TakenReading
from pratique.casework.methods import range_of
from pratique.ledger.kinds.water import WaterChange
from pratique.ledger.queries import Point, entries_by_id, points
from pratique.ledger.states import CourseState

type StillIn = Literal["course", "put in", "not read"]


@dataclass(frozen=True)
class Span:
    """A time medicine was in a system's water; while it lasts `ended` is None and `still` says how that is known.

    "course": a course is open. "put in": a dose or a reading says it is there. "not read": its course was stopped, and
    nothing written since says that it is gone.
    """

    substance: str
    began: datetime
    ended: datetime | None
    entry: str
    still: StillIn | None = None


@dataclass(frozen=True)
class Medicines:
    """The waters of a household at one look; each is reckoned when asked for, once."""

    facts: Facts
    _spans: dict[str, tuple[Span, ...]] = field(default_factory=dict)
    _ammonia: dict[str, tuple[AmmoniaAt, ...]] = field(default_factory=dict)

    def spans(self, system: str) -> tuple[Span, ...]:
        """Return the times medicine was in a system's water."""
        if system not in self._spans:
            self._spans[system] = (*_copper(self.facts, system), *_others(self.facts, system))
        return self._spans[system]

    def lasting(self, system: str) -> Span | None:
        """Return the span that lasts now, an open course before anything else, or None in water free of medicine."""
        lasting = [one for one in self.spans(system) if one.ended is None]
        return min(lasting, key=lambda one: one.still != "course", default=None)

    def may_hold_copper(self, system: str) -> bool:
        """Return whether copper came into a system's water, and nothing written since says that it is gone."""
        return any(one.ended is None and _is_copper(one) for one in self.spans(system))

    def ammonia(self, system: str) -> tuple[AmmoniaAt, ...]:
        """Return the readings of the last days at which ammonia may have done harm, the oldest first."""
        if system not in self._ammonia:
            self._ammonia[system] = tuple(_harmful(self.facts, system))
        return self._ammonia[system]


def _is_copper(span: Span) -> bool:
    return span.substance == CONSTITUENT or knowledge.substance_or_unknown(span.substance).constituent == CONSTITUENT


def _begun(facts: Facts, system: str, *, is_copper: bool) -> list[CourseState]:
    return [
        one
        for one in facts.household.courses_of(system)
        if one.started is not None
        and one.started <= facts.now
        and (knowledge.substance_or_unknown(one.substance).constituent == CONSTITUENT) == is_copper
    ]


def _others(facts: Facts, system: str) -> Iterator[Span]:
    """Yield the courses and single doses of other medicines; how these leave the water is not reckoned."""
    for course in _begun(facts, system, is_copper=False):
        is_over = course.stopped is not None and course.stopped <= facts.now
        ended = course.stopped if is_over else None
        yield Span(course.substance, _start(course), ended, str(course.entry), None if is_over else "course")
    for dose in facts.doses_of(system):
        found = knowledge.substance_or_unknown(dose.topic)
        if found.is_medicine and found.constituent != CONSTITUENT:
            yield Span(dose.topic, dose.happened_at, dose.happened_at, dose.entry_text)


def _start(course: CourseState) -> datetime:
    return course.started or course.planned


def _copper(facts: Facts, system: str) -> Iterator[Span]:
    """Yield the times copper was in the water.

    It comes with a course, a dose, or a reading that finds it, and goes with the first reading below what counts as
    absent, or with all the water; while a course is open it counts as there. Neither the end of a course nor the
    passing of days takes it out.
    """
    courses = _begun(facts, system, is_copper=True)
    span: Span | None = None
    is_clear = False
    for event in _copper_events(facts, system, courses):
        is_clear = event.what == "out" or (is_clear and event.what == "not read")
        is_open = any(_start(one) <= event.at < (one.stopped or facts.now) for one in courses)
        is_over = is_clear and not is_open
        if span is not None and (is_over or event.what == "course"):
            yield replace(span, ended=event.at, still=None)
            span = None
        if not is_over and event.what != "out":
            still = "course" if is_open else event.what
            span = replace(span, still=still) if span else Span(event.substance, event.at, None, event.entry, still)
    if span is not None:
        yield span


@dataclass(frozen=True)
class _Event:
    at: datetime
    what: StillIn | Literal["out"]
    substance: str
    entry: str


def _copper_events(facts: Facts, system: str, courses: list[CourseState]) -> list[_Event]:
    """Return what brings copper into a system's water or takes it out, in order; courses come first among equals."""
    found = []
    for course in courses:
        found.append(_Event(_start(course), "course", course.substance, str(course.entry)))
        if course.stopped is not None and course.stopped <= facts.now:
            found.append(_Event(course.stopped, "not read", course.substance, str(course.entry)))
    seen = _copper_points(facts, system, courses)
    refilled = _refilled_with_copper(seen)
    found += [_point_event(one, is_refill=one.entry in refilled) for one in seen]
    return sorted(found, key=lambda one: one.at)


def _copper_points(facts: Facts, system: str, courses: list[CourseState]) -> list[Point]:
    doses = [one for one in facts.doses_of(system) if one.topic in copper_substances()]
    emptied = [one for one in facts.changes_of(system) if one.topic == "emptied"]
    near = [*doses, *facts.read_of(system, CONSTITUENT), *emptied]
    stops = [one.stopped for one in courses if one.stopped is not None and one.stopped < facts.since]
    if not stops:
        return near
    # The water may have been freed of an old course's copper before the time looked back on.
    topics = (CONSTITUENT, *copper_substances(), "emptied")
    kinds = ("reading", "dose", "water-change")
    subjects = [f"system/{system}"]
    return [*points(kinds, since=max(stops), until=facts.since, subjects=subjects, topics=topics), *near]


def _refilled_with_copper(seen: list[Point]) -> set[UUID]:
    """Return the entries of tanks emptied whose new water brought copper with it."""
    emptied = [one.entry for one in seen if one.kind == "water-change"]
    changes = entries_by_id(emptied).values() if emptied else ()
    return {one.id for one in changes if isinstance(one.payload, WaterChange) and _brings_copper(one.payload)}


def _brings_copper(change: WaterChange) -> bool:
    return _is_there(change.incoming_mg_per_l.get(CONSTITUENT, 0.0))


def _is_there(copper_mg_per_l: float) -> bool:
    return copper_mg_per_l >= knowledge.figure("copper.absent_mg_per_l").value


def _point_event(seen: Point, *, is_refill: bool) -> _Event:
    if seen.kind == "dose":
        return _Event(seen.happened_at, "put in", seen.topic, seen.entry_text)
    is_in = is_refill or (seen.kind == "reading" and _is_there(seen.number or 0.0))
    return _Event(seen.happened_at, "put in" if is_in else "out", CONSTITUENT, seen.entry_text)


def _harmful(facts: Facts, system: str) -> Iterator[AmmoniaAt]:
    """Yield the readings whose un-ionised ammonia, at worst where it is not known, reached the figure to act at."""
    act = knowledge.figure("ammonia.act_mg_n_per_l").value
    since = facts.now - timedelta(days=knowledge.figure("rest.after_medicine_days").value)

    def readings(key: str, constituent: str) -> list[TakenReading]:
        found = facts.recent_readings(key, constituent)
        if constituent != "total_ammonia":
            return found
        # No more can be un-ionised than there is in all, so most readings need no reckoning.
        return [one for one in found if one.at >= since and range_of(facts.household, one.reading).high >= act]

    for one in ammonia_series(facts, system, readings):
        if one.cautious >= act:
            yield one
