"""Concerns about copper courses: dips that restart the clock, a band missed, and a level that nobody read."""

from collections.abc import Iterator
from datetime import timedelta

from pratique import knowledge
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, reason
from pratique.casework.copper import CourseCopper, course_copper, last_seen, stale_after, uuids
from pratique.casework.copper_water import is_open
from pratique.casework.facts import Facts
from pratique.casework.sheets import Coincidence, Concern, Evidence, NextStep, Reason, Weight
from pratique.casework.timeline import at_hours, hours_of
from pratique.casework.words import amount, day_words, days_words, listed, plus_minus, sentence_case, short_day, when
from pratique.ledger.entries import Recorded
from pratique.ledger.states import CourseState
from pratique.science.estimation.straight_exposure import Dip, Exposure


def copper_concerns(facts: Facts) -> Iterator[Concern]:
    """Yield the concerns of every copper course that has begun and did not end long ago."""
    for course in facts.household.courses.values():
        if course.started is None or course.started > facts.now or _is_past(facts, course):
            continue
        copper = course_copper(facts, course)
        if copper.exposure is not None and copper.exposure.dips:
            yield _dip(facts, copper, copper.exposure)
        if copper.is_reckoned and is_open(facts, course):
            yield from _level_now(facts, copper)
            yield from _not_read(facts, copper)


def _is_past(facts: Facts, course: CourseState) -> bool:
    """Return whether a course lies too far back to speak of today."""
    longest = timedelta(days=knowledge.figure("copper.finished_course_days").value)
    return course.stopped is not None and facts.now - course.stopped > longest


def _dip_span(facts: Facts, course: CourseState, dip: Dip) -> str:
    """Return the calendar days a dip touched, with the days of the batch's passage where there is a batch."""
    first, last = (at_hours(hours).astimezone(facts.zone).date() for hours in (dip.start, dip.end))
    span = short_day(first) if first == last else f"{short_day(first)} to {short_day(last)}"
    batch = facts.household.batches.get(course.batch or "")
    if batch is None or batch.arrived is None:
        return span
    arrived = batch.arrived.astimezone(facts.zone).date()
    days = [(day - arrived).days for day in (first, last)]
    words = f"day {days[0]}" if days[0] == days[1] else f"days {days[0]} to {days[1]}"
    return f"{span} ({words} of {batch.name}'s passage)"


def _dip(facts: Facts, copper: CourseCopper, held: Exposure) -> Concern:
    course = copper.course
    is_running = is_open(facts, course)
    spans = listed([_dip_span(facts, course, dip) for dip in held.dips])
    lowest = min(dip.lowest for dip in held.dips)
    is_enough = held.days_credited >= course.required_days
    at = "now" if is_running else f"at its stop {when(course.stopped or copper.end, facts.now, facts.zone)}"
    lost = days_words(held.days_lost)
    credit = (
        f"{sentence_case(days_words(held.days_credited))} counted {at}, {course.required_days:g} needed; "
        f"{lost} before the dip {'is' if held.days_lost == 1 else 'are'} lost."
    )
    began = [day_words(at_hours(dip.start).astimezone(facts.zone).date()) for dip in held.dips]
    weight: Weight = "watch" if is_enough else "today"
    return Concern(
        key=f"copper-dip.{course.key}",
        about=about(course),
        title=f"{course.name}: the copper dipped on {listed(began)}",
        weight=weight,
        weight_words=WEIGHT_WORDS[weight],
        since=at_hours(held.dips[0].start).astimezone(facts.zone).date(),
        said=(
            f"Below {amount(course.target_lower, 2, 'mg/L')} {spans}, down to {amount(lowest, 2, 'mg/L')}.",
            credit,
            "The level is reckoned from doses, changes and readings alone; how surely it held is not known yet.",
        ),
        just_before=_before_dip(facts, copper, held.dips[0]),
        next_steps=(NextStep("Open the course", about=about(course)),),
        evidence=_evidence(copper, held.dips),
        reasons=(
            Reason(
                "Any reading under the target's lower end restarts the clock.", "custom of the trade", "common practice"
            ),
        ),
    )


def _evidence(copper: CourseCopper, dips: tuple[Dip, ...]) -> tuple[Evidence, ...]:
    found = []
    for name in uuids(entry for dip in dips for entry in dip.entries):
        entry = copper.entry(str(name))
        if entry is not None:
            found.append(Evidence(_entry_words(entry), entry.happened_at, entry.id))
    return tuple(found)


def _entry_words(entry: Recorded) -> str:
    return "copper reading" if entry.kind == "reading" else entry.kind.replace("-", " ")


def _before_dip(facts: Facts, copper: CourseCopper, dip: Dip) -> tuple[Coincidence, ...]:
    start = at_hours(dip.start)
    near = timedelta(hours=knowledge.figure("copper.dip_look_back_hours").value)
    changes = [one for one in copper.entries if one.kind == "water-change" and start - near <= one.happened_at <= start]
    return tuple(_change_before(facts, copper, entry) for entry in changes)


def _change_before(facts: Facts, copper: CourseCopper, entry: Recorded) -> Coincidence:
    litres = entry.raw.get("volume_l")
    much = f" of {amount(litres, 0, 'L')}" if litres else ""
    hours = knowledge.figure("copper.make_up_hours").value
    made_up = any(
        other.kind == "dose" and abs(other.happened_at - entry.happened_at) <= timedelta(hours=hours)
        for other in copper.entries
    )
    missing = "" if made_up else f", no make-up dose written within {hours:g} hours"
    moment = when(entry.happened_at, facts.now, facts.zone)
    return Coincidence(f"water change{much} {moment}{missing}", entry.happened_at, entry.id)


def _level_now(facts: Facts, copper: CourseCopper) -> Iterator[Concern]:
    """Yield that the level is known to be under the band: after it was reached, or once the ramp should be over."""
    course, held = copper.course, copper.exposure
    if copper.track is None or held is None:
        return
    newest = copper.track.steps[-1]
    if not newest.is_known or newest.level >= course.target_lower:
        return
    days = (hours_of(facts.now) - hours_of(course.started or facts.now)) / 24
    if held.runs:
        yield _under(facts, copper, "copper-low", "copper is under the band, the clock has stopped", "now")
    elif days > knowledge.figure("copper.ramp_days").value:
        yield _under(
            facts,
            copper,
            "copper-not-reached",
            f"copper has not reached the band after {days_words(days)}",
            "today",
            reasons=(reason("copper.ramp_days"),),
        )


def _under(
    facts: Facts, copper: CourseCopper, key: str, words: str, weight: Weight, *, reasons: tuple[Reason, ...] = ()
) -> Concern:
    course, newest = copper.course, copper.track.steps[-1] if copper.track else None
    system = facts.household.system_or_missing(course.system)
    entry = copper.entry(newest.entry) if newest else None
    level = plus_minus(newest.level, newest.plus_minus, 2, "mg/L") if newest else ""
    return Concern(
        key=f"{key}.{course.key}",
        about=about(system),
        title=f"{system.name}: {words}",
        weight=weight,
        weight_words=WEIGHT_WORDS[weight],
        said=(
            f"Reckoned {level}; the band begins at {amount(course.target_lower, 2, 'mg/L')}.",
            *(["No day has counted so far."] if key == "copper-not-reached" else []),
        ),
        next_steps=(NextStep("Open the course for the dose", about=about(course)),),
        evidence=(Evidence(_entry_words(entry), entry.happened_at, entry.id),) if entry else (_the_start(course),),
        reasons=reasons,
        cautions=tuple(one.text for one in knowledge.cautions_for(course.substance)),
    )


def _the_start(course: CourseState) -> Evidence:
    return Evidence("the course", course.started or course.planned, course.entry)


def _not_read(facts: Facts, copper: CourseCopper) -> Iterator[Concern]:
    """Yield that no fresh reading tells the level of an open course, so that its days do not count."""
    course, newest = copper.course, copper.told.newest_reading if copper.told else None
    unknown_since = last_seen(copper)
    if copper.told is None or copper.told.foreign:
        return
    if unknown_since is None or (newest is None and facts.now - unknown_since <= stale_after()):
        return
    system = facts.household.system_or_missing(course.system)
    if newest is None:
        first = "No reading that can tell this form of copper was written in this course."
    else:
        first = f"Last read {when(newest.happened_at, facts.now, facts.zone)}; what the level is now is not known."
    yield Concern(
        key=f"copper-unread.{course.key}",
        about=about(system),
        title=f"{system.name}: copper is not known any more" if newest else f"{system.name}: copper was never read",
        weight="today",
        weight_words=WEIGHT_WORDS["today"],
        since=unknown_since.astimezone(facts.zone).date(),
        said=(
            first,
            "Days that nobody read do not count for the course, and no dose is advised before a reading.",
        ),
        next_steps=(NextStep("Read the copper", form="readings", answers=(("system", system.key),)),),
        evidence=(Evidence("copper reading", newest.happened_at, newest.id),) if newest else (_the_start(course),),
        reasons=(reason("reading.stale_hours.copper"),),
    )
