"""The page of one course of treatment."""

import math
from datetime import date, datetime, timedelta

from pratique import knowledge
from pratique.casework.concerns.pieces import about
from pratique.casework.copper import CourseCopper, course_copper, last_seen
from pratique.casework.copper_chart import copper_chart
from pratique.casework.dosing import advice_for, band_words
from pratique.casework.facts import Facts
from pratique.casework.health import health_of
from pratique.casework.rounds import all_concerns, concerns_about
from pratique.casework.sheets import CourseSheet, DayCell, NextStep, Reason
from pratique.casework.timeline import hours_of
from pratique.casework.words import amount, days_words, sentence_case, when
from pratique.ledger.household import Household
from pratique.ledger.states import CourseState
from pratique.science.estimation.straight_exposure import DayMark, Exposure

_STANDING = {"planned": "planned, not begun", "open": "under way", "finished": "finished"}


def course_sheet(household: Household, key: str, *, now: datetime) -> CourseSheet:
    """Return the page of a course; raises KeyError for a course that is not known."""
    course = household.courses[key]
    facts = Facts(household, now)
    copper = course_copper(facts, course)
    held = copper.exposure
    system = household.system_or_missing(course.system)
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
    if not copper.is_reckoned:
        return f"{course.name}: not reckoned"
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
    if not copper.is_reckoned:
        name = knowledge.substance_or_unknown(course.substance).name
        return (
            f"Only copper is reckoned here, not {name}: go by its label and by an aquatic veterinarian. "
            "Its doses and days are kept in the ledger."
        )
    if held is None:
        return "Write the net volume of the system, and the doses will add up."
    left = course.required_days - held.days_credited
    if course.standing == "finished":
        second = "What stands is enough." if left <= 0 else f"{days_words(math.ceil(left))} short."
    else:
        second = "The required time is reached." if left <= 0 else f"{days_words(math.ceil(left))} more without a dip."
    return " ".join(part for part in (_clock_words(held), second, _not_known_words(facts, copper)) if part)


def _clock_words(held: Exposure) -> str:
    lost = days_words(held.days_lost)
    if held.dips:
        lowest = min(dip.lowest for dip in held.dips)
        dips = "A dip" if len(held.dips) == 1 else f"{len(held.dips)} dips"
        return f"{dips} to {amount(lowest, 2, 'mg/L')} restarted the clock: {lost} before it do not count."
    if held.days_lost:
        return f"For a time nothing told the level, and the clock restarted: {lost} before it do not count."
    return "No dip since it reached the band." if held.runs else "It has not been at the band yet."


def _not_known_words(facts: Facts, copper: CourseCopper) -> str:
    since = last_seen(copper)
    if since is None:
        return ""
    newest = copper.told.newest_reading if copper.told is not None else None
    if newest is None:
        return "Copper was not read in this course: no day is known."
    read = when(newest.happened_at, facts.now, facts.zone)
    hours = knowledge.figure("reading.stale_hours.copper").value
    return f"Copper was last read {read}: what came later than {hours:g} hours after that is not known."


def _days(facts: Facts, copper: CourseCopper) -> tuple[DayCell, ...]:
    course, held = copper.course, copper.exposure
    if held is None or course.started is None:
        return ()
    began = course.started.astimezone(facts.zone).date()
    return tuple(
        _day_cell(held, mark, hours_of(course.started) + 24 * mark.day_index, began + timedelta(days=mark.day_index))
        for mark in held.day_marks
    )


def _day_cell(held: Exposure, mark: DayMark, opens: float, day: date) -> DayCell:
    closes = opens + 24
    last_dip = max((dip.end for dip in held.dips), default=float("-inf"))
    first_held = min((run.start for run in held.runs), default=float("inf"))
    is_dip = any(dip.start < closes and dip.end >= opens for dip in held.dips)
    is_lost = mark.held and bool(held.runs) and closes <= max(last_dip, held.runs[-1].start)
    words = "counts" if mark.held else "does not count: below the band"
    if is_dip:
        words = "a dip: the clock restarted"
    elif is_lost:
        words = (
            "lost: it lies before a dip" if closes <= last_dip else "lost: after it nothing told the level for a time"
        )
    elif not mark.is_known:
        words = "not known: no reading tells its level"
    elif not mark.held and opens <= first_held:
        words = "not yet at the band"
    return DayCell(
        day=mark.day_index + 1,
        date=day,
        held=mark.held,
        is_dip=is_dip,
        is_lost=is_lost,
        lowest=mark.lowest,
        words=words,
        is_known=is_dip or mark.is_known,
    )


def _reasons(course: CourseState) -> tuple[Reason, ...]:
    substance = knowledge.substance_or_unknown(course.substance)
    if substance.form is None:
        return (Reason(f"{sentence_case(substance.name)}.", substance.source, substance.status.value),)
    band = knowledge.copper_band(substance.form)
    words = band_words(band.target_lower, band.target_upper, band.hard_upper)
    return (
        Reason(f"{sentence_case(substance.name)}: {words}. {band.note}", band.source, band.status.value),
        Reason(
            "The level is a mass balance: nothing is lost between readings, and each reading sets it right. "
            "How surely it held is not reckoned yet.",
            "conservation of mass",
            "common practice",
        ),
    )


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
