"""Find what an answer means among the things the household keeps; what is not found is a problem with a near name."""

from collections.abc import Mapping
from dataclasses import dataclass

from pratique.casework.words import day_words
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.keys import meant, nearest
from pratique.ledger.states import AnimalState, State, Stay, SystemState


@dataclass(frozen=True, slots=True)
class Place:
    """A system, or a compartment of it."""

    system: SystemState
    compartment: str | None = None

    @property
    def key(self) -> str:
        """Return the place as forms hold it."""
        return self.system.key if self.compartment is None else f"{self.system.key}/{self.compartment}"


def find[S: State](
    asked: Asked, field: str, states: Mapping[str, S], what: str, *, text: str | None = None
) -> S | None:
    """Return the thing an answer names, by key or name; None, with a problem, for one that is not kept.

    Without a text the field's own answer is looked up; where that is empty there is no problem.
    """
    wanted = asked.text(field) if text is None else text
    if not wanted:
        return None
    names = {key: one.name for key, one in states.items()}
    key = meant(wanted, names)
    if key is not None:
        return states[key]
    if not names:
        asked.problem(field, f"There is no {what} called “{wanted}”; no {what} has been set up yet.")
        return None
    near = nearest(wanted, names)
    right = f"Did you mean {names[near]}?" if near else f"There are {', '.join(names.values())}."
    if near is None and len(names) > 12:
        right = "Choose it from the list."
    asked.problem(field, f"There is no {what} called “{wanted}”. {right}")
    return None


def find_system(asked: Asked, field: str = "system", *, needed: str = "Choose the system.") -> SystemState | None:
    """Return the system an answer names; one set up later than the moment is asked about."""
    asked.text(field, needed)
    system = find(asked, field, asked.household.systems, "system")
    if system is not None:
        doubt_if_earlier(asked, system)
    return system


def doubt_if_earlier(asked: Asked, system: SystemState) -> None:
    """Ask about a moment before the system was in the ledger."""
    if asked.at < system.since:
        day = day_words(system.since.astimezone(asked.household.zone).date())
        asked.doubt("moment", f"{system.name} is in the ledger only since {day}; this is dated before. Is it right?")


def find_place(asked: Asked, field: str, *, needed: str = "Choose the place.", dated: bool = True) -> Place | None:
    """Return the place an answer names: a system, `skerry/creel`, or a compartment by its own name."""
    text = asked.text(field, needed)
    if not text:
        return None
    household = asked.household
    outer, slash, inner = (part.strip() for part in text.partition("/"))
    named = household.compartments | household.systems
    if not slash:
        found = find(asked, field, named, "place", text=text)
        compartment = household.compartments.get(found.key) if found and found.key not in household.systems else None
        system = household.systems.get(compartment.system if compartment else found.key if found else "")
    else:
        system = find(asked, field, household.systems, "system", text=outer)
        compartment = find(asked, field, household.compartments, "compartment", text=inner)
        if system is not None and compartment is not None and compartment.system != system.key:
            right = f"{compartment.system}/{compartment.key}"
            where = household.place_name(compartment.system, None)
            asked.problem(field, f"{compartment.name} is in {where}, not in {system.name}; write {right}.")
            return None
        if compartment is None:
            return None
    if system is None:
        return None
    if dated:
        doubt_if_earlier(asked, system)
    return Place(system, compartment.key if compartment else None)


def find_animal(asked: Asked, field: str, *, text: str | None = None) -> AnimalState | None:
    """Return the animal an answer names; a moment before it came is a problem."""
    animal = find(asked, field, asked.household.animals, "animal", text=text)
    if animal is not None and asked.at < animal.stays[0].since:
        day = day_words(animal.stays[0].since.astimezone(asked.household.zone).date())
        asked.problem("moment", f"{animal.name} came on {day}; this is dated before. Write a later moment.")
    return animal


def is_gone(animal: AnimalState, asked: Asked) -> bool:
    """Return whether the animal was dead or missing by the moment written of."""
    return animal.ended is not None and animal.ended <= asked.at


def refuse_dead(asked: Asked, field: str, animal: AnimalState) -> bool:
    """Return whether the animal was dead by then, with the problem that says so."""
    if animal.life != "dead" or not is_gone(animal, asked) or animal.ended is None:
        return False
    day = day_words(animal.ended.astimezone(asked.household.zone).date())
    asked.problem(
        field, f"{animal.name} died on {day}. Write an earlier moment, or withdraw the entry of its death if it lives."
    )
    return True


def doubt_missing(asked: Asked, field: str, animal: AnimalState) -> None:
    """Ask about an animal that was not to be found by then."""
    if animal.life == "missing" and is_gone(animal, asked) and animal.ended is not None:
        day = day_words(animal.ended.astimezone(asked.household.zone).date())
        asked.doubt(field, f"{animal.name} has been missing since {day}. Has it been found?")


def stay_at(animal: AnimalState, asked: Asked) -> Stay | None:
    """Return where the animal was at the moment written of."""
    found = [one for one in animal.stays if one.since <= asked.at and (one.until is None or asked.at < one.until)]
    return found[-1] if found else None


def find_subjects(asked: Asked, field: str = "subjects") -> tuple[str, ...]:
    """Return what a picture, a chore or a note is about, each as `system/skerry`; by key, name or subject."""
    household = asked.household
    kept: dict[str, Mapping[str, State]] = {
        "system": household.systems,
        "animal": household.animals,
        "batch": household.batches,
        "course": household.courses,
        "case": household.cases,
        "compartment": household.compartments,
    }
    names = {f"{type_}/{key}": one.name for type_, states in kept.items() for key, one in states.items()}
    found = []
    for text in asked.many(field):
        keys = [subject for subject in names if subject.partition("/")[2] == text.casefold()]
        subject = meant(text, names) or (keys[0] if len(keys) == 1 else None)
        if subject is None:
            near = nearest(text, names)
            asked.problem(
                field, f"There is nothing called “{text}” here." + (f" Did you mean {names[near]}?" if near else "")
            )
        else:
            found.append(subject)
    return tuple(dict.fromkeys(found))
