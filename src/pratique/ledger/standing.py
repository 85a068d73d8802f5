"""Which entries stand: those that are neither withdrawn nor replaced by an amendment."""

from uuid import UUID

from pratique.ledger.models import Entry, EntryLink


def stands(entry_id: UUID) -> bool:
    """Return whether an entry is neither withdrawn nor replaced by an amendment.

    Withdrawing an amendment lets what it amended stand again; amending an amendment does not.
    """
    return not _is_withdrawn(entry_id) and not _is_replaced(entry_id)


def _counts(correction_id: UUID) -> bool:
    """Return whether a correction has its effect: it is not withdrawn, or a later version of it has taken its place."""
    return not _is_withdrawn(correction_id) or _is_replaced(correction_id)


def _is_withdrawn(entry_id: UUID) -> bool:
    return any(map(_counts, Entry.objects.filter(withdraws=entry_id).values_list("id", flat=True)))


def _is_replaced(entry_id: UUID) -> bool:
    return any(map(_counts, Entry.objects.filter(amends=entry_id).values_list("id", flat=True)))


def restand(entry_id: UUID) -> set[str]:
    """Settle anew whether an entry stands, and all that it corrects in turn; return the subjects touched."""
    entry = Entry.objects.get(id=entry_id)
    links = EntryLink.objects.filter(entry_id=entry.seq)
    links.update(stands=stands(entry_id))
    touched = set(links.values_list("subject", flat=True))
    target = entry.amends or entry.withdraws
    return touched | (restand(target) if target is not None else set())
