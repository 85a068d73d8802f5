"""Concerns about copper: dips that restart the clock, levels too high, and copper where invertebrates live."""

from collections.abc import Iterator
from datetime import timedelta

from pratique import knowledge
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, reason
from pratique.casework.copper import CourseCopper, copper_substances, course_copper, uuids
from pratique.casework.facts import Facts
from pratique.casework.methods import range_of, reading_words
from pratique.casework.sheets import Coincidence, Concern, Evidence, NextStep, Reason, Weight
from pratique.casework.timeline import at_hours
from pratique.casework.words import amount, day_words, days_words, listed, sentence_case, short_day, when
from pratique.ledger.entries import Recorded
from pratique.ledger.states import CourseState, SystemState
from pratique.science.estimation.exposure import Dip

_AFTER_STOP = timedelta(days=45)
_NEAR_DIP = timedelta(hours=36)


def copper_concerns(facts: Facts) -> Iterator[Concern]:
    """Yield the copper concerns of every course and of every system that keeps invertebrates."""
    for course in facts.household.courses.values():
        if course.started is None or _is_past(facts, course):
            continue
        copper = course_copper(facts, course)
        if copper.exposure is not None:
            if copper.exposure.dips:
                yield _dip(facts, copper)
            if course.standing == "open":
                yield from _level_now(facts, copper)
    for system in facts.household.systems.values():
        if system.keeps_invertebrates:
            yield from _near_invertebrates(facts, system)


def _is_past(facts: Facts, course: CourseState) -> bool:
    """Return whether a course lies too far back to speak of today."""
    return course.stopped is not None and facts.now - course.stopped > _AFTER_STOP


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


def _dip(facts: Facts, copper: CourseCopper) -> Concern:
    course, held = copper.course, copper.exposure
    assert held is not None  # noqa: S101 - asked by copper_concerns
    is_open = course.standing == "open"
    spans = listed([_dip_span(facts, course, dip) for dip in held.dips])
    lowest = min(dip.lowest for dip in held.dips)
    is_enough = held.days_credited >= course.required_days
    at = "now" if is_open else f"at its stop {when(course.stopped or copper.end, facts.now, facts.zone)}"
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
    found = []
    for entry in copper.entries:
        near = start - _NEAR_DIP <= entry.happened_at <= start
        if near and entry.kind == "water-change":
            litres = entry.raw.get("volume_l")
            much = f" of {amount(litres, 0, 'L')}" if litres else ""
            moment = when(entry.happened_at, facts.now, facts.zone)
            made_up = any(
                other.kind == "dose" and abs(other.happened_at - entry.happened_at) <= timedelta(hours=3)
                for other in copper.entries
            )
            missing = "" if made_up else ", no make-up dose written within three hours"
            found.append(Coincidence(f"water change{much} {moment}{missing}", entry.happened_at, entry.id))
    return tuple(found)


def _level_now(facts: Facts, copper: CourseCopper) -> Iterator[Concern]:
    course, track = copper.course, copper.track
    assert track is not None  # noqa: S101 - an exposure needs a track
    newest = track.steps[-1]
    system = facts.household.systems[course.system]
    entry = copper.entry(newest.entry)
    evidence = (Evidence(_entry_words(entry), entry.happened_at, entry.id),) if entry else ()
    level = f"{amount(newest.level, 2)} ± {amount(newest.plus_minus, 2, 'mg/L')}"
    if newest.level > course.hard_upper:
        yield Concern(
            key=f"copper-high.{course.key}",
            about=about(system),
            title=f"{system.name}: copper is too high",
            weight="now",
            weight_words=WEIGHT_WORDS["now"],
            said=(
                f"Reckoned {level}; the hard upper limit is {amount(course.hard_upper, 2, 'mg/L')}.",
                "Add nothing. Change water now, aerate, and watch how they breathe.",
            ),
            next_steps=(
                NextStep("Write the water change", form="water-change", answers=(("system", system.key),)),
                NextStep("Read it again", form="readings", answers=(("system", system.key),)),
            ),
            evidence=evidence,
            cautions=tuple(one.text for one in knowledge.cautions_for(course.substance)),
        )
    elif newest.level < course.target_lower and copper.exposure and copper.exposure.runs:
        yield Concern(
            key=f"copper-low.{course.key}",
            about=about(system),
            title=f"{system.name}: copper is under the band, the clock has stopped",
            weight="now",
            weight_words=WEIGHT_WORDS["now"],
            said=(f"Reckoned {level}; the band begins at {amount(course.target_lower, 2, 'mg/L')}.",),
            next_steps=(NextStep("Open the course for the dose", about=about(course)),),
            evidence=evidence,
            cautions=tuple(one.text for one in knowledge.cautions_for(course.substance)),
        )


def _near_invertebrates(facts: Facts, system: SystemState) -> Iterator[Concern]:
    doses = [one for one in facts.doses_of(system.key) if one.topic in copper_substances()]
    harmed = knowledge.figure("copper.invertebrates_harmed_mg_per_l")
    readings = facts.recent_readings(system.key, "copper")
    newest = readings[-1] if readings else None
    is_read = newest is not None and range_of(facts.household, newest.reading).low > harmed.value
    if not doses and not is_read:
        return
    said = []
    if doses:
        said.append(f"Copper was put in {when(doses[-1].happened_at, facts.now, facts.zone)}.")
    if newest is not None:
        said.append(f"Newest reading: {reading_words(facts.household, newest.reading)}.")
    said.append("Corals, shrimps, snails and crabs share this water. Carbon and water changes now; move what can move.")
    yield Concern(
        key=f"copper-invertebrates.{system.key}",
        about=about(system),
        title=f"{system.name}: copper in water with invertebrates",
        weight="now",
        weight_words=WEIGHT_WORDS["now"],
        said=tuple(said),
        next_steps=(
            NextStep("Write the water change", form="water-change", answers=(("system", system.key),)),
            NextStep("Read copper again", form="readings", answers=(("system", system.key),)),
        ),
        evidence=(
            *(Evidence("dose", one.happened_at, one.entry) for one in doses[-3:]),
            *((Evidence("copper reading", newest.at, newest.id),) if newest else ()),
        ),
        reasons=(reason("copper.invertebrates_harmed_mg_per_l"),),
        cautions=tuple(one.text for one in knowledge.cautions_for("copper_ionic")),
    )
