"""What was seen of animals before the time a look goes back: first breaths counted, and signs nobody has answered."""

from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property

from pratique.casework.facts import Facts
from pratique.casework.signs import LOOK_TOPICS, bad_signs, clean_looks
from pratique.ledger.queries import Point, first_points, points
from pratique.ledger.states import AnimalState
from pratique.science.health.breathing import FIRST_COUNTS


@dataclass(frozen=True)
class Earlier:
    """The earlier observations of some animals, read in few queries for all of them, and only where they matter."""

    facts: Facts
    animals: tuple[AnimalState, ...]

    def looks(self, subject: str) -> list[Point]:
        """Return every look at an animal, the oldest first; those before the time looked back on where it has none."""
        return [*self._looks_before.get(subject, []), *self._looks(subject)]

    def counts(self, subject: str, topic: str) -> list[Point]:
        """Return an animal's breathing counts: its first ones, those looked back on, and the newest, the oldest first.

        The topic is `beats` or `counted`, the seconds of each count.
        """
        return [*self._counts.get((subject, topic), []), *self.facts.seen_of(subject, topic)]

    def _looks(self, subject: str) -> list[Point]:
        facts = self.facts
        found = [*facts.signs_of(subject), *facts.seen_of(subject, "spots"), *facts.seen_of(subject, "condition")]
        return sorted(found, key=lambda one: one.happened_at)

    @cached_property
    def _old(self) -> list[str]:
        """Return the animals that came before the time looked back on."""
        return [f"animal/{one.key}" for one in self.animals if one.stays and one.stays[0].since < self.facts.since]

    @cached_property
    def _counts(self) -> dict[tuple[str, str], list[Point]]:
        silent = [one for one in self._old if not self.facts.seen_of(one, "beats")]
        found: dict[tuple[str, str], dict[str, Point]] = defaultdict(dict)
        until = self.facts.since
        for topic in ("beats", "counted"):
            first = first_points(self._old, "observation", topic, count=FIRST_COUNTS, until=until)
            newest = first_points(silent, "observation", topic, count=1, until=until, is_newest_first=True)
            for point in (*first, *newest):
                found[point.subject, topic][point.entry_text] = point
        return {key: list(some.values()) for key, some in found.items()}

    @cached_property
    def _looks_before(self) -> dict[str, list[Point]]:
        silent = [one for one in self._old if not (bad_signs(seen := self._looks(one)) or clean_looks(seen))]
        if not silent:
            return {}
        found: dict[str, list[Point]] = defaultdict(list)
        for point in points(["observation"], until=self.facts.since, subjects=silent, topics=LOOK_TOPICS):
            found[point.subject].append(point)
        return found
