"""The treatments one animal went through, each with the days it was held at target and how sure that is."""

from datetime import datetime

from pratique import knowledge
from pratique.casework.chances import chance_with_error
from pratique.casework.copper import course_copper
from pratique.casework.course_sureness import is_rough, sure_longest_days
from pratique.casework.facts import Facts
from pratique.casework.words import days_words, short_day
from pratique.ledger.states import AnimalState, CourseState

type Span = tuple[datetime, datetime]


def course_lines(facts: Facts, animal: AnimalState) -> tuple[str, ...]:
    """Return a sentence for each course it lived through and each bath or dose of another medicine."""
    courses = [
        _course_line(facts, course, spans)
        for course in sorted(facts.household.courses.values(), key=lambda one: one.started or one.planned)
        if (spans := _lived_in(facts, animal, course))
    ]
    return tuple(courses)


def substances_met(facts: Facts, animal: AnimalState) -> tuple[str, ...]:
    """Return the substances of the courses it lived through, each once."""
    met = (one.substance for one in facts.household.courses.values() if _lived_in(facts, animal, one))
    return tuple(dict.fromkeys(met))


def _lived_in(facts: Facts, animal: AnimalState, course: CourseState) -> list[Span]:
    """Return when it was in the water of a course under way; a move within that water does not part two of them."""
    if course.started is None or course.started > facts.now:
        return []
    ended = min(course.stopped or facts.now, facts.now)
    spans: list[Span] = []
    for stay in animal.stays:
        began, left = max(stay.since, course.started), min(stay.until or facts.now, ended)
        if stay.system != course.system or began >= left:
            continue
        if spans and spans[-1][1] == began:
            began = spans.pop()[0]
        spans.append((began, left))
    return spans


def _course_line(facts: Facts, course: CourseState, spans: list[Span]) -> str:
    name = knowledge.substance_or_unknown(course.substance).name
    days = "; ".join(f"{_day(facts, began)} to {_day(facts, ended)}" for began, ended in spans)
    head = f"{course.name} ({name}), {days}"
    copper = course_copper(facts, course)
    if not copper.is_reckoned:
        return f"{head}: no level is reckoned for this medicine."
    held = copper.held_between(*spans[-1], required_days=course.required_days)
    if held is None or held.held is None or is_rough(held):
        return f"{head}: what it was held at is not known."
    sure, asked = days_words(sure_longest_days(held)), days_words(course.required_days)
    chance = chance_with_error(held.held)
    return f"{head}: at target without a break for {sure} surely; {chance} that the {asked} asked for were reached."


def _day(facts: Facts, moment: datetime) -> str:
    return short_day(moment.astimezone(facts.zone).date())
