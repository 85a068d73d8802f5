"""What can hurt the animals in a system: who must not share its water with a substance, and the level reckoned."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT
from pratique.casework.copper_water import WaterCopper, form_in, water_of
from pratique.casework.facts import Facts
from pratique.casework.invertebrates import harmed_in
from pratique.casework.medicines import Medicines
from pratique.casework.words import listed
from pratique.knowledge import CopperForm, Substance
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.states import CourseState, SystemState


def harm_question(household: Household, system: SystemState, substance: Substance) -> str | None:
    """Return the urgent question before a harmful substance in water that invertebrates share, or None."""
    harmed = harmed_in(household, system)
    if not substance.harms_invertebrates or not harmed:
        return None
    if substance.constituent == CONSTITUENT:
        return (
            f"Urgent: copper kills invertebrates, and {system.name} holds {harmed}. If this went into {system.name}, "
            "move them to clean water and change water now. Did it really go in?"
        )
    return f"{substance.name.capitalize()} can harm {harmed} in {system.name}. Did it really go in?"


def open_courses(household: Household, system: str, *, constituent: str | None = None) -> list[CourseState]:
    """Return a system's open courses, of one constituent if it is named."""
    return [
        course
        for course in household.courses_of(system)
        if course.standing == "open"
        and (constituent is None or knowledge.substance_or_unknown(course.substance).constituent == constituent)
    ]


def copper_water(
    household: Household,
    system: SystemState,
    at: datetime,
    *,
    form: CopperForm | None = None,
    without: Recorded | None = None,
) -> WaterCopper:
    """Return what the ledger tells of the copper in a system at a moment.

    `form` is the form reckoned, or else the one the system holds; `without` is an entry to be left out, such as the
    one being corrected.
    """
    facts = Facts(household, at)
    left_out = frozenset([without.id]) if without is not None else frozenset[UUID]()
    return water_of(facts, system, form=form or form_in(facts, system), without=left_out)


def has_copper(household: Household, system: SystemState, at: datetime) -> bool:
    """Return whether copper is meant to be in a system, or came into it and nothing written since says it is gone."""
    if open_courses(household, system.key, constituent=CONSTITUENT):
        return True
    return copper_water(household, system, at).may_hold_copper or Medicines(Facts(household, at)).may_hold_copper(
        system.key
    )


def newcomers_question(household: Household, system: SystemState, animals: Iterable[str], at: datetime) -> str | None:
    """Return the urgent question before invertebrates go into water with copper, or None. `animals` are their names."""
    names = list(animals)
    if not names or not has_copper(household, system, at):
        return None
    return (
        f"Urgent: {system.name} is treated with copper, which kills invertebrates such as {listed(names)}. "
        "Move them to clean water at once. Did they really go in?"
    )
