"""Concerns about an animal that died a short while ago: what took it may be in the water with the others."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.coincidences import just_before
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, on_day, reason
from pratique.casework.facts import Facts
from pratique.casework.sheets import Concern, Evidence, NextStep, Weight
from pratique.casework.words import listed
from pratique.ledger.queries import entries_about
from pratique.ledger.states import AnimalState


def death_concerns(facts: Facts) -> Iterator[Concern]:
    """Yield a concern for each animal that died in the last days."""
    lasting = timedelta(days=knowledge.figure("death.concern_days").value)
    for animal in facts.household.animals.values():
        if animal.life == "dead" and animal.ended is not None and facts.now - lasting <= animal.ended <= facts.now:
            yield _concern(facts, animal, animal.ended)


def _concern(facts: Facts, animal: AnimalState, died: datetime) -> Concern:
    system = animal.stays[-1].system
    others = [one.name for one in facts.household.living_in(system)]
    place = facts.household.place_name(system, animal.stays[-1].compartment)
    said = [f"Died in {place} {on_day(facts.household, animal, died, facts.now)}."]
    if others:
        shares = "shares" if len(others) == 1 else "share"
        said.append(f"{listed(others)} {shares} its water: look them over, and read ammonia, pH and temperature.")
    said.append("Take a dead animal out at once: parasites that leave it can still infect the others.")
    weight: Weight = "now" if others else "watch"
    entries = entries_about(f"animal/{animal.key}", ["death"], until=facts.now)
    return Concern(
        key=f"death.{animal.key}",
        about=about(animal),
        title=f"{animal.name} died",
        weight=weight,
        weight_words=WEIGHT_WORDS[weight],
        since=died.astimezone(facts.zone).date(),
        said=tuple(said),
        just_before=just_before(facts, animal, died),
        next_steps=(
            NextStep("Read the water", form="readings", answers=(("system", system),)),
            NextStep("Write what you see of the others", form="observation"),
        ),
        evidence=tuple(Evidence("its death", one.happened_at, one.id) for one in entries[-1:]),
        reasons=(reason("death.concern_days", "White spot from dead fish stays infective."),),
        cautions=("Why it died needs a look inside: an aquatic veterinarian can do that while it is fresh.",),
    )
