"""What is known of one animal for the gates of its passage; what is not known stays not known."""

from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT, course_copper
from pratique.casework.course_sureness import is_rough, sure_days, sure_longest_days
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.protocol_kept import protocol_of
from pratique.casework.signs import bad_signs, clean_looks
from pratique.casework.timeline import days_of
from pratique.ledger.queries import Point
from pratique.ledger.states import AnimalState, BatchState, CourseState
from pratique.science.passage.gates import AtTarget, PassageFacts, Reached


def facts_for_gate(facts: Facts, batch: BatchState, animal: AnimalState, health: AnimalHealth | None) -> PassageFacts:
    """Return the facts about one animal of a batch."""
    if health is None:
        return PassageFacts()
    entries: dict[str, tuple[str, ...]] = {}
    course = _course_of(facts, batch)
    at_target = _at_target(facts, animal, course, _days_asked(facts, batch), entries)
    breathing, condition, found = health.breathing, health.condition, health.appetite
    if breathing.latest is not None:
        entries["breathing_state"] = (breathing.latest.entry,)
    if condition.first is not None and condition.last is not None:
        entries["condition_probability_falling"] = (condition.first.entry, condition.last.entry)
    if found.last_certain_meal is not None:
        entries["days_eating"] = (found.last_certain_meal.entry,)
    return PassageFacts(
        at_target=at_target,
        in_clean_tank=_in_clean_tank(facts, health, course, entries),
        days_eating=found.eating_days_run if found.state != "unknown" else None,
        days_without_signs=_days_without_signs(facts, health, entries),
        breathing_state=breathing.state,
        condition_probability_falling=condition.probability_falling,
        days_since_medicine=_days_since_medicine(facts, health, entries),
        days_in_box=_days_in_box(facts, animal, entries),
        days_without_chasing=_days_without_chasing(facts, animal, entries),
        entries=entries,
    )


def _course_of(facts: Facts, batch: BatchState) -> CourseState | None:
    """Return the batch's newest copper course that has begun; no other medicine is held at a target."""
    begun = [
        one
        for one in facts.household.courses.values()
        if one.batch == batch.key
        and one.started is not None
        and one.started <= facts.now
        and knowledge.substance_or_unknown(one.substance).constituent == CONSTITUENT
    ]
    return max(begun, key=lambda one: one.started or facts.now, default=None)


def _days_asked(facts: Facts, batch: BatchState) -> tuple[float, ...]:
    """Return the days at target that the batch's protocol asks for, at whichever leg."""
    legs = protocol_of(facts.household, batch.protocol).legs
    return tuple({one.required for leg in legs for one in leg.criteria if one.key == "days_at_target"})


def _at_target(
    facts: Facts,
    animal: AnimalState,
    course: CourseState | None,
    asked: tuple[float, ...],
    entries: dict[str, tuple[str, ...]],
) -> AtTarget | None:
    """Return how long the animal itself was held at target: of the course, its last unbroken stay in that water.

    None, not known, also where what was written fits together so badly that no day is sure.
    """
    if course is None:
        return None
    copper = course_copper(facts, course)
    entries["at_target"] = tuple(str(one.id) for one in copper.entries if one.kind == "reading")[-6:]
    stay = _stay_in(animal, course)
    if stay is None:
        return AtTarget(0.0, dict.fromkeys(asked, Reached(0.0)))
    held = {one: copper.held_between(stay[0], stay[1] or facts.now, required_days=one) for one in asked}
    known = [one for one in held.values() if one is not None and not is_rough(one)]
    if not known:
        return None
    reached = {
        days: Reached(one.held.value, one.held.monte_carlo_error)
        for days, one in held.items()
        if one is not None and one.held is not None
    }
    goes_on = course.stopped is None and stay[1] is None
    return AtTarget(sure_longest_days(known[0]), reached, sure_days(known[0]) if goes_on else None)


def _stay_in(animal: AnimalState, course: CourseState) -> tuple[datetime, datetime | None] | None:
    """Return the last unbroken time in the course's water; a move between its compartments does not break it."""
    found: tuple[datetime, datetime | None] | None = None
    for stay in animal.stays:
        if stay.system == course.system and (course.stopped is None or stay.since < course.stopped):
            is_same = found is not None and found[1] == stay.since
            found = (found[0] if found and is_same else stay.since, stay.until)
    return found


def _in_clean_tank(
    facts: Facts, health: AnimalHealth, course: CourseState | None, entries: dict[str, tuple[str, ...]]
) -> bool | None:
    """Return whether it lives in water that holds no medicine; where copper was, only a reading can tell."""
    place = health.animal.place
    if place is None:
        return None
    entries["in_clean_tank"] = (str(place.entry),)
    system = facts.household.systems.get(place.system)
    if system is None:
        return None
    lasting = health.medicines.lasting(place.system)
    if lasting is not None:
        entries["in_clean_tank"] = (str(place.entry), lasting.entry)
    if system.role == "quarantine" or (course is not None and place.system == course.system):
        return False
    if lasting is not None:
        return None if lasting.still == "not read" else False
    return True


def _days_since(facts: Facts, moment: datetime) -> float:
    return days_of(facts.now) - days_of(moment)


def _days_without_signs(facts: Facts, health: AnimalHealth, entries: dict[str, tuple[str, ...]]) -> float | None:
    """Return the days over which looks found nothing, if the newest is fresh: not seeing is not looking.

    They count from the first look after the last sign, and anew after a gap between looks.
    """
    seen = health.earlier.looks(health.subject)
    bad = bad_signs(seen)
    good = [one for one in clean_looks(seen) if not bad or one.happened_at > bad[-1].happened_at]
    if bad and not good:
        entries["days_without_signs"] = (bad[-1].entry_text,)
        return 0.0
    if not good or _days_since(facts, good[-1].happened_at) > knowledge.figure("signs.look_stale_days").value:
        return None
    run = _without_gap(good)
    entries["days_without_signs"] = tuple(dict.fromkeys((run[0].entry_text, run[-1].entry_text)))
    return days_of(run[-1].happened_at) - days_of(run[0].happened_at)


def _without_gap(looks: list[Point]) -> list[Point]:
    """Return the looks since the last gap in which a sign may have come and gone."""
    gap = timedelta(days=knowledge.figure("signs.look_gap_days").value)
    began = 0
    for index in range(1, len(looks)):
        if looks[index].happened_at - looks[index - 1].happened_at > gap:
            began = index
    return looks[began:]


def _days_since_medicine(facts: Facts, health: AnimalHealth, entries: dict[str, tuple[str, ...]]) -> float | None:
    """Return the days since it was last in medicine; not known in water that held copper and was not read since."""
    place = health.animal.place
    lasting = health.medicines.lasting(place.system) if place is not None else None
    if lasting is not None:
        entries["days_since_medicine"] = (lasting.entry,)
        return None if lasting.still == "not read" else 0.0
    if not health.medicated:
        return None
    newest = health.medicated[-1]
    entries["days_since_medicine"] = (newest.entry,)
    return days_of(facts.now) - newest.at_day


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
