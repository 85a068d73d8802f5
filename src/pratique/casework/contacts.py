"""Which other fish an animal shared water with, and from when on: each may have brought something along."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal
from uuid import UUID

from pratique import knowledge
from pratique.casework.facts import Facts
from pratique.ledger.queries import points
from pratique.ledger.states import AnimalState, Stay

# Animals of one batch are netted one after the other; so much later is another arrival.
_TOGETHER = timedelta(hours=12)


@dataclass(frozen=True)
class Contact:
    """An animal's water was shared with another from a moment on, or had been the other's and was not emptied since."""

    since: datetime
    other: AnimalState
    system: str
    kind: Literal["shared", "left behind"]
    entry: UUID


def contacts_of(facts: Facts, animal: AnimalState) -> tuple[Contact, ...]:
    """Return every contact that may have brought a parasite, the oldest first; those of its arrival among them.

    Left out: invertebrates, whoever lived in the display from the beginning, and animals that came so long before
    that what they brought would have shown.
    """
    return facts.once(("contacts", animal.key), lambda: _contacts(facts, animal))


def _contacts(facts: Facts, animal: AnimalState) -> tuple[Contact, ...]:
    found: list[Contact] = []
    for other in facts.household.animals.values():
        if other.key == animal.key or knowledge.species_or_unknown(other.species).is_invertebrate:
            continue
        meetings = [*_shared(facts, animal, other), *_left_behind(facts, animal, other)]
        found += [one for one in meetings if not _is_settled(facts, other, one.since)]
    return tuple(sorted(found, key=lambda one: one.since))


def is_from_the_start(contact: Contact, animal: AnimalState) -> bool:
    """Return whether a contact began when the animal came."""
    return is_together(contact.since, animal.stays[0].since)


def is_together(one: datetime, another: datetime) -> bool:
    """Return whether two moments are those of one arrival."""
    return abs(one - another) <= _TOGETHER


def size_of_group(animal: AnimalState) -> int:
    """Return how many animals it is; an uncounted group counts for a figure of our own."""
    return animal.count or int(knowledge.figure("clearance.uncounted_group").value)


def _shared(facts: Facts, animal: AnimalState, other: AnimalState) -> Iterator[Contact]:
    """Yield each time they came together, once they had been apart."""
    spans = sorted(
        (
            max(mine.since, theirs.since),
            min(mine.until or facts.now, theirs.until or facts.now),
            mine.system,
            mine.entry if mine.since >= theirs.since else theirs.entry,
        )
        for mine in animal.stays
        for theirs in other.stays
        if mine.system == theirs.system and max(mine.since, theirs.since) <= facts.now
    )
    together: datetime | None = None
    for began, ended, system, entry in spans:
        if began > ended:
            continue
        if together is None or began > together:
            yield Contact(began, other, system, "shared", entry)
        together = max(together or ended, ended)


def _left_behind(facts: Facts, animal: AnimalState, other: AnimalState) -> Iterator[Contact]:
    """Yield each time it came into water the other had left, which nobody emptied since; what hatches there waits."""
    waits = timedelta(days=knowledge.figure("clearance.settled_days").value)
    for mine in animal.stays:
        for theirs in other.stays:
            left = theirs.until
            if mine.system != theirs.system or left is None or not timedelta() < mine.since - left <= waits:
                continue
            was_there = any(one.since <= left <= (one.until or facts.now) for one in animal.stays if _is_in(one, mine))
            if not was_there and not emptied_between(facts, mine.system, left, mine.since):
                yield Contact(mine.since, other, mine.system, "left behind", mine.entry)


def _is_in(one: Stay, another: Stay) -> bool:
    return one.system == another.system


def emptied_between(facts: Facts, system: str, since: datetime, until: datetime) -> bool:
    """Return whether a system was emptied and filled anew between two moments."""
    changes = facts.once(
        ("all changes", system), lambda: points(["water-change"], until=facts.now, subjects=[f"system/{system}"])
    )
    return any(one.number is None and since <= one.happened_at <= until for one in changes)


def _is_settled(facts: Facts, other: AnimalState, moment: datetime) -> bool:
    """Return whether another animal is taken to bring nothing along at a moment."""
    first = other.stays[0]
    if other.batch is None and facts.household.system_or_missing(first.system).role == "display":
        return True
    return moment - first.since >= timedelta(days=knowledge.figure("clearance.settled_days").value)
