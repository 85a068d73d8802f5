"""What the ledger says that one look at the household needs, read in few queries and each only once."""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from typing import Any
from uuid import UUID

from pratique import knowledge
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.animals import FOOD_TOPIC
from pratique.ledger.kinds.water import Reading
from pratique.ledger.queries import Point, entries_about, entries_by_id, points

# How far back a look goes. Older entries still stand in the ledger; they no longer speak for today.
LOOK_BACK = timedelta(days=60)
# Older readings are for charts. A concern rests on one only where nothing newer has taken its place.
RECENT = timedelta(days=14)
_POINT_KINDS = ("observation", "reading", "dose", "water-change")
type _ByConstituent = dict[str, list["TakenReading"]]


@dataclass(frozen=True)
class TakenReading:
    """A reading with its typed payload at hand."""

    entry: Recorded
    reading: Reading

    @property
    def at(self) -> datetime:
        """Return when it was taken."""
        return self.entry.happened_at

    @property
    def id(self) -> UUID:
        """Return the entry's id."""
        return self.entry.id


class Facts:
    """One look at the household at one moment. Nothing later than `now` is seen."""

    def __init__(self, household: Household, now: datetime) -> None:
        self.household = household
        self.now = now
        self.zone = household.zone
        self.since = now - LOOK_BACK
        self._long_readings: dict[str, _ByConstituent] = {}
        self._found: dict[Hashable, Any] = {}

    def once[T](self, key: Hashable, find: Callable[[], T]) -> T:
        """Return what is found under a key at this look: several parts of one page ask for the same."""
        if key not in self._found:
            self._found[key] = find()
        found: T = self._found[key]
        return found

    @cached_property
    def _points(self) -> dict[tuple[str, str], dict[str, list[Point]]]:
        found: dict[tuple[str, str], dict[str, list[Point]]] = defaultdict(lambda: defaultdict(list))
        # Feedings are by far the most, and appetite asks for fewer days of them.
        fed_since = self.now - timedelta(days=knowledge.figure("appetite.window_days").value)
        read = points(_POINT_KINDS, since=self.since, until=self.now)
        for point in (*read, *points(["feeding"], since=fed_since, until=self.now)):
            found[point.subject, point.kind][point.topic].append(point)
        return found

    def _topics(self, subject: str, kind: str) -> dict[str, list[Point]]:
        return self._points.get((subject, kind), {})

    def feeds_of(self, subject: str, topic: str) -> list[Point]:
        """Return the feedings of an animal (`fed`) or of a system (`feeding`), the oldest first."""
        return self._topics(subject, "feeding").get(topic, [])

    def foods_of(self, subject: str) -> list[tuple[str, list[Point]]]:
        """Return each food given in a system with its feedings."""
        topics = self._topics(subject, "feeding").items()
        return [(topic.removeprefix(FOOD_TOPIC), some) for topic, some in topics if topic.startswith(FOOD_TOPIC)]

    def seen_of(self, subject: str, topic: str) -> list[Point]:
        """Return the numbers observed of an animal on a topic, the oldest first."""
        return self._topics(subject, "observation").get(topic, [])

    def signs_of(self, subject: str) -> list[Point]:
        """Return the signs seen on an animal, the oldest first; the topic is `sign: …`."""
        topics = self._topics(subject, "observation").items()
        return sorted(
            (point for topic, some in topics if topic.startswith("sign: ") for point in some),
            key=lambda point: point.happened_at,
        )

    def read_of(self, system: str, constituent: str) -> list[Point]:
        """Return when a constituent was read in a system and the number that stood for it, the oldest first."""
        return self._topics(f"system/{system}", "reading").get(constituent, [])

    def constituents_read(self, system: str) -> list[str]:
        """Return the constituents that this version knows and that were read in a system."""
        known = {one.key for one in knowledge.constituents()}
        return [one for one in self._topics(f"system/{system}", "reading") if one in known]

    def is_seen(self, subject: str) -> bool:
        """Return whether an animal was seen feeding, or looked at in any way, in the last two weeks."""
        seen = [point for some in self._topics(subject, "observation").values() for point in some[-1:]]
        fed = [point for point in self.feeds_of(subject, "fed") if point.number is not None][-1:]
        return any(point.happened_at >= self.now - RECENT for point in seen + fed)

    def changes_of(self, system: str) -> list[Point]:
        """Return a system's water changes in litres, the oldest first; an emptied system has no number."""
        return _in_order(self._topics(f"system/{system}", "water-change").values())

    def doses_of(self, system: str) -> list[Point]:
        """Return a system's doses, the oldest first; the topic is the substance."""
        return _in_order(self._topics(f"system/{system}", "dose").values())

    @cached_property
    def _recent_readings(self) -> dict[str, _ByConstituent]:
        subjects = [f"system/{key}" for key in self.household.systems]
        found: dict[str, _ByConstituent] = defaultdict(lambda: defaultdict(list))
        for taken in _taken(subjects, self.now - RECENT, self.now):
            found[taken.reading.system][taken.reading.constituent].append(taken)
        return found

    def recent_readings(self, system: str, constituent: str) -> list[TakenReading]:
        """Return a system's readings of one constituent of the last two weeks, the oldest first."""
        return self._recent_readings.get(system, {}).get(constituent, [])

    def newest_reading(self, system: str, constituent: str) -> TakenReading | None:
        """Return a system's newest reading of one constituent, as far back as a look goes."""
        recent = self.recent_readings(system, constituent)
        return recent[-1] if recent else self._newest_old.get((system, constituent))

    @cached_property
    def _newest_old(self) -> dict[tuple[str, str], TakenReading]:
        """Return the newest readings that are older than the recent ones, all in one query."""
        newest = [
            points[-1].entry
            for system in self.household.systems
            for points in self._topics(f"system/{system}", "reading").values()
            if points and points[-1].happened_at < self.now - RECENT
        ]
        found = [
            TakenReading(entry, entry.payload)
            for entry in entries_by_id(newest).values()
            if isinstance(entry.payload, Reading)
        ]
        return {(one.reading.system, one.reading.constituent): one for one in found}

    def readings_of(self, system: str, constituent: str) -> list[TakenReading]:
        """Return a system's readings of one constituent as far back as a look goes, the oldest first."""
        if system not in self._long_readings:
            found: _ByConstituent = defaultdict(list)
            for taken in _taken([f"system/{system}"], self.since, self.now):
                found[taken.reading.constituent].append(taken)
            self._long_readings[system] = found
        return self._long_readings[system].get(constituent, [])


def _taken(subjects: list[str], since: datetime, until: datetime) -> list[TakenReading]:
    return [
        TakenReading(entry, entry.payload)
        for entry in entries_about(subjects, ["reading"], since=since, until=until)
        if isinstance(entry.payload, Reading)
    ]


def _in_order(some: Iterable[list[Point]]) -> list[Point]:
    return sorted((point for found in some for point in found), key=lambda point: point.happened_at)
