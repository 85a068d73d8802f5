"""What the ledger says that one look at the household needs, read in few queries and each only once."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from uuid import UUID

from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.water import Reading
from pratique.ledger.queries import Point, entries_about, points

# How far back a look goes. Older entries still stand in the ledger; they no longer speak for today.
LOOK_BACK = timedelta(days=60)
WATER_KINDS = ("dose", "water-change", "top-off")


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

    @cached_property
    def _animal_points(self) -> dict[tuple[str, str], list[Point]]:
        found: dict[tuple[str, str], list[Point]] = defaultdict(list)
        for kind in ("feeding", "observation"):
            for point in points(kind, since=self.since, until=self.now):
                found[point.subject, point.topic].append(point)
        return found

    def points_of(self, subject: str, topic: str) -> list[Point]:
        """Return the numbers given about a subject on a topic, the oldest first."""
        return self._animal_points.get((subject, topic), [])

    def signs_of(self, subject: str) -> list[Point]:
        """Return the signs seen on an animal, the oldest first; the topic is `sign: …`."""
        found = [
            point
            for (about, topic), some in self._animal_points.items()
            if about == subject and topic.startswith("sign: ")
            for point in some
        ]
        return sorted(found, key=lambda point: point.happened_at)

    @cached_property
    def _readings(self) -> dict[str, dict[str, list[TakenReading]]]:
        subjects = [f"system/{key}" for key in self.household.systems]
        found: dict[str, dict[str, list[TakenReading]]] = defaultdict(lambda: defaultdict(list))
        for entry in entries_about(subjects, ["reading"], since=self.since, until=self.now):
            if isinstance(entry.payload, Reading):
                found[entry.payload.system][entry.payload.constituent].append(TakenReading(entry, entry.payload))
        return found

    def readings_of(self, system: str, constituent: str) -> list[TakenReading]:
        """Return a system's readings of one constituent, the oldest first."""
        return self._readings.get(system, {}).get(constituent, [])

    def constituents_read(self, system: str) -> tuple[str, ...]:
        """Return which constituents were read in a system."""
        return tuple(self._readings.get(system, {}))

    @cached_property
    def _water(self) -> dict[str, list[Recorded]]:
        subjects = [f"system/{key}" for key in self.household.systems]
        found: dict[str, list[Recorded]] = defaultdict(list)
        for entry in entries_about(subjects, WATER_KINDS, since=self.since, until=self.now):
            found[entry.raw["system"]].append(entry)
        return found

    def water_of(self, system: str) -> list[Recorded]:
        """Return the doses, water changes and top-offs of a system, the oldest first."""
        return self._water.get(system, [])
