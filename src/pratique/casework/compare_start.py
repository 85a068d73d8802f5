"""Where a comparison begins: with a batch that is here or planned, its animals, its passage and those open instead."""

from dataclasses import dataclass

from pratique import knowledge
from pratique.casework.compare_asked import MOST_PASSAGES
from pratique.casework.protocol_kept import protocol_of
from pratique.ledger.household import Household
from pratique.science.passage.sensitive import cautions_of

_USUAL = ("copper-30", "copper-14-recover", "tank-transfer")


@dataclass(frozen=True)
class Start:
    """What the questions begin with; `batch` is the name of the batch it was taken from, or nothing."""

    protocols: tuple[str, ...]
    species: tuple[str, ...]
    temperature: str
    batch: str = ""


def start_of(household: Household, batch: str) -> Start:
    """Return what to begin with: a batch's own passage first, then those its animals would bear better."""
    usual = (knowledge.figure("temperature.lower_c").value + knowledge.figure("temperature.upper_c").value) / 2.0
    found = household.batches.get(batch)
    animals = [household.animals[key] for key in found.animals if key in household.animals] if found else []
    kinds = {one.species: 0 for one in animals}
    for one in animals:
        kinds[one.species] += one.count or 1
    fishes = {key: count for key, count in kinds.items() if _is_fish(key)}
    if found is None or not fishes:
        return Start(_USUAL, (), f"{usual:g}")
    own = protocol_of(household, found.protocol)
    instead = [key for one in cautions_of(own, [knowledge.species(key) for key in fishes]) for key in one.instead]
    known = [own, *map(knowledge.protocol_or_unknown, instead)]
    # What is not known, or cannot be read, has no name a comparison could take.
    named = [one.short_name or one.key for one in known if one.legs[0].key]
    protocols = tuple(dict.fromkeys([*named, *_USUAL]))[:MOST_PASSAGES]
    return Start(protocols, tuple(_counted(key, count) for key, count in fishes.items()), f"{usual:g}", found.name)


def _is_fish(key: str) -> bool:
    return any(one.key == key and not one.is_invertebrate for one in knowledge.all_species())


def _counted(key: str, count: int) -> str:
    return key if count == 1 else f"{key}:{count}"
