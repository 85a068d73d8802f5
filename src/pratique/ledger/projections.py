"""Keep the derived tables true: refold what an entry touched, or throw everything away and fold it again."""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction

from pratique.ledger.entries import Recorded
from pratique.ledger.folding import SHAPING_KINDS, fold
from pratique.ledger.models import Entry, EntryLink, Subject
from pratique.ledger.states import State

_ALL_SHAPING = frozenset().union(*SHAPING_KINDS.values())


def refold(subjects: Iterable[str]) -> None:
    """Bring the subjects' states up to date, each from its own shaping entries only.

    So the cost of an append does not grow with the length of the ledger.
    """
    for subject in sorted(set(subjects)):
        type_ = subject.partition("/")[0]
        if type_ in SHAPING_KINDS:
            _store(subject, type_, fold(subject, shaping_entries(subject)))


def shaping_entries(subject: str) -> list[Recorded]:
    """Return the standing entries that shape a subject, in the order things happened."""
    kinds = SHAPING_KINDS[subject.partition("/")[0]]
    rows = (
        Entry.objects.filter(links__subject=subject, links__kind__in=kinds, links__stands=True)
        .order_by("happened_at", "seq")
        .distinct()
    )
    return [Recorded.of(row) for row in rows]


def shaping_entries_until(moment: datetime) -> dict[str, list[Recorded]]:
    """Return, for every subject, the standing entries up to a moment that shape it, in the order things happened."""
    found: dict[str, list[Recorded]] = {}
    links = EntryLink.objects.filter(stands=True, happened_at__lte=moment, kind__in=_ALL_SHAPING)
    for link in links.select_related("entry").order_by("happened_at", "entry_id", "id"):
        type_ = link.subject.partition("/")[0]
        if link.kind in SHAPING_KINDS.get(type_, ()):
            entries = found.setdefault(link.subject, [])
            if not entries or entries[-1].seq != link.entry_id:
                entries.append(Recorded.of(link.entry))
    return found


def _store(subject: str, type_: str, state: State | None) -> None:
    if state is None:
        Subject.objects.filter(key=subject).delete()
    else:
        Subject.objects.update_or_create(key=subject, defaults={"type": type_, "state": state.model_dump_json()})


def rebuild() -> int:
    """Throw the derived tables away and make them again from the entries; return how many subjects there are."""
    # Imported here because appending, too, writes links and then refolds.
    from pratique.ledger.append import bring_up_to_date, lock_head  # noqa: PLC0415

    with transaction.atomic():
        lock_head()
        Subject.objects.all().delete()
        EntryLink.objects.all().delete()
        bring_up_to_date(Recorded.of(row) for row in Entry.objects.order_by("seq").iterator(chunk_size=2000))
        return Subject.objects.count()
