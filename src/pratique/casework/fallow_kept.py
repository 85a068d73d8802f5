"""How far a tank of the ledger has come without fish: since when, how warm, and how many lived there."""

from dataclasses import replace
from datetime import datetime, timedelta
from statistics import fmean

from pratique import knowledge
from pratique.casework.concerns.pieces import about
from pratique.casework.contacts import size_of_group
from pratique.casework.facts import Facts
from pratique.casework.fallow import Empty, Told, sheet_of
from pratique.casework.sheets.fallow import FallowSheet
from pratique.casework.words import day_words, listed
from pratique.ledger.household import Household
from pratique.ledger.queries import points
from pratique.ledger.states import AnimalState, SystemState
from pratique.units import THIN_SPACE

_DAY = timedelta(days=1)


def fallow_of(household: Household, key: str, *, now: datetime) -> FallowSheet:
    """Return how far a system has come without fish; KeyError for one that is not known."""
    system = household.systems[key]
    facts = Facts(household, now)
    empty = _emptied(facts, system)
    temperature_c, words = _temperature(facts, system, empty.since)
    empty = replace(empty, said=(*empty.said, words))
    return sheet_of(empty, temperature_c, Told(about(system), now, facts.zone))


def fallow_words(household: Household, key: str, *, now: datetime) -> str:
    """Return one sentence about a tank that held fish and holds none now; nothing for any other."""
    empty = _emptied(Facts(household, now), household.systems[key])
    return "" if empty.since is None else fallow_of(household, key, now=now).gist


def _emptied(facts: Facts, system: SystemState) -> Empty:
    fishes = [
        one
        for one in facts.household.animals.values()
        if not knowledge.species_or_unknown(one.species).is_invertebrate
        and any(stay.system == system.key and stay.since <= facts.now for stay in one.stays)
    ]
    here = [one for one in fishes if one.place is not None and one.place.system == system.key]
    if here or not fishes:
        words = (
            f"{listed([one.name for one in here])} {'lives' if len(here) == 1 else 'live'} in it: told as if the last "
            "one left today."
            if here
            else "No fish was ever written down in it: told as if the last one left today."
        )
        return Empty(None, max(sum(size_of_group(one) for one in here), 1), (words,))
    left = max(_left(one, system.key) for one in fishes)
    lately = [one for one in fishes if left - _left(one, system.key) <= _lately()]
    lost = [one.name for one in lately if one.life == "missing"]
    said = [f"The last fish left on {day_words(left.astimezone(facts.zone).date())}."]
    if lost:
        said.append(
            f"{listed(lost)} was not found. Living somewhere in the rock, it would keep the tank from being without "
            "fish, and none of this would hold."
        )
    return Empty(left, max(sum(size_of_group(one) for one in lately), 1), tuple(said))


def _lately() -> timedelta:
    return knowledge.figure("clearance.settled_days").value * _DAY


def _left(animal: AnimalState, system: str) -> datetime:
    return max(stay.until for stay in animal.stays if stay.system == system and stay.until is not None)


def _temperature(facts: Facts, system: SystemState, since: datetime | None) -> tuple[float, str]:
    """Return the mean temperature read while it held no fish, or lately, and what is said of it."""
    begun = since or facts.since
    read = points(["reading"], since=begun, until=facts.now, subjects=[f"system/{system.key}"], topics=["temperature"])
    levels = [one.number for one in read if one.number is not None]
    if levels:
        mean = fmean(levels)
        return mean, f"Reckoned at {mean:.1f}{THIN_SPACE}°C, the mean of {len(levels)} readings."
    taken = knowledge.figure("clearance.temperature_c").value
    return taken, f"Reckoned at {taken:g}{THIN_SPACE}°C, as no temperature was read: that is a guess."
