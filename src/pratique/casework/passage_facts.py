"""What is known of one animal for the gates of its passage; what is not known stays not known."""

from datetime import datetime

from pratique.casework.copper import course_copper
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.timeline import days_of
from pratique.ledger.states import AnimalState, BatchState, CourseState
from pratique.science.passage.gates import PassageFacts

_QUIET = frozenset({"no signs", "hiding", "chasing", "being chased", "darting"})
_LOOKS = ("spots", "condition", "beats")


def facts_for_gate(facts: Facts, batch: BatchState, animal: AnimalState, health: AnimalHealth | None) -> PassageFacts:
    """Return the facts about one animal of a batch."""
    if health is None:
        return PassageFacts()
    entries: dict[str, tuple[str, ...]] = {}
    course = _course_of(facts, batch)
    at_target = _days_at_target(facts, course, entries)
    breathing, condition, found = health.breathing, health.condition, health.appetite
    if breathing.latest is not None:
        entries["breathing_state"] = (breathing.latest.entry,)
    if condition.first is not None and condition.last is not None:
        entries["condition_probability_falling"] = (condition.first.entry, condition.last.entry)
    if found.last_certain_meal is not None:
        entries["days_eating"] = (found.last_certain_meal.entry,)
    return PassageFacts(
        days_at_target=at_target,
        in_clean_tank=_in_clean_tank(facts, animal, course, entries),
        days_eating=found.eating_days_run if found.state != "unknown" else None,
        days_without_signs=_days_without_signs(facts, animal, health, entries),
        breathing_state=breathing.state,
        condition_probability_falling=condition.probability_falling,
        days_since_medicine=_days_since_medicine(facts, health, entries),
        days_in_box=_days_in_box(facts, animal, entries),
        days_without_chasing=_days_without_chasing(facts, animal, entries),
        entries=entries,
    )


def _course_of(facts: Facts, batch: BatchState) -> CourseState | None:
    """Return the batch's newest course that has begun."""
    begun = [
        one
        for one in facts.household.courses.values()
        if one.batch == batch.key and one.started is not None and one.started <= facts.now
    ]
    return max(begun, key=lambda one: one.started or facts.now, default=None)


def _days_at_target(facts: Facts, course: CourseState | None, entries: dict[str, tuple[str, ...]]) -> float | None:
    if course is None:
        return None
    copper = course_copper(facts, course)
    entries["days_at_target"] = tuple(str(one.id) for one in copper.entries if one.kind == "reading")[-6:]
    return float(copper.exposure.days_credited) if copper.exposure is not None else None


def _in_clean_tank(
    facts: Facts, animal: AnimalState, course: CourseState | None, entries: dict[str, tuple[str, ...]]
) -> bool | None:
    place = animal.place
    if place is None:
        return None
    entries["in_clean_tank"] = (str(place.entry),)
    return facts.household.systems[place.system].role != "quarantine" and (
        course is None or place.system != course.system
    )


def _days_since(facts: Facts, moment: datetime) -> float:
    return days_of(facts.now) - days_of(moment)


def _days_without_signs(
    facts: Facts, animal: AnimalState, health: AnimalHealth, entries: dict[str, tuple[str, ...]]
) -> float | None:
    """Return the days since a sign of disease was last seen, if it was looked over in the last days at all.

    Without any look since the last sign, nothing is known: not seeing is not looking.
    """
    signs = facts.signs_of(health.subject)
    bad = [one for one in signs if one.topic.removeprefix("sign: ") not in _QUIET]
    bad += [one for one in facts.seen_of(health.subject, "spots") if one.number]
    looked = [one for topic in _LOOKS for one in facts.seen_of(health.subject, topic)]
    looked += [one for one in signs if one.topic == "sign: no signs"]
    newest_bad = max((one.happened_at for one in bad), default=None)
    good = [one for one in looked if newest_bad is None or one.happened_at > newest_bad]
    if not good:
        return None if newest_bad is None else 0.0
    began = newest_bad or min(one.happened_at for one in good)
    newest = max(good, key=lambda one: one.happened_at)
    entries["days_without_signs"] = (newest.entry_text,)
    return days_of(newest.happened_at) - days_of(max(began, animal.stays[0].since))


def _days_since_medicine(facts: Facts, health: AnimalHealth, entries: dict[str, tuple[str, ...]]) -> float | None:
    ends = [
        (end, course)
        for course in facts.household.courses.values()
        if (end := health.end_of_exposure(course)) is not None
    ]
    if not ends:
        return None
    end, course = max(ends, key=lambda pair: pair[0])
    entries["days_since_medicine"] = (str(course.entry),)
    return _days_since(facts, end)


def _days_in_box(facts: Facts, animal: AnimalState, entries: dict[str, tuple[str, ...]]) -> float | None:
    place = animal.place
    compartment = facts.household.compartments.get(place.compartment or "") if place else None
    if place is None or compartment is None or compartment.form != "box":
        return None
    entries["days_in_box"] = (str(place.entry),)
    return _days_since(facts, place.since)


def _days_without_chasing(facts: Facts, animal: AnimalState, entries: dict[str, tuple[str, ...]]) -> float | None:
    """Return the days since residents last charged at it, if that was watched where it is now."""
    place = animal.place
    if place is None:
        return None
    watched = [one for one in facts.seen_of(f"animal/{animal.key}", "charges") if one.happened_at >= place.since]
    if not watched:
        return None
    entries["days_without_chasing"] = tuple(one.entry_text for one in watched[-3:])
    charged = [one for one in watched if one.number]
    began = charged[-1].happened_at if charged else watched[0].happened_at
    return days_of(watched[-1].happened_at) - days_of(began)
