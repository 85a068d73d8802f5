"""What went another way than the plan of a passage, and what follows from it: said plainly, with its entries."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from pratique import knowledge
from pratique.casework.contacts import Contact, contacts_of, is_from_the_start
from pratique.casework.copper import CONSTITUENT, course_copper
from pratique.casework.course_sureness import is_surely_held, whole_sure_days
from pratique.casework.facts import Facts
from pratique.casework.gates import leg_now, role_of
from pratique.casework.sheets import Evidence
from pratique.casework.words import day_words, days_words, listed, when
from pratique.ledger.queries import entries_about
from pratique.ledger.states import AnimalState, BatchState, CourseState

type Mixing = list[tuple[AnimalState, Contact]]

_ROLES = {"clean": frozenset({"clean", "recovery", "holding"})}


@dataclass(frozen=True)
class Trouble:
    """One thing that went another way: a sentence, what follows from it, and the entries behind it."""

    words: str
    follows: str
    evidence: tuple[Evidence, ...]


def troubles_of(facts: Facts, batch: BatchState) -> tuple[Trouble, ...]:
    """Return what went another way in a batch's passage, the gravest first."""
    animals = [facts.household.animals[key] for key in batch.animals if key in facts.household.animals]
    return (*_gone(facts, animals), *_mixed(facts, batch), *_stopped(facts, batch), *_away(facts, batch))


def mixings_of(facts: Facts, batch: BatchState, *, since: datetime | None = None) -> dict[tuple[str, str], Mixing]:
    """Return who of a batch came together with whom after it arrived, by the other's name and the system."""
    found: dict[tuple[str, str], Mixing] = {}
    for key in batch.animals:
        animal = facts.household.animals.get(key)
        if animal is None or animal.life != "alive":
            continue
        for contact in contacts_of(facts, animal):
            is_own = contact.other.key in batch.animals or is_from_the_start(contact, animal)
            if not is_own and (since is None or contact.since >= since):
                found.setdefault((_of(facts, contact), contact.system), []).append((animal, contact))
    return found


def _of(facts: Facts, contact: Contact) -> str:
    """Return whom a contact was with: a batch by its name, an animal of none by its own."""
    batch = facts.household.batches.get(contact.other.batch or "")
    return batch.name if batch is not None else contact.other.name


def mixing_words(facts: Facts, found: Mixing, other: str, system: str) -> tuple[str, str]:
    """Return what brought them together, and what follows from it."""
    contact = max((one for _, one in found), key=lambda one: one.since)
    names = listed(list(dict.fromkeys(animal.name for animal, _ in found)))
    moment = when(contact.since, facts.now, facts.zone)
    place = facts.household.place_name(system, None)
    if contact.kind == "shared":
        words = f"{names}: in one water with {other} in {place} from {moment.removeprefix('on ')} on."
    else:
        words = f"{names} came into {place} {moment}, where {other} had been, and nobody had emptied it since."
    day = day_words(contact.since.astimezone(facts.zone).date())
    return words, f"What the younger brought begins there: the disease clock of all of them counts from {day}."


def _mixed(facts: Facts, batch: BatchState) -> Iterator[Trouble]:
    for (other, system), found in mixings_of(facts, batch).items():
        contact = max((one for _, one in found), key=lambda one: one.since)
        evidence = (Evidence("what brought them together", contact.since, contact.entry),)
        yield Trouble(*mixing_words(facts, found, other, system), evidence)


def _gone(facts: Facts, animals: list[AnimalState]) -> Iterator[Trouble]:
    for animal in animals:
        if animal.life == "alive" or animal.ended is None:
            continue
        moment = when(animal.ended, facts.now, facts.zone)
        kind = "death" if animal.life == "dead" else "loss"
        entries = entries_about(f"animal/{animal.key}", [kind], until=facts.now)
        if animal.life == "dead":
            words = f"{animal.name} died {moment}."
            follows = (
                "It is at no gate any more. What it carried may be in the water with the others: their chance of being "
                "free still counts it as one that came along, and nothing on their side is made up by its death."
            )
        else:
            words = f"{animal.name} has not been found since {moment.removeprefix('on ')}."
            follows = "Until it is found it still counts as company, and a look at all of them is no look at it."
        yield Trouble(words, follows, tuple(Evidence(kind, one.happened_at, one.id) for one in entries[-1:]))


def _stopped(facts: Facts, batch: BatchState) -> Iterator[Trouble]:
    for course in facts.household.courses.values():
        if course.batch != batch.key or course.started is None or course.stopped is None or course.stopped > facts.now:
            continue
        told = _short_of(facts, course)
        if told:
            moment = when(course.stopped, facts.now, facts.zone)
            yield Trouble(
                f"{course.name} ended {moment}, {told}.",
                "The days it held stay credited and the chance of being free counts them; for the rest a new course "
                "begins its days anew, or the gate is passed over in words.",
                tuple(
                    Evidence("its end", one.happened_at, one.id)
                    for one in entries_about(f"course/{course.key}", ["course-stop"], until=facts.now)[-1:]
                ),
            )


def _short_of(facts: Facts, course: CourseState) -> str:
    """Return by what a course that ended fell short, or nothing."""
    if course.started is None or course.stopped is None:
        return ""
    needed = days_words(course.required_days)
    days = (course.stopped - course.started).total_seconds() / 86400
    if days < course.required_days:
        return f"after {days_words(days)} of the {needed} it needs"
    if knowledge.substance_or_unknown(course.substance).constituent != CONSTITUENT:
        return ""
    held = course_copper(facts, course).exposure
    if held is not None and is_surely_held(held):
        return ""
    return f"with {days_words(whole_sure_days(held))} surely held of the {needed} it needs"


def _away(facts: Facts, batch: BatchState) -> Iterator[Trouble]:
    """Yield who lives elsewhere than its batch's leg: moved outside its passage."""
    leg = leg_now(facts.household, batch)
    wanted = _ROLES.get(leg.system_role, frozenset({leg.system_role}))
    for key in batch.animals:
        animal = facts.household.animals.get(key)
        place = animal.place if animal is not None and animal.life == "alive" else None
        if animal is None or place is None or not leg.key or role_of(facts, animal) in wanted:
            continue
        where = facts.household.place_name(place.system, place.compartment)
        moment = when(place.since, facts.now, facts.zone).removeprefix("on ")
        is_shared = role_of(facts, animal) in {"box", "display"}
        follows = (
            "It is judged by the gate of where it is. What it carries is in that water since, with all that live in "
            f"it, and the gate of “{leg.name}” was not passed."
            if is_shared
            else f"Its days of “{leg.name}” count only as far as it lived them."
        )
        yield Trouble(
            f"{animal.name} is in {where} since {moment}, outside the leg its batch is on.",
            follows,
            (Evidence("the move", place.since, place.entry),),
        )
