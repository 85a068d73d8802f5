"""The one way an entry gets into the ledger: in order, chained, once, with its projections brought up to date."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import batched
from typing import Any
from uuid import UUID

from django.db import transaction

from pratique.ledger.canonical import GENESIS, chained_digest, entry_line
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.kinds.payload import Link
from pratique.ledger.models import ChainHead, Entry, EntryLink
from pratique.ledger.projections import refold
from pratique.ledger.standing import restand

_CHUNK = 1000


class EntryConflict(ValueError):
    """An entry with this id is in the ledger already, and says something else."""


class NothingToCorrect(ValueError):
    """The entry to amend or withdraw is not in the ledger."""


@dataclass(frozen=True, slots=True)
class Appended:
    """The outcome for one entry: as it stands in the ledger, and whether this call put it there."""

    entry: Recorded
    is_new: bool


def append(entries: Sequence[NewEntry], *, now: datetime | None = None) -> list[Appended]:
    """Append entries in one transaction: all of them or none.

    Sending the same entry twice is harmless: the second time it is reported as not new.
    Raises EntryConflict and NothingToCorrect.
    """
    recorded_at = now or datetime.now(UTC)
    with transaction.atomic():
        head = lock_head()
        outcomes = [_append_one(entry, head, recorded_at) for entry in entries]
        if any(outcome.is_new for outcome in outcomes):
            head.save()
        bring_up_to_date([outcome.entry for outcome in outcomes if outcome.is_new])
    return outcomes


def lock_head() -> ChainHead:
    """Return the chain's head, locked until the transaction ends."""
    head = ChainHead.objects.select_for_update().filter(pk=1).first()
    if head is None:
        ChainHead.objects.bulk_create([ChainHead(digest=GENESIS, count=0)], ignore_conflicts=True)
        head = ChainHead.objects.select_for_update().get(pk=1)
    return head


def bring_up_to_date(entries: Iterable[Recorded]) -> None:
    """Write the links of new entries, settle what stands, and refold the subjects they touch."""
    touched: set[str] = set()
    for chunk in batched(entries, _CHUNK):
        links = [(entry, link) for entry in chunk for link in entry.links()]
        EntryLink.objects.bulk_create(_row(entry, link) for entry, link in links)
        touched.update(link.subject for _, link in links)
        for entry in chunk:
            target = entry.amends or entry.withdraws
            if target is not None:
                touched |= restand(target)
    refold(touched)


def _row(entry: Recorded, link: Link) -> EntryLink:
    return EntryLink(
        entry_id=entry.seq,
        subject=link.subject,
        kind=entry.kind,
        topic=link.topic,
        number=link.number,
        happened_at=entry.happened_at,
        stands=True,
    )


def _append_one(new: NewEntry, head: ChainHead, recorded_at: datetime) -> Appended:
    already = Entry.objects.filter(id=new.id).first()
    if already is not None:
        return Appended(_same_or_conflict(new, Recorded.of(already)), is_new=False)
    _check_target(new.amends or new.withdraws)
    envelope: dict[str, Any] = {
        "id": new.id,
        "kind": new.payload.kind,
        "version": new.payload.written_version,
        "happened_at": new.happened_at,
        "zone": new.zone,
        "recorded_at": recorded_at,
        "author": new.author,
        "source": new.source,
        "amends": new.amends,
        "withdraws": new.withdraws,
        "payload": new.payload_text(),
    }
    head.digest = chained_digest(head.digest, entry_line(**envelope))
    head.count += 1
    row = Entry.objects.create(**envelope, digest=head.digest)
    return Appended(Recorded.of(row), is_new=True)


def _same_or_conflict(new: NewEntry, already: Recorded) -> Recorded:
    same = (already.kind, already.payload_text, already.happened_at, already.amends, already.withdraws) == (
        new.payload.kind,
        new.payload_text(),
        new.happened_at,
        new.amends,
        new.withdraws,
    )
    if not same:
        message = f"entry {new.id} is in the ledger already and says something else; it was kept as it was"
        raise EntryConflict(message)
    return already


def _check_target(target: UUID | None) -> None:
    if target is not None and not Entry.objects.filter(id=target).exists():
        message = f"there is no entry {target} to correct"
        raise NothingToCorrect(message)
