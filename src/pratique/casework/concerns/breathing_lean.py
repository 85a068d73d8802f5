"""The concern that an animal breathes a little faster than its own rest, before a single count is raised."""

from pratique import knowledge
from pratique.casework.coincidences import just_before
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, evidence_at_day, on_day, reason
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets import Concern, NextStep
from pratique.casework.timeline import at_days
from pratique.casework.words import amount
from pratique.science.health.breathing_lean import Lean


def leaning(facts: Facts, health: AnimalHealth, found: Lean) -> Concern:
    """Return the concern about a small lasting rise, with how seldom such an alarm is false."""
    animal, since = health.animal, at_days(found.since.at_day)
    day = on_day(facts.household, animal, since, facts.now).removeprefix("on ")
    counts = knowledge.figure("breathing.lean_false_alarm_counts").value
    place = animal.place
    return Concern(
        key=f"breathing.{animal.key}",
        about=about(animal),
        title=f"{animal.name} breathes a little faster than its own rest",
        weight="watch",
        weight_words=WEIGHT_WORDS["watch"],
        since=since.astimezone(facts.zone).date(),
        said=(
            f"Its {found.counts} counts since {day} lie at {amount(found.since_per_min, 0)} beats a minute in the "
            f"middle; those before lay at {amount(found.before_per_min, 0)}. No single count is raised.",
            f"At rest, such an alarm is false about once in {counts:.0f} counts.",
        ),
        just_before=just_before(facts, animal, since),
        next_steps=(
            NextStep("Count again, undisturbed", form="observation", answers=(("animal", animal.key),)),
            NextStep(
                "Read ammonia, pH and temperature",
                form="readings",
                answers=(("system", place.system),) if place else (),
            ),
        ),
        evidence=(
            evidence_at_day("newest count", found.latest.at_day, found.latest.entry),
            evidence_at_day("first count of the rise", found.since.at_day, found.since.entry),
        ),
        reasons=(
            reason("breathing.lean_limit", "A sum of what the counts lie above its own rest, less half a spread each."),
            reason("breathing.lean_false_alarm_counts"),
        ),
    )
