"""Which entries of the ledger tell of a constituent in a system's water."""

from datetime import datetime

from pratique.casework.copper_told import CONSTITUENT as COPPER
from pratique.casework.copper_told import copper_entries
from pratique.casework.reckoning.dosed import substances_of
from pratique.casework.reckoning.priors import Prior
from pratique.casework.reckoning.sorting import is_emptying
from pratique.ledger.entries import Recorded
from pratique.ledger.queries import entries_about

_TELLING = ("reading", "dose")


def telling_entries(system: str, constituent: str, prior: Prior, *, since: datetime, until: datetime) -> list[Recorded]:
    """Return the standing entries that tell of a constituent in a system, in the order things happened.

    Where nobody ever read or dosed it, or emptied water that held copper, nothing is told: water changes and feedings
    alone tell of nothing.
    """
    if constituent == COPPER:
        found = copper_entries(system, since=since, until=until)
        return found if any(one.kind in _TELLING or is_emptying(one) for one in found) else []
    # A reading's topic is its constituent, a dose's its substance, a change's none or "emptied": no two share one.
    topics = [constituent, *substances_of(constituent), "", "emptied"]
    kinds = ["reading", "dose", "water-change"]
    if prior.released is not None:
        topics, kinds = [*topics, "feeding"], [*kinds, "feeding"]
    found = entries_about(f"system/{system}", kinds, topics=topics, since=since, until=until)
    return found if any(one.kind in _TELLING for one in found) else []
