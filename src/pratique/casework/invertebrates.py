"""Which invertebrates share a system's water, those in its compartments too."""

from pratique import knowledge
from pratique.casework.words import listed
from pratique.ledger.household import Household
from pratique.ledger.states import AnimalState, SystemState


def is_invertebrate(animal: AnimalState) -> bool:
    """Return whether the animal is an invertebrate."""
    return knowledge.species_or_unknown(animal.species).is_invertebrate


def harmed_in(household: Household, system: SystemState) -> str:
    """Return in words the invertebrates that share a system's water, those in its compartments too; or nothing."""
    kept = []
    for animal in household.living_in(system.key):
        if is_invertebrate(animal) and animal.place is not None:
            inner = animal.place.compartment
            where = f" in {household.compartments[inner].name}" if inner in household.compartments else ""
            kept.append(f"{animal.name}{where}")
    if kept:
        return listed(kept)
    return "invertebrates" if system.keeps_invertebrates else ""
