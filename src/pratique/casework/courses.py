"""The page of one course of treatment."""

from datetime import datetime

from pratique import knowledge
from pratique.casework.concerns.pieces import about
from pratique.casework.copper import CourseCopper, course_copper
from pratique.casework.copper_chart import copper_chart
from pratique.casework.course_cells import day_cells, day_stretches
from pratique.casework.course_counts import count_words
from pratique.casework.course_dips import dip_lines
from pratique.casework.course_reasons import course_reasons
from pratique.casework.course_sureness import whole_sure_days
from pratique.casework.course_words import gist, heading
from pratique.casework.dosing import advice_for
from pratique.casework.dosing_words import band_words
from pratique.casework.facts import Facts
from pratique.casework.health import health_of
from pratique.casework.rounds import all_concerns, concerns_about
from pratique.casework.sheets import CourseSheet, NextStep, Reason
from pratique.casework.words import days_words, listed
from pratique.knowledge import Combination
from pratique.ledger.household import Household
from pratique.ledger.states import CourseState

_LOW_SALINITY, _LOWERED = "low_salinity", "lowered salinity"
_STANDING = {"planned": "planned, not begun", "open": "under way", "finished": "finished"}


def course_sheet(household: Household, key: str, *, now: datetime) -> CourseSheet:
    """Return the page of a course, the household being as it was at `now`; raises KeyError for one not known."""
    course = household.courses[key]
    facts = Facts(household, now)
    copper = course_copper(facts, course)
    system = household.system_or_missing(course.system)
    batch = household.batches.get(course.batch or "")
    subjects = [("course", key), ("system", system.key)] if course.standing != "finished" else [("course", key)]
    cells = day_cells(facts, copper)
    return CourseSheet(
        key=key,
        name=course.name,
        system=about(system),
        batch=about(batch) if batch else None,
        standing=_STANDING[course.standing],
        heading=heading(copper),
        gist=gist(facts, copper),
        band_words=band_words(course.target_lower, course.target_upper, course.hard_upper),
        days_credited=whole_sure_days(copper.exposure),
        days_lost=sum(cell.is_lost for cell in cells),
        required_days=course.required_days,
        probability=_probability(copper),
        chart=copper_chart(facts, copper),
        days=cells,
        day_words=day_stretches(cells),
        said=count_words(copper, cells),
        dips=dip_lines(facts, copper),
        advice=advice_for(facts, copper) if course.standing == "open" else None,
        concerns=concerns_about(all_concerns(facts, health_of(facts)), *subjects),
        cautions=tuple(one.text for one in knowledge.cautions_for(course.substance)),
        beside=_beside(course),
        reasons=course_reasons(copper),
        steps=_steps(course),
    )


def _beside(course: CourseState) -> tuple[Reason, ...]:
    """Return what goes with the dose, and what must not: before, during and after; nothing once it is over."""
    if course.standing == "finished":
        return ()
    notes = [Reason(one.words, one.source, one.status.value) for one in knowledge.notes_for(course.substance)]
    pairs = [one for one in knowledge.combinations() if course.substance in {*one.one, *one.other}]
    return (*notes, *(Reason(_not_with(one, course.substance), one.source, one.status.value) for one in pairs))


def _not_with(pair: Combination, substance: str) -> str:
    others = [one for one in (pair.other if substance in pair.one else pair.one) if one != substance]
    names = listed([knowledge.substance_or_unknown(one).name if one != _LOW_SALINITY else _LOWERED for one in others])
    return f"Not with {names}, {days_words(pair.days_apart)} apart. {pair.words}"


def _probability(copper: CourseCopper) -> float | None:
    held = copper.exposure.held if copper.exposure is not None else None
    return held.value if held is not None else None


def _steps(course: CourseState) -> tuple[NextStep, ...]:
    system, own = ("system", course.system), ("course", course.key)
    match course.standing:
        case "planned":
            return (NextStep("Begin the course", form="course-start", answers=(own,)),)
        case "open":
            return (
                NextStep("Write a reading", form="readings", answers=(system,)),
                NextStep("Write a dose", form="dose", answers=(system, own)),
                NextStep("Write a water change", form="water-change", answers=(system,)),
                NextStep("Stop the course", form="course-stop", answers=(own,)),
            )
        case _:
            return ()
