"""The pages of growth cases: what was seen, what may be done about it now, what could be looked at next."""

from collections.abc import Sequence
from datetime import datetime

from pratique import knowledge
from pratique.casework.concerns.pieces import about
from pratique.casework.facts import Facts
from pratique.casework.growth_measured import CoverCourse, cover_course, measured_of
from pratique.casework.growth_measures import measures_of
from pratique.casework.growth_told import (
    candidate_lines,
    clip_contradictions,
    contradiction_words,
    gist_words,
    is_perhaps_toxic,
    judged,
    look_lines,
    made_of,
    turning_words,
    why_lines,
    with_measured,
)
from pratique.casework.health import health_of
from pratique.casework.pictures import photos_of
from pratique.casework.rounds import all_concerns, concerns_about
from pratique.casework.sheets import (
    Evidence,
    FindingLine,
    GrowthSheet,
    ListGroup,
    ListLine,
    NextStep,
)
from pratique.casework.sheets.growth import CaseClip, CasePhoto
from pratique.casework.timeline import hours_of
from pratique.casework.words import sentence_case, short_day, when
from pratique.knowledge.candidates import candidates
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.care import Finding, Note, TaskDone
from pratique.ledger.kinds.measured import Clip
from pratique.ledger.queries import entries_about
from pratique.ledger.states import CaseState
from pratique.science.growths.regrowth import returned_within

_CAUTIONS = (
    "Some brown films are poisonous to breathe near and to touch: gloves, no spray, no hot water, air in the "
    "room; people with asthma or broken skin leave it to others.",
)
_RETURNED = "back_within_a_day"
_TIMELINE_KINDS = ("growth-case", "finding", "task-done", "note", "photo", "clip", "case-closed")
_MEASURED_KINDS = ("cover", "cells", "motion")


def growth_list(household: Household, *, now: datetime) -> tuple[ListGroup, ...]:
    """Return every growth case, those still followed first."""
    facts = Facts(household, now)
    concerns = all_concerns(facts, health_of(facts))
    groups = []
    for heading, is_open in (("Followed now", True), ("Closed", False)):
        lines = []
        for case in household.cases.values():
            if (case.closed is None) != is_open or case.opened > now:
                continue
            found = concerns_about(concerns, ("system", case.system))
            worst = next((one for one in found if one.key == f"add-nothing.{case.system}"), None)
            opened = short_day(case.opened.astimezone(facts.zone).date())
            lines.append(
                ListLine(
                    about=about(case),
                    words=f"{household.place_name(case.system, None)}, since {opened}",
                    note=case.where,
                    weight=worst.weight if worst and is_open else None,
                    weight_words=worst.weight_words if worst and is_open else "",
                )
            )
        if lines:
            groups.append(ListGroup(heading=heading, lines=tuple(lines)))
    return tuple(groups)


def growth_sheet(household: Household, key: str, *, now: datetime) -> GrowthSheet:
    """Return the page of a growth case; raises KeyError for one that is not known."""
    case = household.cases[key]
    facts = Facts(household, now)
    healths = health_of(facts)
    entries = entries_about(f"case/{key}", (*_TIMELINE_KINDS, *_MEASURED_KINDS), until=now)
    findings = [(one, one.payload) for one in entries if isinstance(one.payload, Finding)]
    concerns = concerns_about(all_concerns(facts, healths), ("case", key), ("system", case.system))
    measured = measured_of(entries)
    made = with_measured(made_of(findings), findings, measured)
    found = judged(made.answers, measured.odds)
    course = cover_course(facts, case.name, entries, [one.happened_at for one in entries if one.kind == "task-done"])
    chances = found.verdict.chances if found.verdict is not None else dict.fromkeys(candidates(), 0.0)
    return GrowthSheet(
        about=about(case),
        system=about(household.system_or_missing(case.system)),
        since=case.opened.astimezone(facts.zone).date(),
        closed=case.closed.astimezone(facts.zone).date() if case.closed else None,
        where=case.where,
        gist="This case is closed." if case.closed is not None else gist_words(found, len(made.answers)),
        candidates=candidate_lines(found.verdict) if found.verdict is not None else (),
        why=(*measured.why, *why_lines(found.verdict, made)) if found.verdict is not None else measured.why,
        contradictions=(*contradiction_words(found.verdict), *clip_contradictions(findings, measured)),
        turning=turning_words(found) if made.answers else "",
        findings=tuple(
            FindingLine(
                words=finding_words(told.finding),
                state=f"graded {told.grade:g}" if told.grade is not None else told.state,
                happened_at=one.happened_at,
                entry=one.id,
                note=told.words,
            )
            for one, told in reversed(findings)
        ),
        timeline=tuple(
            Evidence(_line_words(one.payload, one.kind), one.happened_at, one.id) for one in reversed(entries)
        ),
        measures=measures_of(facts, healths, case, chances, {key: one.name for key, one in candidates().items()}),
        looks=look_lines(found, key) if case.closed is None else (),
        regrowth_words=_regrowth_words(facts, findings, [one for one in entries if one.kind == "task-done"]),
        photos=_photos(key, course, now),
        clips=tuple(
            CaseClip(sha256=told.sha256, words=told.words, happened_at=one.happened_at, entry=one.id)
            for one in reversed(entries)
            if isinstance(told := one.payload, Clip)
        ),
        charts=course.charts,
        course_said=course.said,
        concerns=tuple(one for one in concerns if one.key == f"add-nothing.{case.system}" or one.about.type == "case"),
        steps=_steps(case),
        cautions=_CAUTIONS if is_perhaps_toxic(found) else (),
    )


def _photos(key: str, course: CoverCourse, now: datetime) -> tuple[CasePhoto, ...]:
    return tuple(
        CasePhoto(sha256=sha256, words=words, happened_at=at, entry=entry, cover=course.of_photo.get(sha256, ""))
        for sha256, words, at, entry in photos_of(f"case/{key}", now)
    )


def finding_words(key: str) -> str:
    """Return a finding in words; one that is not in the shipped list is said as it was written."""
    known = {one.key: one.words for one in knowledge.finding_kinds()}
    return known.get(key, key)


def _line_words(payload: object, kind: str) -> str:
    match payload:
        case Finding() as told:
            return f"{finding_words(told.finding).rstrip('.')}: {told.state}"
        case TaskDone() as told:
            return f"{told.task}{f'. {told.words}' if told.words else ''}"
        case Note() as told:
            return told.words
        case _:
            return sentence_case(kind.replace("-", " "))


def _regrowth_words(facts: Facts, findings: Sequence[tuple[Recorded, Finding]], tasks: Sequence[Recorded]) -> str:
    """Return what the newest return after a removal says, where one was noted."""
    returns = [one for one, told in findings if told.finding == _RETURNED and told.state == "present"]
    if not returns:
        return ""
    before = [one for one in tasks if one.happened_at <= returns[-1].happened_at]
    if not before:
        return ""
    hours = hours_of(returns[-1].happened_at) - hours_of(before[-1].happened_at)
    moment = when(returns[-1].happened_at, facts.now, facts.zone)
    match returned_within(hours):
        case "gathering":
            verdict = "too fast to be growth: what was left has gathered again"
        case "either":
            verdict = "it may have grown, or gathered again"
        case _:
            verdict = "slow enough to be growth"
    return f"Back {hours:.0f} h after it was taken out ({moment}): {verdict}."


def _steps(case: CaseState) -> tuple[NextStep, ...]:
    if case.closed is not None:
        return ()
    own = (("case", case.key),)
    subject = (("subjects", f"case/{case.key}"),)
    return (
        NextStep("Note what you see", form="findings", answers=own),
        NextStep("Add a photo", form="photo", answers=subject),
        NextStep("Add a clip from the microscope", form="clip", answers=subject),
        NextStep("I took it out", form="task-done", answers=(("task", "Siphoned it out"), *subject)),
        NextStep("Close the case", form="case-closed", answers=own),
    )
