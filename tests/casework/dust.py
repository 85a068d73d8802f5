"""The brown dust of the demo household: entries about it written on the evening of the tests, and its page."""

from datetime import timedelta
from uuid import UUID

from tests.casework.conftest import NOW

from pratique.casework.growths import growth_sheet
from pratique.casework.sheets import GrowthSheet
from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry, new_entry_id
from pratique.ledger.household import load_household
from pratique.ledger.kinds.payload import Payload

CASE = "brown-dust"


def write(payload: Payload, *, hours_ago: float = 2.0, withdraws: UUID | None = None) -> UUID:
    """Write an entry some hours before that evening, and return its id."""
    entry = NewEntry(
        id=new_entry_id(),
        payload=payload,
        happened_at=NOW - timedelta(hours=hours_ago),
        zone="Europe/London",
        author="keeper",
        source="cli",
        withdraws=withdraws,
    )
    return append([entry], now=NOW)[0].entry.id


def page(case: str = CASE) -> GrowthSheet:
    """Return the page of a growth, of the brown dust unless said otherwise, as the ledger stands."""
    return growth_sheet(load_household(), case, now=NOW)
