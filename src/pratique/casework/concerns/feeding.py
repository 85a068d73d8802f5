"""Concerns about animals that do not feed as they should."""

from collections.abc import Iterable, Iterator
from datetime import timedelta

from pratique import knowledge
from pratique.casework.coincidences import just_before
from pratique.casework.concerns.appetite_chances import alarm, chances_reasons, chances_said
from pratique.casework.concerns.fasting import (
    copper_cautions,
    copper_reasons,
    copper_said,
    copper_steps,
    fasting_under_copper,
)
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, evidence_at_day, on_day, reason
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets import Concern, Evidence, NextStep, Weight
from pratique.casework.timeline import at_days, days_of
from pratique.casework.words import days_words


def feeding_concerns(facts: Facts, healths: Iterable[AnimalHealth]) -> Iterator[Concern]:
    """Yield a concern for each animal that refuses, hesitates, or has not been seen feeding."""
    for health in healths:
        if not health.feeds:
            continue
        if health.appetite.state == "unknown":
            yield _not_seen(facts, health)
            continue
        concern = _early(facts, health) or _poor_appetite(facts, health)
        if concern is not None:
            yield concern


def _early(facts: Facts, health: AnimalHealth) -> Concern | None:
    """Return the alarm that speaks before a run of feeds names a refusal."""
    found = health.appetite
    is_named = found.state == "refusing" or (found.state == "hesitant" and found.refusal_began is not None)
    return None if is_named else alarm(facts, health)


def _poor_appetite(facts: Facts, health: AnimalHealth) -> Concern | None:
    animal, found = health.animal, health.appetite
    if found.state == "eating":
        return None
    began = found.refusal_began
    new = timedelta(days=knowledge.figure("appetite.new_arrival_days").value)
    came = animal.stays[0].since
    if began is None and facts.now - came <= new:
        # A newcomer that picks at its food is expected to; refusing outright is not passed over.
        return None
    is_refusing = found.state == "refusing"
    copper = fasting_under_copper(facts, health)
    turned = began or found.hesitant_since
    turned_at = at_days(turned.at_day) if turned else came
    return Concern(
        key=f"appetite.{animal.key}",
        about=about(animal),
        title=_title(health),
        weight=_weight(facts, health),
        weight_words=WEIGHT_WORDS[_weight(facts, health)],
        since=turned_at.astimezone(facts.zone).date(),
        said=(*_said(facts, health), *chances_said(health), *copper_said(copper)),
        just_before=just_before(facts, animal, turned_at),
        next_steps=(*copper_steps(copper), *_steps(health, is_refusing=is_refusing)),
        evidence=_evidence(health),
        reasons=(
            reason("appetite.certain_meal_step", "A certain meal is one seen to be steady or eager."),
            reason("appetite.refusal_days", "Days without food after which a refusal is serious."),
            *chances_reasons(),
            *copper_reasons(copper),
        ),
        cautions=copper_cautions(copper),
        feeds=health.strip(),
    )


def _title(health: AnimalHealth) -> str:
    name, found = health.animal.name, health.appetite
    if found.state == "refusing":
        return f"{name} refuses food"
    return f"{name} is hesitant again after refusing" if found.refusal_began else f"{name} is hesitant at food"


def _weight(facts: Facts, health: AnimalHealth) -> Weight:
    found = health.appetite
    if found.state != "refusing" or found.refusal_began is None:
        return "today" if found.refusal_began else "watch"
    days = days_of(facts.now) - found.refusal_began.at_day
    return "now" if days >= knowledge.figure("appetite.refusal_days").value else "today"


def _said(facts: Facts, health: AnimalHealth) -> tuple[str, ...]:
    animal, found, household = health.animal, health.appetite, facts.household
    said = []
    if found.eating_less_since is not None and found.refusal_began is not None:
        less = on_day(household, animal, at_days(found.eating_less_since.at_day), facts.now)
        said.append(f"Ate less from {_bare(less)}.")
    if found.refusal_began is not None:
        began = _bare(on_day(household, animal, at_days(found.refusal_began.at_day), facts.now))
        if found.refusal_ended is None:
            said.append(f"Has refused food since {began}.")
        else:
            ended = _bare(on_day(household, animal, at_days(found.refusal_ended.at_day), facts.now))
            said.append(f"Refused food from {began}, and takes some again, hesitantly, since {ended}.")
    elif found.hesitant_since is not None:
        since = _bare(on_day(household, animal, at_days(found.hesitant_since.at_day), facts.now))
        said.append(f"Takes little since {since}.")
    said.append(_last_meal(facts, health))
    said.append(f"Seen at {found.seen_meals} of {len(health.feeds)} feedings; {found.good_meals} were certain meals.")
    return tuple(said)


def _last_meal(facts: Facts, health: AnimalHealth) -> str:
    animal, found = health.animal, health.appetite
    before = found.last_certain_before_refusal or found.last_certain_meal
    if before is None:
        return "No certain meal was seen in the time looked back on."
    moment = _bare(on_day(facts.household, animal, at_days(before.at_day), facts.now))
    newest = found.last_certain_meal
    if newest is None or newest == before:
        days = days_words(found.days_since_certain_meal or 0.0)
        return f"Last certain meal: {moment}, {days} ago."
    again = _bare(on_day(facts.household, animal, at_days(newest.at_day), facts.now))
    return f"Last certain meal before that: {moment}; the newest: {again}."


def _bare(words: str) -> str:
    """Return `3 November` where the sentence has no place for `on 3 November`."""
    return words.removeprefix("on ")


def _steps(health: AnimalHealth, *, is_refusing: bool) -> tuple[NextStep, ...]:
    animal = health.animal
    place = animal.place
    feed = NextStep(
        "Offer small live or fresh food, and note how it feeds" if is_refusing else "Note the next feeding",
        form="feeding",
        answers=(("system", place.system),) if place else (),
    )
    look = NextStep("Count its breathing and look it over", form="observation", answers=(("animal", animal.key),))
    return (feed, look)


def _evidence(health: AnimalHealth) -> tuple[Evidence, ...]:
    found = health.appetite
    named = (
        ("last certain meal before it refused", found.last_certain_before_refusal),
        ("began to eat less", found.eating_less_since),
        ("first refused feeding", found.refusal_began),
        ("first feeding taken again", found.refusal_ended),
        ("newest certain meal", found.last_certain_meal),
    )
    return tuple(evidence_at_day(words, fed.at_day, fed.entry) for words, fed in named if fed is not None)


def _not_seen(facts: Facts, health: AnimalHealth) -> Concern:
    animal = health.animal
    seen = [one for one in health.feeds if one.number is not None]
    words = (
        f"Last seen at food {on_day(facts.household, animal, seen[-1].happened_at, facts.now)}."
        if seen
        else "It has not been seen at food in the time looked back on."
    )
    return Concern(
        key=f"appetite.{animal.key}",
        about=about(animal),
        title=f"{animal.name}: not seen feeding",
        weight="watch",
        weight_words=WEIGHT_WORDS["watch"],
        said=(words, "Not seen is not the same as not eaten: whether it feeds is not known."),
        next_steps=(NextStep("Watch it at the next feeding", form="feeding", answers=_place(health)),),
        evidence=tuple(Evidence("last seen feeding", one.happened_at, one.entry) for one in seen[-1:]),
        reasons=(reason("appetite.stale_days", "Days after which an old feeding no longer speaks for today."),),
        feeds=health.strip(),
    )


def _place(health: AnimalHealth) -> tuple[tuple[str, str], ...]:
    place = health.animal.place
    return (("system", place.system),) if place else ()
