"""Concerns about parasites that a close look found, until a later one by the same way finds none."""

from collections.abc import Iterable, Iterator
from uuid import UUID

from pratique import knowledge
from pratique.casework.clearance_looks import close_look_points
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets import Concern, Evidence, NextStep
from pratique.casework.words import listed, when
from pratique.ledger.queries import Point


def close_look_concerns(facts: Facts, healths: Iterable[AnimalHealth]) -> Iterator[Concern]:
    """Yield what a close look found on a living fish, one concern for each parasite."""
    for health in healths:
        own = [one for one in close_look_points(facts) if one.subject == health.subject]
        newest = {one.topic: one for one in own}
        for parasite in knowledge.parasites():
            found = [one for topic, one in newest.items() if topic.endswith(f": {parasite.key}") and one.number]
            if found:
                yield _found(facts, health, parasite.key, found[-1])


def _found(facts: Facts, health: AnimalHealth, parasite: str, seen: Point) -> Concern:
    animal, place, name = health.animal, health.animal.place, parasite.replace("_", " ")
    others = [one.name for one in facts.household.living_in(place.system) if one.key != animal.key] if place else []
    method = seen.topic.partition(":")[0]
    figure = next((one for one in knowledge.close_looks() if one.key == method), None)
    how = figure.name if figure is not None else method.replace("_", " ")
    said = [f"A {how} showed {name} {when(seen.happened_at, facts.now, facts.zone)}."]
    if others:
        said.append(f"{listed(others)} {'shares' if len(others) == 1 else 'share'} its water, and may have it too.")
    said.append("This stands until a look of the same kind finds none.")
    own = (("animal", animal.key),)
    return Concern(
        key=f"found.{parasite}.{animal.key}",
        about=about(animal),
        title=f"{animal.name} has {name}",
        weight="now",
        weight_words=WEIGHT_WORDS["now"],
        since=seen.happened_at.astimezone(facts.zone).date(),
        said=tuple(said),
        next_steps=(
            NextStep("Plan a course", form="course"),
            NextStep("Look again", form="look", answers=(("animals", animal.key), ("method", method))),
            NextStep(f"Open {animal.name}", about=about(animal)),
            NextStep("Watch it", form="observation", answers=own),
        ),
        evidence=(Evidence(how, seen.happened_at, UUID(seen.entry_text)),),
        cautions=tuple(one.text for one in knowledge.cautions_for("praziquantel") if one.key == "label_and_vet"),
    )
