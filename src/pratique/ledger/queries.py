"""Questions the rest of the program asks the ledger; every answer leaves out entries that do not stand."""

import dataclasses
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from typing import Any, NamedTuple
from uuid import UUID

from django.db import connection
from django.db.models import CharField, Q, QuerySet
from django.db.models.functions import Cast

from pratique.ledger.entries import Recorded
from pratique.ledger.models import Entry, EntryLink

_ENTRY_COLUMNS = tuple(field.name for field in dataclasses.fields(Recorded))
_ENTRY_FIELDS = tuple("payload" if name == "payload_text" else name for name in _ENTRY_COLUMNS)
# A database takes only so many queries in one union; SQLite takes 500.
_MOST_ARMS = 200
_ANYONE = "any subject"


class Point(NamedTuple):
    """A number an entry gives about a subject, without reading the entry itself."""

    subject: str
    kind: str
    topic: str
    number: float | None
    happened_at: datetime
    entry_id: UUID | str

    @property
    def entry(self) -> UUID:
        """Return the id of the entry."""
        return self.entry_id if isinstance(self.entry_id, UUID) else UUID(self.entry_id)

    @property
    def entry_text(self) -> str:
        """Return the id of the entry as science carries it."""
        return str(self.entry_id)


def entries_about(
    subjects: str | Sequence[str],
    kinds: Iterable[str],
    *,
    since: datetime | None = None,
    until: datetime | None = None,
    topics: Iterable[str] | None = None,
) -> list[Recorded]:
    """Return standing entries about any of the subjects, in the order things happened."""
    names = [subjects] if isinstance(subjects, str) else list(subjects)
    links = _links(names, kinds, since=since, until=until, topics=topics)
    rows = Entry.objects.filter(seq__in=links.values("entry_id")).order_by("happened_at", "seq")
    # Straight from the row: making a model of each first takes as long again.
    return [Recorded(**dict(zip(_ENTRY_COLUMNS, row, strict=True))) for row in rows.values_list(*_ENTRY_FIELDS)]


def points(
    kinds: Iterable[str],
    *,
    until: datetime,
    since: datetime | None = None,
    subjects: Sequence[str] | None = None,
    topics: Iterable[str] | None = None,
) -> list[Point]:
    """Return the numbers that standing entries of the kinds give, in the order things happened.

    Many thousands are read for one page, so the rows are taken as the database hands them over.
    """
    links = _links(subjects, kinds, since=since, until=until, topics=topics)
    if subjects is None:
        return _rows(*_statement(links.order_by("happened_at", "entry_id")))
    # Asked for in order of time, SQLite would walk through everyone's entries of all years instead of these subjects'.
    return sorted(_rows(*_statement(links.order_by("subject"))), key=lambda one: one.happened_at)


def first_points(
    subjects: Sequence[str],
    kind: str,
    topic: str,
    *,
    count: int,
    until: datetime,
    is_newest_first: bool = False,
) -> list[Point]:
    """Return the first few numbers that entries until a moment give of each subject on a topic, in order.

    With `is_newest_first`, the last few, the newest first. One statement serves many subjects, and it looks up only
    the rows it returns, however long the ledger is.
    """
    order = ("-happened_at", "-entry_id") if is_newest_first else ("happened_at", "entry_id")
    # Put together once and asked with each subject in turn: building a statement costs more than running it.
    anyone = _links([_ANYONE], [kind], until=until, topics=[topic]).order_by(*order)[:count]
    sql, values = _statement(anyone)
    # SQLite takes no limit inside a union unless it stands in a query of its own.
    arm = f"SELECT * FROM ({sql}) AS arm"  # noqa: S608 - Django's own statement
    found: list[Point] = []
    for start in range(0, len(subjects), _MOST_ARMS):
        some = subjects[start : start + _MOST_ARMS]
        asked = [subject if value == _ANYONE else value for subject in some for value in values]
        found += _rows(" UNION ALL ".join([arm] * len(some)), asked)
    return found


def _statement(links: QuerySet[EntryLink]) -> tuple[str, tuple[Any, ...]]:
    # As text: Django's own reading of SQLite's moments takes longer than all the rest of a row.
    moment = Cast("happened_at", CharField())
    chosen = links.values_list("subject", "kind", "topic", "number", moment, "entry__id")
    sql, params = chosen.query.sql_with_params()
    return sql, tuple(params)


def _rows(sql: str, params: Sequence[Any]) -> list[Point]:
    with connection.cursor() as cursor:
        cursor.execute(sql, params)
        rows = cursor.fetchall()
    read = datetime.fromisoformat
    # SQLite's moments come without a zone: they are stored in UTC. PostgreSQL's say theirs.
    is_bare = connection.vendor == "sqlite"
    return [
        Point(subject, kind, topic, number, read(at).replace(tzinfo=UTC) if is_bare else read(at), entry_id)
        for subject, kind, topic, number, at, entry_id in rows
    ]


def entry_by_id(entry_id: UUID) -> Recorded | None:
    """Return one entry, standing or not."""
    row = Entry.objects.filter(id=entry_id).first()
    return Recorded.of(row) if row is not None else None


def entries_by_id(entry_ids: Iterable[UUID]) -> dict[UUID, Recorded]:
    """Return entries by id, standing or not."""
    return {row.id: Recorded.of(row) for row in Entry.objects.filter(id__in=list(entry_ids))}


def history(*, before_seq: int | None = None, limit: int = 50, subject: str | None = None) -> list[Recorded]:
    """Return the newest recorded entries, standing or not, the last recorded first."""
    rows = Entry.objects.order_by("-seq")
    if subject is not None:
        rows = rows.filter(seq__in=EntryLink.objects.filter(subject=subject).values("entry_id"))
    if before_seq is not None:
        rows = rows.filter(seq__lt=before_seq)
    return [Recorded.of(row) for row in rows[:limit]]


def corrections_of(entry_ids: Iterable[UUID]) -> list[Recorded]:
    """Return the entries that amend or withdraw any of these, the first recorded first."""
    ids = list(entry_ids)
    return [Recorded.of(row) for row in Entry.objects.filter(Q(amends__in=ids) | Q(withdraws__in=ids)).order_by("seq")]


def fallen(seqs: Iterable[int]) -> set[int]:
    """Return those of the entries that do not stand."""
    rows = EntryLink.objects.filter(entry_id__in=list(seqs), stands=False)
    return set(rows.values_list("entry_id", flat=True))


def entry_count() -> int:
    """Return how many entries the ledger holds."""
    return Entry.objects.count()


def _links(
    subjects: Sequence[str] | None,
    kinds: Iterable[str],
    *,
    since: datetime | None = None,
    until: datetime | None = None,
    topics: Iterable[str] | None = None,
) -> QuerySet[EntryLink]:
    links = EntryLink.objects.filter(kind__in=list(kinds), stands=True)
    if subjects is not None:
        links = links.filter(subject__in=list(subjects))
    if topics is not None:
        links = links.filter(topic__in=list(topics))
    if since is not None:
        links = links.filter(happened_at__gte=since)
    if until is not None:
        links = links.filter(happened_at__lte=until)
    return links
