"""Entries as evidence, in a few words each."""

from collections.abc import Iterable
from uuid import UUID

from pratique.casework.sheets import Evidence
from pratique.ledger.queries import entries_by_id

_MOST = 6


def evidence_of(entry_ids: Iterable[UUID]) -> tuple[Evidence, ...]:
    """Return the newest few of the entries as evidence, the oldest first."""
    found = sorted(entries_by_id(entry_ids).values(), key=lambda one: one.happened_at)
    return tuple(Evidence(one.kind.replace("-", " "), one.happened_at, one.id) for one in found[-_MOST:])
