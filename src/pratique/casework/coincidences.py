"""What happened just before a change for the worse: listed beside it, never as its cause."""

from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.facts import Facts
from pratique.casework.sheets import Coincidence
from pratique.casework.words import amount, when
from pratique.ledger.queries import Point
from pratique.ledger.states import AnimalState

MOST = 4


def span_before() -> timedelta:
    """Return how long before a change for the worse something still counts as just before it."""
    return timedelta(days=knowledge.figure("coincidence.days").value)


def just_before(facts: Facts, animal: AnimalState, moment: datetime) -> tuple[Coincidence, ...]:
    """Return what happened to an animal and its water in the days before a moment, the newest first."""
    since = moment - span_before()
    found = [*_moves(facts, animal, since, moment), *_courses(facts, animal, since, moment)]
    for stay in animal.stays:
        if stay.since <= moment and (stay.until or facts.now) >= since:
            opened, closed = max(since, stay.since), min(moment, stay.until or facts.now)
            found += water_events(facts, stay.system, opened, closed)
    newest_first = sorted(found, key=lambda one: one.happened_at, reverse=True)
    return tuple(dict.fromkeys(newest_first))[:MOST]


def water_events(facts: Facts, system: str, since: datetime, until: datetime) -> list[Coincidence]:
    """Return the doses and water changes of a system between two moments."""
    changes = [one for one in facts.changes_of(system) if since <= one.happened_at <= until]
    found = [Coincidence(_change_words(facts, one), one.happened_at, one.entry) for one in changes]
    doses: dict[str, list[Point]] = {}
    for one in facts.doses_of(system):
        if since <= one.happened_at <= until:
            doses.setdefault(one.topic, []).append(one)
    for substance, some in doses.items():
        found.append(Coincidence(_dose_words(facts, substance, some), some[-1].happened_at, some[-1].entry))
    return found


def _moves(facts: Facts, animal: AnimalState, since: datetime, until: datetime) -> list[Coincidence]:
    found = []
    for number, stay in enumerate(animal.stays):
        if since <= stay.since <= until:
            words = "moved to" if number else "arrived in"
            place = facts.household.place_name(stay.system, stay.compartment)
            moment = when(stay.since, facts.now, facts.zone)
            found.append(Coincidence(f"{words} {place} {moment}", stay.since, stay.entry))
    return found


def _courses(facts: Facts, animal: AnimalState, since: datetime, until: datetime) -> list[Coincidence]:
    found = []
    lived = {stay.system for stay in animal.stays}
    for course in facts.household.courses.values():
        if course.system not in lived:
            continue
        for moment, word in ((course.started, "began"), (course.stopped, "ended")):
            if moment is not None and since <= moment <= until:
                words = f"{course.name} {word} {when(moment, facts.now, facts.zone)}"
                found.append(Coincidence(words, moment, course.entry))
    return found


def _change_words(facts: Facts, change: Point) -> str:
    moment = when(change.happened_at, facts.now, facts.zone)
    much = f"water change of {amount(change.number, 0, 'L')}" if change.number is not None else "emptied and refilled"
    return f"{much} {moment}"


def _dose_words(facts: Facts, substance: str, doses: list[Point]) -> str:
    """Return the doses of one substance as one thing: the last of them is the one dated."""
    name, moment = knowledge.substance_or_unknown(substance).name, when(doses[-1].happened_at, facts.now, facts.zone)
    return f"{len(doses)} doses of {name}, the last {moment}" if len(doses) > 1 else f"a dose of {name} {moment}"
