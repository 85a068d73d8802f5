"""The pages of animals: the list, and one animal with how it is and how it came to be so."""

from datetime import datetime

from pratique import knowledge
from pratique.casework.bodies import body_told
from pratique.casework.charts import breathing_chart, condition_chart, only_charts
from pratique.casework.concerns.pieces import about
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth, health_of
from pratique.casework.people import (
    appetite_words,
    breathing_words,
    condition_words,
    copper_words,
    resident,
    rest_words,
    surely_ate_words,
)
from pratique.casework.pictures import photos_of
from pratique.casework.rounds import all_concerns, concerns_about
from pratique.casework.sheets import AnimalSheet, Concern, Evidence, ListGroup, ListLine, NextStep, Reason
from pratique.casework.unseen import no_concern_words
from pratique.casework.words import amount, sentence_case, when
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.animals import Observation
from pratique.ledger.queries import entries_about
from pratique.ledger.states import AnimalState

_SEEN = 12


def animal_list(household: Household, *, now: datetime) -> tuple[ListGroup, ...]:
    """Return every animal by the place it lives in, those that are gone last."""
    facts = Facts(household, now)
    healths = health_of(facts)
    concerns = all_concerns(facts, healths)
    groups: dict[str, list[ListLine]] = {}
    for animal in household.living:
        if animal.stays[0].since > now:
            continue
        line = _line(household, animal, healths.get(animal.key), concerns)
        groups.setdefault(resident(household, animal, None).place, []).append(line)
    gone = [
        ListLine(about=about(one), words=knowledge.species_or_unknown(one.species).name, note=_life_words(facts, one))
        for one in household.animals.values()
        if one.life != "alive"
    ]
    found = [ListGroup(heading=place, lines=tuple(lines)) for place, lines in sorted(groups.items())]
    return (*found, ListGroup(heading="Gone", lines=tuple(gone))) if gone else tuple(found)


def _line(
    household: Household, animal: AnimalState, health: AnimalHealth | None, concerns: tuple[Concern, ...]
) -> ListLine:
    found = concerns_about(concerns, ("animal", animal.key))
    worst = found[0] if found else None
    shown = resident(household, animal, health)
    return ListLine(
        about=about(animal),
        words=sentence_case(shown.species_words),
        note=worst.title if worst else shown.appetite_words,
        weight=worst.weight if worst else None,
        weight_words=worst.weight_words if worst else "",
    )


def animal_sheet(household: Household, key: str, *, now: datetime) -> AnimalSheet:
    """Return the page of an animal; raises KeyError for one that is not known."""
    animal = household.animals[key]
    facts = Facts(household, now)
    kind = knowledge.species_or_unknown(animal.species)
    healths = health_of(facts)
    health = healths.get(key) or AnimalHealth(facts, animal)
    is_fish = not kind.is_invertebrate
    batch = household.batches.get(animal.batch or "")
    concerns = concerns_about(all_concerns(facts, healths), ("animal", key))
    shown = resident(household, animal, health)
    looks = entries_about(f"animal/{key}", ["observation"], since=facts.since, until=now)
    return AnimalSheet(
        about=about(animal),
        species_words=sentence_case(shown.species_words),
        latin=kind.latin,
        batch=about(batch) if batch else None,
        life_words=_life_words(facts, animal),
        gist=_gist(facts, health, concerns),
        appetite_words=sentence_case(appetite_words(health)) + "." + surely_ate_words(health) if is_fish else "",
        breathing_words=breathing_words(health) if is_fish else "",
        condition_words=condition_words(health) if is_fish else "",
        rest_words=rest_words(health),
        copper_words=copper_words(animal),
        species_reason=Reason(f"{sentence_case(kind.name)}, {kind.family}", kind.source, kind.status.value),
        feeds=health.strip(28),
        charts=only_charts([breathing_chart(health), condition_chart(health)]) if is_fish else (),
        stays=tuple(
            (household.place_name(stay.system, stay.compartment), stay.since, stay.until, stay.entry)
            for stay in reversed(animal.stays)
        ),
        seen=_seen(looks),
        photos=photos_of(f"animal/{key}", now),
        concerns=concerns,
        steps=_steps(animal),
        body=body_told(health, looks) if is_fish else None,
    )


def _life_words(facts: Facts, animal: AnimalState) -> str:
    if animal.ended is None:
        return "alive"
    word = "not found since" if animal.life == "missing" else "died"
    return f"{word} {when(animal.ended, facts.now, facts.zone)}"


def _gist(facts: Facts, health: AnimalHealth, concerns: tuple[Concern, ...]) -> str:
    animal = health.animal
    if animal.life != "alive":
        return sentence_case(_life_words(facts, animal)) + "."
    place = animal.place or animal.stays[-1]
    where = facts.household.place_name(place.system, place.compartment)
    since = when(place.since, facts.now, facts.zone)
    rest = f"{concerns[0].title}." if concerns else no_concern_words(facts, [health], [])
    return f"In {where} since {since.removeprefix('on ')}. {rest}"


def _seen(entries: list[Recorded]) -> tuple[Evidence, ...]:
    found = [
        Evidence(words, one.happened_at, one.id)
        for one in reversed(entries[-_SEEN:])
        if isinstance(one.payload, Observation) and (words := observation_words(one.payload))
    ]
    return tuple(found)


def observation_words(seen: Observation) -> str:
    """Return what an observation says, in a few words."""
    parts = []
    if seen.beats_per_min is not None:
        parts.append(f"{amount(seen.beats_per_min, 0)} beats a minute")
    if seen.spots is not None:
        parts.append("no spots" if seen.spots == 0 else f"{seen.spots} spots")
    parts += seen.signs
    if seen.depth_over_length is not None:
        parts.append(f"depth over length {amount(seen.depth_over_length, 2)}")
    if seen.length_cm is not None:
        parts.append(f"{amount(seen.length_cm, 1, 'cm')} long")
    if seen.weight_g is not None:
        parts.append(f"{amount(seen.weight_g, 1, 'g')}")
    if seen.condition_step is not None:
        parts.append(f"condition {seen.condition_step} of 0 to 3")
    if seen.charges is not None:
        parts.append(f"{seen.charges} charges by residents")
    if seen.words:
        parts.append(seen.words)
    return sentence_case(", ".join(parts))


def _steps(animal: AnimalState) -> tuple[NextStep, ...]:
    if animal.life == "dead":
        return ()
    place = animal.place
    feed = (NextStep("Feed", form="feeding", answers=(("system", place.system),)),) if place else ()
    one, many = (("animal", animal.key),), (("animals", animal.key),)
    return (
        NextStep("Write what you see", form="observation", answers=one),
        *feed,
        NextStep("Move it", form="move", answers=many),
        NextStep("It died", form="death", answers=one),
        NextStep("It cannot be found", form="loss", answers=one),
    )
