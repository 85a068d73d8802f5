"""The page of one course of treatment."""

from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.charts import copper_chart
from pratique.casework.concerns.pieces import about
from pratique.casework.copper import CourseCopper, course_copper
from pratique.casework.dosing import advice_for, band_words
from pratique.casework.facts import Facts
from pratique.casework.health import health_of
from pratique.casework.rounds import all_concerns, concerns_about
from pratique.casework.sheets import CourseSheet, DayCell, NextStep, Reason
from pratique.casework.timeline import hours_of
from pratique.casework.words import amount, days_words, sentence_case, when
from pratique.ledger.household import Household
from pratique.ledger.states import CourseState

_STANDING = {"planned": "planned, not begun", "open": "under way", "finished": "finished"}


def course_sheet(household: Household, key: str, *, now: datetime) -> CourseSheet:
    """Return the page of a course; raises KeyError for a course that is not known."""
    course = household.courses[key]
    facts = Facts(household, now)
    copper = course_copper(facts, course)
    held = copper.exposure
    system = household.systems[course.system]
    batch = household.batches.get(course.batch or "")
    subjects = [("course", key), ("system", system.key)] if course.standing != "finished" else [("course", key)]
    concerns = concerns_about(all_concerns(facts, health_of(facts)), *subjects)
    return CourseSheet(
        key=key,
        name=course.name,
        system=about(system),
        batch=about(batch) if batch else None,
        standing=_STANDING[course.standing],
        heading=_heading(copper),
        gist=_gist(facts, copper),
        band_words=band_words(course.target_lower, course.target_upper, course.hard_upper),
        days_credited=held.days_credited if held else 0,
        days_lost=held.days_lost if held else 0,
        required_days=course.required_days,
        hours_above_upper=held.hours_above_upper if held else 0.0,
        chart=copper_chart(facts, copper),
        days=_days(facts, copper),
        advice=advice_for(facts, copper) if course.standing == "open" else None,
        concerns=concerns,
        cautions=tuple(one.text for one in knowledge.cautions_for(course.substance)),
        reasons=_reasons(course),
        steps=_steps(course),
    )


def _heading(copper: CourseCopper) -> str:
    course, held = copper.course, copper.exposure
    if course.started is None:
        return f"{course.name}: planned, not begun"
    if held is None:
        return f"{course.name}: the net volume is not known, so nothing is reckoned"
    days = days_words(held.days_credited)
    if course.standing == "open":
        return f"Held for {days} so far, {course.required_days:g} needed"
    return f"Held for {days} up to its stop, {course.required_days:g} were needed"


def _gist(facts: Facts, copper: CourseCopper) -> str:
    course, held = copper.course, copper.exposure
    if course.started is None:
        return f"Planned {when(course.planned, facts.now, facts.zone)}. Nothing has been dosed for it."
    if held is None:
        return "Write the net volume of the system, and the doses will add up."
    if held.dips:
        lowest = min(dip.lowest for dip in held.dips)
        lost = days_words(held.days_lost)
        dips = "A dip" if len(held.dips) == 1 else f"{len(held.dips)} dips"
        first = f"{dips} to {amount(lowest, 2, 'mg/L')} restarted the clock: {lost} before it do not count."
    else:
        first = "No dip since it reached the band."
    left = course.required_days - held.days_credited
    if course.standing == "finished":
        second = "What stands is enough." if left <= 0 else f"{days_words(left)} short."
    else:
        second = "The required time is reached." if left <= 0 else f"{days_words(left)} more without a dip."
    return f"{first} {second}"


def _days(facts: Facts, copper: CourseCopper) -> tuple[DayCell, ...]:
    course, held = copper.course, copper.exposure
    if held is None or course.started is None:
        return ()
    last_dip = max((dip.end for dip in held.dips), default=float("-inf"))
    first_held = min((run.start for run in held.runs), default=float("inf"))
    cells = []
    for mark in held.day_marks:
        opens = hours_of(course.started) + 24 * mark.day_index
        closes = opens + 24
        is_dip = any(dip.start < closes and dip.end >= opens for dip in held.dips)
        is_lost = mark.held and closes <= last_dip
        day = (course.started + timedelta(days=mark.day_index)).astimezone(facts.zone).date()
        words = "does not count: below the band" if not mark.held else "counts"
        if is_dip:
            words = "a dip: the clock restarted"
        elif is_lost:
            words = "lost: it lies before a dip"
        elif not mark.held and opens <= first_held:
            words = "not yet at the band"
        cells.append(
            DayCell(
                day=mark.day_index + 1,
                date=day,
                held=mark.held,
                is_dip=is_dip,
                is_lost=is_lost,
                lowest=mark.lowest,
                words=words,
            )
        )
    return tuple(cells)


def _reasons(course: CourseState) -> tuple[Reason, ...]:
    substance = knowledge.substance(course.substance)
    found = []
    if substance.form is not None:
        band = knowledge.copper_band(substance.form)
        words = band_words(band.target_lower, band.target_upper, band.hard_upper)
        said = f"{sentence_case(substance.name)}: {words}. {band.note}"
        found.append(Reason(said, band.source, band.status.value))
    found.append(
        Reason(
            "The level is a mass balance: nothing is lost between readings, and each reading sets it right. "
            "How surely it held is not reckoned yet.",
            "conservation of mass",
            "common practice",
        )
    )
    return tuple(found)


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
