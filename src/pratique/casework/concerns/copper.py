"""Concerns about copper courses: dips that restart the clock, a band missed, and a level that nobody read."""

from collections.abc import Iterator, Sequence
from datetime import timedelta

from pratique import knowledge
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, reason
from pratique.casework.copper import CourseCopper, course_copper, last_seen, stale_after
from pratique.casework.copper_level import chance_below
from pratique.casework.copper_water import is_open
from pratique.casework.course_dips import CourseDip, depth_words, dip_span, likely_dips, lost_days
from pratique.casework.course_sureness import whole_sure_days
from pratique.casework.facts import Facts
from pratique.casework.sheets import Coincidence, Concern, Evidence, NextStep, Reason, Weight
from pratique.casework.words import (
    amount,
    day_words,
    days_words,
    listed,
    percent,
    plus_minus,
    sentence_case,
    when,
)
from pratique.ledger.entries import Recorded
from pratique.ledger.states import CourseState
from pratique.science.estimation.reading import NORMAL_95

_DAY = timedelta(days=1)
_MIDDLE = 3


def copper_concerns(facts: Facts) -> Iterator[Concern]:
    """Yield the concerns of every copper course that has begun and did not end long ago."""
    for course in facts.household.courses.values():
        if course.started is None or course.started > facts.now or _is_past(facts, course):
            continue
        copper = course_copper(facts, course)
        dips = likely_dips(copper)
        if dips:
            yield _dip(facts, copper, dips)
        if copper.is_reckoned and is_open(facts, course):
            yield from _level_now(facts, copper)
            yield from _not_read(facts, copper)


def _is_past(facts: Facts, course: CourseState) -> bool:
    """Return whether a course lies too far back to speak of today."""
    longest = timedelta(days=knowledge.figure("copper.finished_course_days").value)
    return course.stopped is not None and facts.now - course.stopped > longest


def _dip_words(facts: Facts, copper: CourseCopper, dip: CourseDip) -> str:
    return f"{dip_span(facts, copper, dip.start, dip.end)}: {depth_words(copper, dip)}."


def _dip(facts: Facts, copper: CourseCopper, dips: Sequence[CourseDip]) -> Concern:
    course = copper.course
    counted, lost = whole_sure_days(copper.exposure), len(lost_days(copper))
    at = "now" if is_open(facts, course) else f"at its stop {when(course.stopped or copper.end, facts.now, facts.zone)}"
    credit = (
        f"{sentence_case(days_words(counted))} counted {at}, {course.required_days:g} needed; "
        f"{days_words(lost)} before the dip {'is' if lost == 1 else 'are'} lost."
    )
    began = [day_words(dip.likeliest.astimezone(facts.zone).date()) for dip in dips]
    weight: Weight = "watch" if counted >= course.required_days else "today"
    return Concern(
        key=f"copper-dip.{course.key}",
        about=about(course),
        title=f"{course.name}: the copper dipped on {listed(began)}",
        weight=weight,
        weight_words=WEIGHT_WORDS[weight],
        since=dips[0].start.astimezone(facts.zone).date(),
        said=(*(_dip_words(facts, copper, dip) for dip in dips), credit),
        just_before=_before_dip(facts, copper, dips[0]),
        next_steps=(NextStep("Open the course", about=about(course)),),
        evidence=_evidence(copper, dips),
        reasons=(
            Reason(
                "A level under the target's lower end restarts the clock.", "custom of the trade", "common practice"
            ),
            reason("copper.dip_probability", "A dip this likely, and likelier ones, are told."),
        ),
    )


def _evidence(copper: CourseCopper, dips: Sequence[CourseDip]) -> tuple[Evidence, ...]:
    """Return the entries of each dip from what went before it on: the change or reading it began with, and after."""
    found = []
    for dip in dips:
        before = [one for one in copper.entries if one.happened_at <= dip.start]
        found += [*before[-1:], *(one for one in copper.entries if dip.start < one.happened_at <= dip.end)]
    return tuple(
        Evidence(_entry_words(one), one.happened_at, one.id) for one in {one.id: one for one in found}.values()
    )


def _entry_words(entry: Recorded) -> str:
    return "copper reading" if entry.kind == "reading" else entry.kind.replace("-", " ")


def _before_dip(facts: Facts, copper: CourseCopper, dip: CourseDip) -> tuple[Coincidence, ...]:
    start = dip.start
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
    """Yield that the level is likely under the band: after it was reached, or once the ramp should be over."""
    course, held = copper.course, copper.exposure
    if copper.level is None:
        return
    chance = _chance_under(copper)
    if chance < knowledge.figure("copper.low_probability").value:
        return
    days = (facts.now - (course.started or facts.now)) / _DAY
    if held is not None and held.longest_unbroken_days.quantiles[_MIDDLE] > 0.0:
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


def _chance_under(copper: CourseCopper) -> float:
    return chance_below(copper.reckoned.running if copper.reckoned else None, copper.course.target_lower)


def _under(
    facts: Facts, copper: CourseCopper, key: str, words: str, weight: Weight, *, reasons: tuple[Reason, ...] = ()
) -> Concern:
    course, level = copper.course, copper.level
    system = facts.household.system_or_missing(course.system)
    newest = copper.told.newest_reading if copper.told is not None else None
    reckoned = plus_minus(level.mean, NORMAL_95 * level.sd, 2, "mg/L") if level is not None else ""
    chance = percent(_chance_under(copper))
    return Concern(
        key=f"{key}.{course.key}",
        about=about(system),
        title=f"{system.name}: {words}",
        weight=weight,
        weight_words=WEIGHT_WORDS[weight],
        said=(
            f"Reckoned {reckoned}; the band begins at {amount(course.target_lower, 2, 'mg/L')}. "
            f"Under it now: {chance} likely.",
            *(["No day has counted so far."] if key == "copper-not-reached" else []),
        ),
        next_steps=(NextStep("Open the course for the dose", about=about(course)),),
        evidence=(Evidence(_entry_words(newest), newest.happened_at, newest.id),) if newest else (_the_start(course),),
        reasons=(*reasons, reason("copper.low_probability", "A level this likely under the band is told.")),
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
