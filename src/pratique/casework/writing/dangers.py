"""What can hurt the animals in a system: who must not share its water with a substance, and the level reckoned."""

from collections.abc import Iterable
from datetime import datetime

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT, copper_entries, copper_track
from pratique.casework.facts import Facts
from pratique.casework.timeline import hours_of
from pratique.casework.words import listed
from pratique.knowledge import Substance
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.states import AnimalState, CourseState, SystemState
from pratique.science.estimation.mass_balance import Step

_BINDER = "copper_binder"


def harmed_in(household: Household, system: SystemState) -> str:
    """Return in words the invertebrates that share a system's water, those in its compartments too; or nothing."""
    kept = []
    for animal in household.living_in(system.key):
        if knowledge.species(animal.species).is_invertebrate and animal.place is not None:
            inner = animal.place.compartment
            where = f" in {household.compartments[inner].name}" if inner in household.compartments else ""
            kept.append(f"{animal.name}{where}")
    if kept:
        return listed(kept)
    return "invertebrates" if system.keeps_invertebrates else ""


def is_invertebrate(animal: AnimalState) -> bool:
    """Return whether the animal is an invertebrate."""
    return knowledge.species(animal.species).is_invertebrate


def harm_question(household: Household, system: SystemState, substance: Substance) -> str | None:
    """Return the urgent question before a harmful substance in water that invertebrates share, or None."""
    harmed = harmed_in(household, system)
    if not substance.harms_invertebrates or not harmed:
        return None
    if substance.constituent == CONSTITUENT:
        return (
            f"Urgent: copper kills invertebrates, and {system.name} holds {harmed}. If this went into {system.name}, "
            "move them to clean water and change water now. Did it really go in?"
        )
    return f"{substance.name.capitalize()} can harm {harmed} in {system.name}. Did it really go in?"


def open_courses(household: Household, system: str, *, constituent: str | None = None) -> list[CourseState]:
    """Return a system's open courses, of one constituent if it is named."""
    return [
        course
        for course in household.courses_of(system)
        if course.standing == "open"
        and (constituent is None or knowledge.substance(course.substance).constituent == constituent)
    ]


def copper_level(
    household: Household, system: SystemState, at: datetime, *, without: Recorded | None = None
) -> Step | None:
    """Return the copper reckoned in a system, or None where its net volume is not known or nothing tells of copper.

    `without` is an entry to be left out, such as the one being corrected.
    """
    facts = Facts(household, at)
    entries = [
        entry
        for entry in copper_entries(system.key, since=facts.since, until=at)
        if without is None or entry.id != without.id
    ]
    if all(entry.kind == "water-change" for entry in entries):
        return None
    track = copper_track(facts, system, entries, until=at)
    return track.at(hours_of(at)) if track is not None else None


def has_copper(household: Household, system: SystemState, at: datetime) -> bool:
    """Return whether copper is meant to be in a system, or is reckoned to be."""
    if open_courses(household, system.key, constituent=CONSTITUENT):
        return True
    step = copper_level(household, system, at)
    return step is not None and step.level >= knowledge.figure("copper.absent_mg_per_l").value


def is_binder(substance: Substance) -> bool:
    """Return whether a substance must not meet copper, by its cautions."""
    return substance.constituent != CONSTITUENT and any(one.key == _BINDER for one in substance.cautions)


def newcomers_question(household: Household, system: SystemState, animals: Iterable[str], at: datetime) -> str | None:
    """Return the urgent question before invertebrates go into water with copper, or None. `animals` are their names."""
    names = list(animals)
    if not names or not has_copper(household, system, at):
        return None
    return (
        f"Urgent: {system.name} is treated with copper, which kills invertebrates such as {listed(names)}. "
        "Move them to clean water at once. Did they really go in?"
    )
