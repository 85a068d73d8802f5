"""The small pieces concerns are put together from."""

from datetime import datetime
from uuid import UUID

from pratique import knowledge
from pratique.casework.sheets import About, Evidence, Reason
from pratique.casework.timeline import at_days
from pratique.casework.words import when
from pratique.ledger.household import Household
from pratique.ledger.states import AnimalState, BatchState, CaseState, CourseState, SystemState
from pratique.units import THIN_SPACE

WEIGHT_WORDS = {"now": "act now", "today": "today", "watch": "watch"}


def about(state: AnimalState | BatchState | CaseState | CourseState | SystemState) -> About:
    """Return what a concern about this is about."""
    types = {
        AnimalState: "animal",
        BatchState: "batch",
        CaseState: "case",
        CourseState: "course",
        SystemState: "system",
    }
    return About(types[type(state)], state.key, state.name)


def about_household(household: Household) -> About:
    """Return the household as what a line is about."""
    return About("household", "", household.state.name if household.state else "")


def reason(key: str, words: str = "") -> Reason:
    """Return a figure of the trade as a reason, with its source and status."""
    figure = knowledge.figure(key)
    return Reason(words or f"{figure.value:g}{THIN_SPACE}{figure.unit}", figure.source, figure.status.value)


def evidence_at_day(words: str, at_day: float, entry: str) -> Evidence:
    """Return evidence from what science carried: a day number and an entry id as text."""
    return Evidence(words, at_days(at_day), UUID(entry))


def passage_day(household: Household, animal: AnimalState, moment: datetime) -> str:
    """Return the day of the animal's passage in brackets, `(day 18)`, or nothing for one that came in no batch."""
    batch = household.batches.get(animal.batch or "")
    if batch is None or batch.arrived is None:
        return ""
    days = (moment.astimezone(household.zone).date() - batch.arrived.astimezone(household.zone).date()).days
    return f" (day {days})"


def on_day(household: Household, animal: AnimalState, moment: datetime, now: datetime) -> str:
    """Return a moment with the day of the passage: `on 3 November (day 18)`."""
    return f"{when(moment, now, household.zone)}{passage_day(household, animal, moment)}"
