"""The order of a round."""

from pratique.ledger.household import Household
from pratique.ledger.states import SystemState

# A medicated tank stands first: it is the one whose figures cannot wait.
_ROLES = ("quarantine", "recovery", "holding", "display")


def systems_in_order(household: Household) -> list[SystemState]:
    """Return the systems in the order of a round."""
    return sorted(household.systems.values(), key=lambda one: (_ROLES.index(one.role), one.name))
