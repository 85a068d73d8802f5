"""Which entries stand: one that a standing entry amends or withdraws does not."""

from uuid import UUID

from django.db.models import Q

from pratique.ledger.models import Entry, EntryLink


def stands(entry_id: UUID) -> bool:
    """Return whether no standing entry amends or withdraws this one.

    Withdrawing an amendment lets what it amended stand again.
    """
    corrections = Entry.objects.filter(Q(amends=entry_id) | Q(withdraws=entry_id)).values_list("id", flat=True)
    return not any(stands(correction) for correction in corrections)


def restand(entry_id: UUID) -> set[str]:
    """Settle anew whether an entry stands, and all that it corrects in turn; return the subjects touched."""
    entry = Entry.objects.get(id=entry_id)
    links = EntryLink.objects.filter(entry_id=entry.seq)
    links.update(stands=stands(entry_id))
    touched = set(links.values_list("subject", flat=True))
    target = entry.amends or entry.withdraws
    return touched | (restand(target) if target is not None else set())
