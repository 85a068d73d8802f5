"""Concerns about systems that entries speak of but nobody set up: older data, or a day before the set-up."""

from collections.abc import Iterator

from pratique.casework.concerns.pieces import WEIGHT_WORDS, about_household
from pratique.casework.facts import Facts
from pratique.casework.sheets import Concern, Evidence, NextStep
from pratique.casework.words import listed
from pratique.ledger.queries import entries_by_id
from pratique.ledger.states import AnimalState, CaseState, CourseState, State


def place_concerns(facts: Facts) -> Iterator[Concern]:
    """Yield a concern for each system that something leans on now and that is not set up."""
    for system in facts.household.missing_systems():
        leaning = [one for one in facts.household.leaning_on(system) if _is_current(one, system)]
        name = facts.household.system_or_missing(system).name
        behind = sorted(entries_by_id(one.entry for one in leaning).values(), key=lambda one: one.happened_at)
        yield Concern(
            key=f"missing.{system}",
            about=about_household(facts.household),
            title=f"{name} is not set up",
            weight="today",
            weight_words=WEIGHT_WORDS["today"],
            said=(
                f"The ledger speaks of {name} as a system: {listed([one.name for one in leaning])} "
                f"{'leans' if len(leaning) == 1 else 'lean'} on it.",
                "What it is and how much water it holds is not known, so nothing is reckoned of its water.",
            ),
            next_steps=(NextStep("Set it up", form="system", answers=(("name", name),)),),
            evidence=tuple(Evidence(one.kind.replace("-", " "), one.happened_at, one.id) for one in behind),
        )


def _is_current(one: State, system: str) -> bool:
    """Return whether something leans on the system still, and did not only do so once."""
    match one:
        case AnimalState():
            return one.place is not None and one.place.system == system
        case CourseState():
            return one.standing != "finished"
        case CaseState():
            return one.closed is None
        case _:
            return True
