"""What is due today: readings, feedings and counts that the state of each system asks for, and planned starts."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets import About, Due, NextStep
from pratique.casework.timeline import hours_of
from pratique.casework.words import days_words, listed
from pratique.ledger.queries import Point
from pratique.ledger.states import SystemState

_NAMES = {"ph": "pH", "total_ammonia": "total ammonia"}


def due_today(facts: Facts, healths: dict[str, AnimalHealth]) -> tuple[Due, ...]:
    """Return what is due by the end of the keeper's day, the longest overdue first."""
    end = _end_of_day(facts)
    found: list[Due] = []
    for system in facts.household.systems.values():
        if facts.household.living_in(system.key) or system.role == "display":
            found += _readings(facts, system, end)
            found += _feeding(facts, system, end)
            found += _breathing(facts, system, healths, end)
            found += _box_watch(facts, system, end)
    return tuple(sorted(found, key=lambda one: (one.at, one.words)))


def _end_of_day(facts: Facts) -> datetime:
    local = facts.now.astimezone(facts.zone)
    return (local + timedelta(days=1)).replace(hour=0, minute=0, second=0, microsecond=0)


def states_of(facts: Facts, system: SystemState) -> set[str]:
    """Return which of the rule states hold: a copper course at its ramp or target, a stocked quarantine, a display."""
    found = set()
    is_stocked = bool(facts.household.living_in(system.key))
    if system.role in {"quarantine", "recovery", "holding"} and is_stocked:
        found.add("quarantine_stocked")
    if system.role == "display":
        found.add("display")
    ramp = timedelta(days=knowledge.figure("copper.ramp_days").value)
    for course in facts.household.courses_of(system.key):
        is_copper = knowledge.substance_or_unknown(course.substance).constituent == CONSTITUENT
        if is_copper and course.standing == "open" and course.started is not None:
            is_young = facts.now - course.started < ramp
            found.add("course_ramp" if is_young else "course_at_target")
    return found


def _about(system: SystemState) -> About:
    return About("system", system.key, system.name)


def _readings(facts: Facts, system: SystemState, end: datetime) -> Iterator[Due]:
    """Yield one line for all readings of a system that are due, at the time of the first."""
    due: dict[str, datetime] = {}
    never = []
    for rule in knowledge.due_rules():
        if rule.when not in states_of(facts, system) or rule.constituent in {"feeding", "breathing"}:
            continue
        taken = facts.read_of(system.key, rule.constituent)
        at = taken[-1].happened_at + timedelta(hours=rule.every_hours) if taken else facts.now
        if not taken:
            never.append(rule.constituent)
        if at < end:
            due[rule.constituent] = min(at, due.get(rule.constituent, at))
    if due:
        at = min(due.values())
        names = [_NAMES.get(one, knowledge.constituent(one).name) for one in due]
        yield Due(
            at=at,
            words=f"{system.name}: read {listed(names)}",
            about=_about(system),
            step=NextStep("Write", form="readings", answers=(("system", system.key),)),
            overdue_hours=max(0.0, hours_of(facts.now) - hours_of(at)),
            note="never read yet" if len(never) == len(due) else "",
        )


def _feeding(facts: Facts, system: SystemState, end: datetime) -> Iterator[Due]:
    rules = [
        rule
        for rule in knowledge.due_rules()
        if rule.constituent == "feeding" and rule.when in states_of(facts, system)
    ]
    animals = facts.household.living_in(system.key)
    if not rules or not animals:
        return
    fed = facts.feeds_of(f"system/{system.key}", "feeding")
    every = timedelta(hours=min(rule.every_hours for rule in rules))
    at = fed[-1].happened_at + every if fed else facts.now
    if at < end:
        fishes = [one for one in animals if not knowledge.species_or_unknown(one.species).is_invertebrate]
        each = {0: "", 1: ", and note it"}.get(len(fishes), f", and note each of {len(fishes)}")
        yield Due(
            at=at,
            words=f"{system.name}: feed{each}",
            about=_about(system),
            step=NextStep("Write", form="feeding", answers=(("system", system.key),)),
            overdue_hours=max(0.0, hours_of(facts.now) - hours_of(at)),
        )


def _breathing(facts: Facts, system: SystemState, healths: dict[str, AnimalHealth], end: datetime) -> Iterator[Due]:
    rules = [
        rule
        for rule in knowledge.due_rules()
        if rule.constituent == "breathing" and rule.when in states_of(facts, system)
    ]
    if not rules:
        return
    every = timedelta(hours=min(rule.every_hours for rule in rules))
    waiting = []
    for animal in facts.household.living_in(system.key):
        if animal.key not in healths:
            continue
        counted: list[Point] = facts.seen_of(f"animal/{animal.key}", "beats")
        at = counted[-1].happened_at + every if counted else facts.now
        if at < end:
            waiting.append((at, animal))
    if waiting:
        at = min(moment for moment, _ in waiting)
        yield Due(
            at=at,
            words=f"{system.name}: count the breathing of {listed([animal.name for _, animal in waiting])}",
            about=_about(system),
            step=NextStep("Write", form="observation", answers=(("animal", waiting[0][1].key),)),
            overdue_hours=max(0.0, hours_of(facts.now) - hours_of(at)),
            note="before feeding, lights steady",
        )


def _box_watch(facts: Facts, system: SystemState, end: datetime) -> Iterator[Due]:
    """Yield a watch at each box that holds a newcomer beside residents."""
    every = timedelta(hours=knowledge.figure("box.watch_every_hours").value)
    for animal in facts.household.living_in(system.key):
        place = animal.place
        if place is None or place.compartment is None:
            continue
        compartment = facts.household.compartments.get(place.compartment)
        if compartment is None or compartment.form != "box":
            continue
        watched = facts.seen_of(f"animal/{animal.key}", "charges")
        at = watched[-1].happened_at + every if watched else facts.now
        if at < end:
            yield Due(
                at=at,
                words=f"{compartment.name}: watch the residents at {animal.name}'s box",
                about=About("animal", animal.key, animal.name),
                step=NextStep("Write", form="observation", answers=(("animal", animal.key),)),
                overdue_hours=max(0.0, hours_of(facts.now) - hours_of(at)),
                note=f"in the box for {days_words((facts.now - place.since).total_seconds() / 86400)}; "
                "five minutes, count the charges",
            )
