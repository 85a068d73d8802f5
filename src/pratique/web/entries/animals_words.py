"""Entries about animals, in words."""

from collections.abc import Callable
from functools import partial

from pratique import knowledge
from pratique.casework.protocol_kept import protocol_named
from pratique.casework.words import amount, listed
from pratique.ledger.household import Household
from pratique.ledger.kinds import animals
from pratique.ledger.kinds.payload import Payload
from pratique.web.entries.figure_names import known, species_name
from pratique.web.entries.names import name_of

STEP_WORDS = ("ignored it", "looked and spat", "took a few", "fed steadily", "fed eagerly")
CONDITION_WORDS = ("rounded", "flat belly", "pinched belly", "pinched belly and hollow nape")


def _feeding(told: animals.Feeding, household: Household) -> str:
    foods = []
    for given in told.foods:
        figure = known(knowledge.food, given.food)
        name = figure.name if figure else given.food.replace("_", " ")
        foods.append(f"{amount(given.amount_g, 1, 'g')} of {name}" if given.amount_g is not None else name)
    place = household.place_name(told.system, told.compartment)
    seen = [
        f"{name_of(household, f'animal/{animal}')} {STEP_WORDS[told.fed[animal]]}"
        if animal in told.fed
        else f"{name_of(household, f'animal/{animal}')} was not seen"
        for animal in dict.fromkeys((*told.offered_to, *told.fed))
    ]
    offered = f"{place}: {listed(foods)} offered" if foods else f"{place}: fed"
    return f"{offered}; {listed(seen)}" if seen else offered


def _observation(told: animals.Observation, household: Household) -> str:
    about = f"animal/{told.animal}" if told.animal else f"system/{told.system}" if told.system else ""
    seen: list[str] = []
    if told.beats_per_min is not None:
        counted = amount(told.counted_s, 0, "s")
        seen.append(f"{amount(told.beats_per_min, 0)} beats a minute, counted over {counted}")
    if told.spots is not None:
        seen.append("no spots" if told.spots == 0 else "1 spot" if told.spots == 1 else f"{told.spots} spots")
    seen += told.signs
    if told.depth_over_length is not None:
        error = told.depth_over_length_plus_minus
        with_error = f" ± {amount(error, 2)}" if error is not None else ""
        seen.append(f"depth over length {amount(told.depth_over_length, 2)}{with_error}")
    if told.condition_step is not None:
        seen.append(CONDITION_WORDS[told.condition_step])
    if told.length_cm is not None:
        seen.append(f"{amount(told.length_cm, 1, 'cm')} long")
    if told.weight_g is not None:
        seen.append(f"weighs {amount(told.weight_g, 1, 'g')}")
    if told.charges is not None:
        watched = f" in {amount(told.watched_min, 0, 'min')}" if told.watched_min is not None else ""
        seen.append(f"{told.charges} charges{watched}")
    return f"{name_of(household, about)}: {listed(seen) or 'looked at'}"


def _batch(told: animals.Batch, household: Household) -> str:
    protocol = known(partial(protocol_named, household), told.protocol)
    return f"batch {told.name} set up, to follow {protocol.name if protocol else told.protocol}"


def _leg(told: animals.Leg, household: Household) -> str:
    batch = household.batches.get(told.batch)
    protocol = known(partial(protocol_named, household), batch.protocol) if batch else None
    named = next((leg.name for leg in protocol.legs if leg.key == told.leg), told.leg) if protocol else told.leg
    return f"{name_of(household, f'batch/{told.batch}')} began the leg “{named}”"


def _arrival(told: animals.Arrival, household: Household) -> str:
    count = "" if told.count == 1 else ", an uncounted group" if told.count is None else f", {told.count} of them"
    length = f", {amount(told.length_cm, 1, 'cm')} long" if told.length_cm is not None else ""
    place = household.place_name(told.system, told.compartment)
    return f"{told.name} came to {place}: {species_name(told.species)}{count}{length}"


def _move(told: animals.Move, household: Household) -> str:
    names = listed([name_of(household, f"animal/{animal}") for animal in told.animals])
    return f"{names} moved to {household.place_name(told.system, told.compartment)}"


def _loss(told: animals.Loss, household: Household) -> str:
    return f"{name_of(household, f'animal/{told.animal}')} is not to be found"


def _death(told: animals.Death, household: Household) -> str:
    return f"{name_of(household, f'animal/{told.animal}')} died"


SAYINGS: dict[type[Payload], Callable[..., str]] = {
    animals.Feeding: _feeding,
    animals.Observation: _observation,
    animals.Batch: _batch,
    animals.Leg: _leg,
    animals.Arrival: _arrival,
    animals.Move: _move,
    animals.Loss: _loss,
    animals.Death: _death,
}
