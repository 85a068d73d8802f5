"""Concerns about what is planned: medicine on animals that take it badly, or that have had enough for now."""

from collections.abc import Iterator
from math import ceil
from uuid import UUID

from pratique import knowledge
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, reason
from pratique.casework.copper import CONSTITUENT
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.invertebrates import harmed_in, is_invertebrate
from pratique.casework.sheets import Concern, Evidence, NextStep, Reason, Weight
from pratique.casework.timeline import at_days, days_of
from pratique.casework.words import days_words, listed, sentence_case, short_day
from pratique.ledger.states import AnimalState, CourseState
from pratique.science.health.rest import Exposed, rest_owed

_SEVERAL = 2


def planning_concerns(facts: Facts, healths: dict[str, AnimalHealth]) -> Iterator[Concern]:
    """Yield what stands against each course that is planned, and against an open one in water with invertebrates."""
    for course in facts.household.courses.values():
        if course.planned > facts.now or course.standing == "finished":
            continue
        yield from _harming(facts, course)
        if course.standing == "planned":
            yield from _against_plan(facts, course, healths)


def _against_plan(facts: Facts, course: CourseState, healths: dict[str, AnimalHealth]) -> Iterator[Concern]:
    patients = patients_of(facts, course)
    for animal in patients:
        if _is_sensitive(course, animal):
            yield _sensitive(facts, course, animal)
    tired = [
        (health, exposed) for animal in patients if (health := healths.get(animal.key)) for exposed in _tiring(health)
    ]
    if tired:
        yield _not_rested(facts, course, tired)


def patients_of(facts: Facts, course: CourseState) -> tuple[AnimalState, ...]:
    """Return the animals a course would reach: all that live in its water."""
    return facts.household.living_in(course.system)


def _is_sensitive(course: CourseState, animal: AnimalState) -> bool:
    is_copper = knowledge.substance_or_unknown(course.substance).constituent == CONSTITUENT
    kind = knowledge.species_or_unknown(animal.species)
    # Invertebrates are told of apart: no slower ramp helps them.
    return is_copper and kind.copper_caution == "high" and not kind.is_invertebrate


def _rest_days(exposed: Exposed) -> float:
    """Return the least rest after an exposure before a first drug."""
    key = "rest.minimum_days" if exposed.kind == "move" else "rest.after_medicine_days"
    return knowledge.figure(key).value


def _tiring(health: AnimalHealth) -> list[Exposed]:
    """Return the one exposure whose rest ends last, if it has not ended yet."""
    binding = max(health.exposures, key=lambda one: one.at_day + _rest_days(one), default=None)
    if binding is None or binding.at_day + _rest_days(binding) <= days_of(health.facts.now):
        return []
    return [binding]


def _owed_words(health: AnimalHealth) -> str:
    """Return an animal's budget of rest where several exposures ask for it at once, empty where one does."""
    owed = rest_owed(
        health.exposures,
        now=days_of(health.facts.now),
        after_move_days=knowledge.figure("rest.minimum_days").value,
        after_medicine_days=knowledge.figure("rest.after_medicine_days").value,
    )
    if len(owed.exposures) < _SEVERAL:
        return ""
    why = "; ".join(one.words for one in owed.exposures)
    return f"{days_words(float(ceil(owed.days)))} of rest are owed in all, one after another: {why}."


def _tired_words(tired: list[tuple[AnimalHealth, Exposed]]) -> Iterator[str]:
    """Yield what the animals are tired of, those of the same in one sentence."""
    names: dict[str, list[str]] = {}
    adds_up = False
    for health, exposed in tired:
        owed = _owed_words(health)
        adds_up = adds_up or bool(owed)
        names.setdefault(owed or f"{exposed.words}.", []).append(health.animal.name)
    for words, animals in names.items():
        yield f"{listed(animals)}: {words}"
    if adds_up:
        yield "That rests add up is our own guess."


def _harming(facts: Facts, course: CourseState) -> Iterator[Concern]:
    """Yield that a course reaches invertebrates; copper under way is told with what is in the water already."""
    substance = knowledge.substance_or_unknown(course.substance)
    system = facts.household.system_or_missing(course.system)
    harmed = harmed_in(facts.household, system)
    is_copper, is_planned = substance.constituent == CONSTITUENT, course.standing == "planned"
    if not harmed or not substance.harms_invertebrates or (is_copper and not is_planned):
        return
    weight: Weight = "today" if is_planned else "now"
    verb = "kills" if is_copper else "can harm"
    yield Concern(
        key=f"harmed.{course.key}",
        about=about(course),
        title=f"{course.name}: {substance.name} {verb} invertebrates in {system.name}",
        weight=weight,
        weight_words="before the course" if is_planned else WEIGHT_WORDS[weight],
        since=course.planned.astimezone(facts.zone).date(),
        said=(
            f"{system.name} holds {harmed}; a box or a sump shares its water.",
            "Treat in a tank whose water none of them shares, or move them to clean water first.",
        ),
        next_steps=(NextStep("Write the move", form="move"), NextStep("Open the course", about=about(course))),
        evidence=(
            Evidence("the plan", course.planned, course.entry),
            *(
                Evidence(f"{one.name} came", one.stays[-1].since, one.stays[-1].entry)
                for one in patients_of(facts, course)
                if is_invertebrate(one)
            ),
        ),
        reasons=(
            Reason(f"{sentence_case(substance.name)} harms invertebrates.", substance.source, substance.status.value),
        ),
        cautions=tuple(one.text for one in knowledge.cautions_for(course.substance)),
    )


def _sensitive(facts: Facts, course: CourseState, animal: AnimalState) -> Concern:
    kind = knowledge.species_or_unknown(animal.species)
    system = facts.household.system_or_missing(course.system)
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


def _not_rested(facts: Facts, course: CourseState, tired: list[tuple[AnimalHealth, Exposed]]) -> Concern:
    clear = max(exposed.at_day + _rest_days(exposed) for _, exposed in tired)
    day = short_day(at_days(clear).astimezone(facts.zone).date())
    quiet, after = (knowledge.figure(key).value for key in ("rest.minimum_days", "rest.after_medicine_days"))
    return Concern(
        key=f"not-rested.{course.key}",
        about=about(course),
        title=f"{course.name}: let them rest before it begins",
        weight="watch",
        weight_words=f"not before {day}",
        since=course.planned.astimezone(facts.zone).date(),
        said=(
            *_tired_words(tired),
            f"At least {days_words(quiet)} of quiet after a move, {days_words(after)} after a medicine, and eating, "
            "come before the first medicine.",
        ),
        next_steps=(NextStep("Open the course", about=about(course)),),
        evidence=tuple(Evidence(one.words, at_days(one.at_day), UUID(one.entry)) for _, one in tired),
        reasons=(reason("rest.minimum_days"), reason("rest.after_medicine_days")),
    )
