"""What the history can be narrowed to."""

from dataclasses import dataclass

from pratique.ledger.household import Household
from pratique.web.entries.names import address_of, name_of


@dataclass(frozen=True, slots=True)
class Subject:
    """One thing the ledger speaks of."""

    key: str
    name: str
    is_chosen: bool
    address: str


def subject_ways(household: Household, chosen: str) -> list[Subject]:
    """Return everything the history can be narrowed to: places, batches, animals, courses, cases, own protocols."""
    keys = [
        *(f"system/{key}" for key in household.systems),
        *(f"batch/{key}" for key in household.batches),
        *(f"animal/{one.key}" for one in household.animals.values()),
        *(f"course/{key}" for key in household.courses),
        *(f"case/{key}" for key in household.cases),
        *(f"protocol/{key}" for key in household.protocols),
    ]
    if chosen and chosen not in keys:
        keys.append(chosen)
    return [Subject(key, name_of(household, key), key == chosen, address_of(household, key)) for key in keys]
