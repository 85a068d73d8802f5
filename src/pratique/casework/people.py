"""Animals as they stand in lists, and how each is in a few words."""

from pratique import knowledge
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets import About, Resident
from pratique.casework.timeline import at_days
from pratique.casework.words import amount, day_words, days_words, percent, plus_minus, short_day, when
from pratique.ledger.household import Household
from pratique.ledger.states import AnimalState
from pratique.science.health.appetite_states import STATES

_NO_FEEDS = "feeding not noted one by one"


def resident(household: Household, animal: AnimalState, health: AnimalHealth | None) -> Resident:
    """Return an animal as it stands in a list."""
    kind = knowledge.species_or_unknown(animal.species)
    place = animal.place or animal.stays[-1]
    count = "" if animal.count == 1 else "" if animal.count is None else f"{animal.count} "
    return Resident(
        about=About("animal", animal.key, animal.name),
        species_words=f"{count}{kind.name}",
        latin=kind.latin,
        place=household.place_name(place.system, place.compartment),
        since=place.since,
        appetite_words=appetite_words(health) if health else "",
        feeds=health.strip() if health else (),
        is_invertebrate=kind.is_invertebrate,
    )


def appetite_words(health: AnimalHealth) -> str:
    """Return how an animal feeds, in a sentence without its name."""
    found, facts = health.appetite, health.facts
    if not health.feeds:
        return _NO_FEEDS
    last = found.last_certain_meal
    meal = f"; last certain meal {when(at_days(last.at_day), facts.now, facts.zone)}" if last else ""
    match found.state:
        case "eating":
            return f"eats{_likely(health)}{meal}"
        case "hesitant":
            since = found.hesitant_since
            day = f" since {short_day(at_days(since.at_day).astimezone(facts.zone).date())}" if since else ""
            return f"hesitant{day}{_likely(health)}{meal}"
        case "refusing":
            began = found.refusal_began
            day = f" since {short_day(at_days(began.at_day).astimezone(facts.zone).date())}" if began else ""
            return f"refuses{day}{_likely(health)}{meal}"
        case _:
            return "not seen feeding lately"


def _likely(health: AnimalHealth) -> str:
    """Return how likely its feeds, taken together, make what the run of feeds says: `, 97 % likely`."""
    chances = health.appetites.chances(health.animal.key)
    if chances is None or health.appetite.state == "unknown":
        return ""
    return f", {percent(float(chances[STATES.index(health.appetite.state)]))} likely"


def surely_ate_words(health: AnimalHealth) -> str:
    """Return the last day it surely ate where its newest good meal is in doubt; nothing where the two agree."""
    sure, meal = health.appetites.last_sure_meal(health.animal.key), health.appetite.last_certain_meal
    if meal is None or sure == at_days(meal.at_day).astimezone(health.facts.zone).date():
        return ""
    if sure is None:
        return " Among its other feeds that meal is in doubt."
    return f" Among its other feeds that meal is in doubt; it last surely ate on {day_words(sure)}."


def breathing_words(health: AnimalHealth) -> str:
    """Return how an animal breathes, in a sentence."""
    found, facts = health.breathing, health.facts
    if found.latest is None:
        return "Breathing has not been counted."
    newest = f"{amount(found.latest.beats_per_min, 0)} beats a minute"
    moment = when(at_days(found.latest.at_day), facts.now, facts.zone)
    if found.baseline is None or found.ratio is None:
        return f"{newest} {moment}; no baseline of its own yet."
    rest = plus_minus(found.baseline, found.baseline_plus_minus or 0.0, 0)
    state = {"unknown": "too old to say how it is now"}.get(found.state, found.state)
    return f"{newest} {moment}, {amount(found.ratio, 1)} times its own {rest} at rest: {state}."


def condition_words(health: AnimalHealth) -> str:
    """Return how an animal's body holds, in a sentence."""
    trend, scale = health.condition, health.scale
    if trend.first is None or trend.last is None or trend.probability_falling is None:
        if scale.last is not None:
            return f"By eye {scale.last.score} on the scale of 0 (rounded) to 3 (hollow); no photos measured."
        return "Its body has not been measured or scored."
    return (
        f"Depth over length {amount(trend.first.depth_over_length, 2)}, then "
        f"{amount(trend.last.depth_over_length, 2)} over {trend.days:.0f} days: "
        f"{percent(trend.probability_falling)} likely to be growing thin."
    )


def rest_words(health: AnimalHealth) -> str:
    """Return whether an animal is rested, in a sentence."""
    rest, facts = health.rest, health.facts
    if rest.is_rested or rest.binding is None:
        return "Rested: no move or medicine in the last days."
    clear = at_days(rest.clear_on_day)
    left = days_words(max(1.0, (clear - facts.now).total_seconds() / 86400))
    return (
        f"To be left alone until {short_day(clear.astimezone(facts.zone).date())} ({left} more): {rest.binding.words}."
    )


def copper_words(animal: AnimalState) -> str:
    """Return how the species takes copper, in a sentence."""
    kind = knowledge.species_or_unknown(animal.species)
    if kind.is_invertebrate:
        return "Copper kills it."
    level = {"low": "takes copper as most fishes do", "medium": "takes copper with care", "high": "takes copper badly"}
    return kind.copper_note or f"This kind {level[kind.copper_caution]}."
