"""Concerns about what is planned: medicine on animals that take it badly, or that have had enough for now."""

from collections.abc import Iterator
from uuid import UUID

from pratique import knowledge
from pratique.casework.concerns.pieces import about, reason
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets import Concern, Evidence, NextStep, Reason
from pratique.casework.timeline import at_days, days_of
from pratique.casework.words import days_words, short_day
from pratique.ledger.states import AnimalState, CourseState


def planning_concerns(facts: Facts, healths: dict[str, AnimalHealth]) -> Iterator[Concern]:
    """Yield what stands against each course that is planned and not begun."""
    for course in facts.household.courses.values():
        if course.standing == "planned" and course.planned <= facts.now:
            patients = patients_of(facts, course)
            for animal in patients:
                if _is_sensitive(course, animal):
                    yield _sensitive(facts, course, animal)
            not_rested = [healths[animal.key] for animal in patients if _needs_rest(facts, healths.get(animal.key))]
            if not_rested:
                yield _not_rested(facts, course, not_rested)


def patients_of(facts: Facts, course: CourseState) -> tuple[AnimalState, ...]:
    """Return the animals a course would reach: all that live in its water."""
    return facts.household.living_in(course.system)


def _is_sensitive(course: CourseState, animal: AnimalState) -> bool:
    is_copper = knowledge.substance(course.substance).constituent == "copper"
    return is_copper and knowledge.species(animal.species).copper_caution == "high"


def _needs_rest(facts: Facts, health: AnimalHealth | None) -> bool:
    """Return whether an animal went through a move or a medicine within the least rest before a first drug."""
    if health is None or not health.exposures:
        return False
    least = knowledge.figure("rest.minimum_days").value
    recent_medicine = any(
        one.kind != "move" and days_of(facts.now) - one.at_day < knowledge.figure("rest.after_medicine_days").value
        for one in health.exposures
    )
    return recent_medicine or days_of(facts.now) - health.exposures[-1].at_day < least


def _sensitive(facts: Facts, course: CourseState, animal: AnimalState) -> Concern:
    kind = knowledge.species(animal.species)
    system = facts.household.systems[course.system]
    others = [one.name for one in patients_of(facts, course) if one.key != animal.key]
    return Concern(
        key=f"sensitive.{course.key}.{animal.key}",
        about=about(animal),
        title=f"{animal.name} takes copper badly, and its course is planned",
        weight="today",
        weight_words="before the course",
        since=course.planned.astimezone(facts.zone).date(),
        said=(
            f"{course.name} in {system.name} is planned and not begun. {kind.copper_note or kind.family}".rstrip(".")
            + ".",
            "Watching without medicine for six weeks, with a look at skin and gills under a microscope, is the usual "
            "other way; a slower ramp with daily counts of its breathing is the middle one.",
        ),
        next_steps=(
            NextStep("Open the course", about=about(course)),
            NextStep(
                f"Move {animal.name} elsewhere first" if others else "Plan another way",
                form="move" if others else "course",
                answers=(("animals", animal.key),) if others else (("system", system.key),),
            ),
        ),
        evidence=(
            Evidence("the plan", course.planned, course.entry),
            Evidence("its arrival", animal.stays[0].since, animal.stays[0].entry),
        ),
        reasons=(Reason(f"{kind.name} ({kind.latin}): copper caution high.", kind.source, kind.status.value),),
        cautions=tuple(one.text for one in knowledge.cautions_for(course.substance)),
    )


def _not_rested(facts: Facts, course: CourseState, healths: list[AnimalHealth]) -> Concern:
    said = []
    evidence = []
    for health in healths:
        newest = health.exposures[-1]
        said.append(f"{health.animal.name}: {newest.words}.")
        entry = newest.entry
        evidence.append(Evidence(newest.words, at_days(newest.at_day), UUID(entry)))
    least = knowledge.figure("rest.minimum_days").value
    clear = max(health.exposures[-1].at_day for health in healths) + least
    day = short_day(at_days(clear).astimezone(facts.zone).date())
    return Concern(
        key=f"not-rested.{course.key}",
        about=about(course),
        title=f"{course.name}: let them rest before it begins",
        weight="watch",
        weight_words=f"not before {day}",
        since=course.planned.astimezone(facts.zone).date(),
        said=(*said, f"At least {days_words(least)} of quiet, and eating, come before the first medicine."),
        next_steps=(NextStep("Open the course", about=about(course)),),
        evidence=tuple(evidence),
        reasons=(reason("rest.minimum_days"), reason("rest.after_medicine_days")),
    )
