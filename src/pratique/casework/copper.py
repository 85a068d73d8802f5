"""Copper in a system: its track from the ledger, and what a course has been credited with."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from pratique import knowledge
from pratique.casework.facts import Facts
from pratique.casework.methods import method_of, observed_of
from pratique.casework.timeline import hours_of
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.water import Dose, Reading, WaterChange
from pratique.ledger.queries import entries_about
from pratique.ledger.states import CourseState, SystemState
from pratique.science.estimation import mass_balance
from pratique.science.estimation.exposure import Exposure, exposure
from pratique.science.estimation.reading import NORMAL_95

CONSTITUENT = "copper"
# Doses before the start belong to a ramp that was begun early.
_LEAD_IN = timedelta(days=3)


@dataclass(frozen=True)
class CourseCopper:
    """A course's copper: the entries behind it, and the track and exposure where the net volume is known."""

    course: CourseState
    entries: tuple[Recorded, ...]
    track: mass_balance.Track | None
    exposure: Exposure | None
    end: datetime

    def entry(self, entry_id: str | None) -> Recorded | None:
        """Return one of the entries behind the track."""
        return next((one for one in self.entries if str(one.id) == entry_id), None)

    @property
    def last_reading(self) -> Recorded | None:
        """Return the newest copper reading of the course."""
        return next((one for one in reversed(self.entries) if one.kind == "reading"), None)


def copper_substances() -> tuple[str, ...]:
    """Return the substances that put copper into the water."""
    return tuple(one.key for one in knowledge.substances() if one.constituent == CONSTITUENT)


def course_copper(facts: Facts, course: CourseState) -> CourseCopper:
    """Return what the ledger says of a course's copper up to its stop, or to now while it is open."""
    end = min(course.stopped or facts.now, facts.now)
    start = course.started or course.planned
    entries = tuple(copper_entries(course.system, since=start - _LEAD_IN, until=end))
    system = facts.household.systems[course.system]
    track = copper_track(facts, system, entries, until=end) if course.started is not None else None
    held = None
    if track is not None:
        held = exposure(
            track,
            lower=course.target_lower,
            hard_upper=course.hard_upper,
            start=hours_of(start),
            end=max(hours_of(start), hours_of(end)),
        )
    return CourseCopper(course, entries, track, held, end)


def copper_entries(system: str, *, since: datetime, until: datetime) -> list[Recorded]:
    """Return the copper readings and doses and the water changes of a system, in the order things happened."""
    subject = f"system/{system}"
    found = entries_about(subject, ["reading"], topics=[CONSTITUENT], since=since, until=until)
    found += entries_about(subject, ["dose"], topics=copper_substances(), since=since, until=until)
    found += entries_about(subject, ["water-change"], since=since, until=until)
    return sorted(found, key=lambda one: (one.happened_at, one.seq))


def copper_track(
    facts: Facts, system: SystemState, entries: Iterable[Recorded], *, until: datetime
) -> mass_balance.Track | None:
    """Return the reckoned level, or None where the net volume is not known."""
    if system.net_volume_l is None:
        return None
    events = [event for event in (_event(facts, entry) for entry in entries) if event is not None]
    return mass_balance.balance(
        events,
        net_volume_l=system.net_volume_l,
        net_volume_sd_l=(system.net_volume_plus_minus_l or 0.0) / NORMAL_95,
        until=hours_of(until),
    )


def _event(facts: Facts, entry: Recorded) -> mass_balance.Event | None:
    at, name = hours_of(entry.happened_at), str(entry.id)
    match entry.payload:
        case Reading() as reading:
            method = method_of(facts.household, reading.method).error
            return mass_balance.Reading(at, method, observed_of(reading), name)
        case Dose(amount_mg=float(milligrams)):
            return mass_balance.Dose(at, milligrams, name)
        case WaterChange(emptied=True) as change:
            return mass_balance.Fill(at, change.incoming_mg_per_l.get(CONSTITUENT, 0.0), name)
        case WaterChange(volume_l=float(litres)) as change:
            return mass_balance.Change(at, litres, change.incoming_mg_per_l.get(CONSTITUENT, 0.0), name)
        case _:
            return None


def uuids(names: Iterable[str | None]) -> tuple[UUID, ...]:
    """Return the entry ids that science carried as text."""
    return tuple(UUID(name) for name in names if name)
