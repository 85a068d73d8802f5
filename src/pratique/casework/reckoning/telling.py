"""Which entries of the ledger tell of a constituent in a system's water."""

from datetime import datetime
from functools import cache

from pratique import knowledge
from pratique.casework.copper_told import CONSTITUENT as COPPER
from pratique.casework.copper_told import copper_entries
from pratique.ledger.entries import Recorded
from pratique.ledger.queries import entries_about


@cache
def substances_of(constituent: str) -> tuple[str, ...]:
    """Return the substances whose doses count for a constituent."""
    return tuple(one.key for one in knowledge.substances() if one.constituent == constituent)


def telling_entries(system: str, constituent: str, *, since: datetime, until: datetime) -> list[Recorded]:
    """Return the standing entries that tell of a constituent in a system, in the order things happened."""
    if constituent == COPPER:
        return copper_entries(system, since=since, until=until)
    topics = (constituent, *substances_of(constituent), "", "emptied")
    kinds = ("reading", "dose", "water-change")
    return entries_about(f"system/{system}", kinds, topics=topics, since=since, until=until)
