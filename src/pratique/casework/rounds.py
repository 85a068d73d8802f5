"""The rounds: the day's walk past every system and animal, with what should worry the keeper and what is due."""

from datetime import datetime

from pratique.casework.concerns.additions import addition_concerns
from pratique.casework.concerns.ammonia import ammonia_concerns
from pratique.casework.concerns.body import body_concerns
from pratique.casework.concerns.close_looks import close_look_concerns
from pratique.casework.concerns.combining import combining_concerns
from pratique.casework.concerns.copper import copper_concerns
from pratique.casework.concerns.copper_water import copper_water_concerns
from pratique.casework.concerns.deaths import death_concerns
from pratique.casework.concerns.feeding import feeding_concerns
from pratique.casework.concerns.passages import passage_concerns
from pratique.casework.concerns.places import place_concerns
from pratique.casework.concerns.planning import planning_concerns
from pratique.casework.concerns.surprises import surprise_concerns
from pratique.casework.concerns.water import water_concerns
from pratique.casework.due import due_today
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth, health_of
from pratique.casework.sheets import WEIGHT_ORDER, Concern, Due, Rounds
from pratique.casework.unseen import no_concern_words
from pratique.casework.words import clock, counted
from pratique.ledger.household import Household


def rounds(household: Household, *, now: datetime) -> Rounds:
    """Return the rounds at a moment: concerns, worst first, then what is due."""
    facts = Facts(household, now)
    healths = health_of(facts)
    concerns = all_concerns(facts, healths)
    due = due_today(facts, healths)
    return Rounds(
        day=now.astimezone(household.zone).date(),
        household=household.state.name if household.state else "",
        gist=_gist(facts, healths, concerns, due),
        concerns=concerns,
        due=due,
        looked_at=_looked_at(household),
    )


def all_concerns(facts: Facts, healths: dict[str, AnimalHealth]) -> tuple[Concern, ...]:
    """Return every concern, worst first; among equals the one that began last comes first."""
    found: list[Concern] = [
        *death_concerns(facts),
        *body_concerns(facts, healths.values()),
        *close_look_concerns(facts, healths.values()),
        *feeding_concerns(facts, healths.values()),
        *ammonia_concerns(facts),
        *copper_concerns(facts),
        *copper_water_concerns(facts),
        *combining_concerns(facts, healths),
        *water_concerns(facts),
        *surprise_concerns(facts),
        *planning_concerns(facts, healths),
        *addition_concerns(facts, healths),
        *passage_concerns(facts),
        *place_concerns(facts),
    ]
    return tuple(
        sorted(
            found,
            key=lambda one: (WEIGHT_ORDER[one.weight], -(one.since.toordinal() if one.since else 0), one.key),
        )
    )


def concerns_about(concerns: tuple[Concern, ...], *subjects: tuple[str, str]) -> tuple[Concern, ...]:
    """Return the concerns about any of the subjects, each given as its type and key."""
    wanted = set(subjects)
    return tuple(one for one in concerns if (one.about.type, one.about.key) in wanted)


def _gist(facts: Facts, healths: dict[str, AnimalHealth], concerns: tuple[Concern, ...], due: tuple[Due, ...]) -> str:
    acts = sum(one.weight == "now" for one in concerns)
    others = len(concerns) - acts
    if not concerns:
        first = no_concern_words(facts, healths.values(), facts.household.systems.values())
    else:
        to_act = f"{counted(acts)} to act on now" if acts else "Nothing to act on now"
        first = f"{to_act}, {counted(others).lower()} to keep in mind." if others else f"{to_act}."
    waiting = [one for one in due if one.overdue_hours > 0]
    later = [one for one in due if one.overdue_hours == 0]
    if waiting:
        return f"{first} {counted(len(waiting))} {'thing is' if len(waiting) == 1 else 'things are'} due by now."
    if later:
        return f"{first} Next at {clock(later[0].at, facts.zone)}: {later[0].words}."
    return f"{first} Nothing more is due today."


def _looked_at(household: Household) -> str:
    systems, animals = len(household.systems), len(household.living)
    first = "1 system" if systems == 1 else f"{systems} systems"
    second = "1 animal or group" if animals == 1 else f"{animals} animals or groups"
    return f"{first} and {second} in the ledger"
