"""The pages of growth cases: what was seen, what may be done about it now, what could be looked at next."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from pratique import knowledge
from pratique.casework.concerns.additions import addition_advice
from pratique.casework.concerns.pieces import about, reason
from pratique.casework.evidence import evidence_of
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth, health_of
from pratique.casework.pictures import photos_of
from pratique.casework.rounds import all_concerns, concerns_about
from pratique.casework.sheets import (
    CriterionLine,
    Evidence,
    FindingLine,
    GrowthSheet,
    ListGroup,
    ListLine,
    NextStep,
    Reason,
)
from pratique.casework.timeline import at_days, hours_of
from pratique.casework.words import sentence_case, short_day, when
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.care import Finding, Note, TaskDone
from pratique.ledger.queries import entries_about
from pratique.ledger.states import CaseState
from pratique.science.growths.regrowth import returned_within

_LOOKS = 8
_RETURNED = "back_within_a_day"
_TIMELINE_KINDS = ("growth-case", "finding", "task-done", "note", "photo", "case-closed")


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
    entries = entries_about(f"case/{key}", _TIMELINE_KINDS, until=now)
    findings = [(one, one.payload) for one in entries if isinstance(one.payload, Finding)]
    concerns = concerns_about(all_concerns(facts, healths), ("case", key), ("system", case.system))
    return GrowthSheet(
        about=about(case),
        system=about(household.system_or_missing(case.system)),
        since=case.opened.astimezone(facts.zone).date(),
        closed=case.closed.astimezone(facts.zone).date() if case.closed else None,
        where=case.where,
        gist=_gist(case, [told for _, told in findings]),
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
        may_be_done=_may_be_done(facts, healths, case),
        looks=_looks(case, {told.finding for _, told in findings}),
        regrowth_words=_regrowth_words(facts, findings, [one for one in entries if one.kind == "task-done"]),
        photos=photos_of(f"case/{key}", now),
        concerns=tuple(one for one in concerns if one.key == f"add-nothing.{case.system}" or one.about.type == "case"),
        steps=_steps(case),
        cautions=(
            "Some brown films are poisonous to breathe near and to touch: gloves, no spray, no hot water, air in the "
            "room; people with asthma or broken skin leave it to others.",
        ),
    )


def finding_words(key: str) -> str:
    """Return a finding in words; one that is not in the shipped list is said as it was written."""
    known = {one.key: one.words for one in knowledge.finding_kinds()}
    return known.get(key, key)


def _gist(case: CaseState, findings: list[Finding]) -> str:
    if case.closed is not None:
        return "This case is closed."
    if not findings:
        return "Nothing has been noted of it yet. One look with a torch is a beginning."
    count = len({one.finding for one in findings})
    noted = "One thing has" if count == 1 else f"{count} things have"
    return f"{noted} been noted; what it is has not been settled."


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


def _may_be_done(facts: Facts, healths: dict[str, AnimalHealth], case: CaseState) -> tuple[CriterionLine, ...]:
    advice = addition_advice(facts, healths, case.system)
    by_hand = CriterionLine(
        status="met",
        title="Take it out by hand, into a fine sock, at midday",
        words="It adds nothing to the water. Gloves; make no spray.",
        evidence=(),
        how_to_know="",
        reason=Reason("Removal by hand helps with every candidate.", "custom of the trade", "common practice"),
    )
    if advice.allowed_now or advice.not_before_day is None:
        return (
            by_hand,
            CriterionLine(
                status="not known",
                title="Adding anything to the water",
                words="The animals are rested. But the cures oppose each other, and what this is has not been settled.",
                evidence=(),
                how_to_know="Note more findings first: the looks below cost least.",
                reason=reason("rest.after_move_days", "Every animal in this water is rested."),
            ),
        )
    day = short_day(at_days(advice.not_before_day).astimezone(facts.zone).date())
    words = [
        f"{healths[key].animal.name}: {binding.words}"
        for key, _ in advice.because
        if (binding := healths[key].rest.binding) is not None
    ]
    entries = [exposed.entry for key, _ in advice.because for exposed in healths[key].exposures[-2:]]
    return (
        by_hand,
        CriterionLine(
            status="not met",
            title=f"Anything added to the water: not before {day}",
            words=f"{'; '.join(words)}.",
            evidence=evidence_of(UUID(one) for one in entries),
            how_to_know="",
            reason=reason("rest.after_move_days", "Days of quiet after a move before a calm baseline is assumed."),
        ),
    )


def _looks(case: CaseState, made: set[str]) -> tuple[tuple[str, str, str, NextStep], ...]:
    """Return looks not yet made as (what, with what, how long, the form): the cheapest first, not the most telling."""
    if case.closed is not None:
        return ()
    waiting = sorted((one for one in knowledge.finding_kinds() if one.key not in made), key=lambda one: one.minutes)
    return tuple(
        (
            one.words,
            one.tool,
            f"{one.minutes:g} min",
            NextStep("Note it", form="finding", answers=(("case", case.key), ("finding", one.key))),
        )
        for one in waiting[:_LOOKS]
    )


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
        NextStep("Note a finding", form="finding", answers=own),
        NextStep("Add a photo", form="photo", answers=subject),
        NextStep("I took it out", form="task-done", answers=(("task", "Siphoned it out"), *subject)),
        NextStep("Close the case", form="case-closed", answers=own),
    )
