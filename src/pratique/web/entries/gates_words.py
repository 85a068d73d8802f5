"""Entries about gates, in words."""

from collections.abc import Callable

from pratique.casework.words import percent
from pratique.ledger.household import Household
from pratique.ledger.kinds import gates
from pratique.ledger.kinds.payload import Payload
from pratique.web.entries.names import name_of


def _override(told: gates.Override, household: Household) -> str:
    animal = name_of(household, f"animal/{told.animal}")
    return f"“{told.shown.title}” counts for {animal} although it is {told.shown.status}"


def _clearance(told: gates.Clearance, household: Household) -> str:
    animal = name_of(household, f"animal/{told.animal}")
    chance = f", free of living stages with {percent(told.chance_clear)}" if told.chance_clear is not None else ""
    wanting = sum(one.status != "met" for one in told.shown)
    short = f", {wanting} of {len(told.shown)} criteria wanting" if wanting else ""
    return f"{animal} is cleared{chance}{short}"


SAYINGS: dict[type[Payload], Callable[..., str]] = {gates.Override: _override, gates.Clearance: _clearance}
