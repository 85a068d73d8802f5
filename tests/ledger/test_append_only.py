"""Entries are never changed, never deleted, and never counted twice: the database and the ledger see to it."""

from datetime import timedelta

import pytest
from django.db import DatabaseError, connection, transaction
from tests.ledger.builders import START, a_reading, a_withdrawal_of, an_entry, derived, harbour_row

from pratique.ledger.append import EntryConflict, NothingToCorrect, append
from pratique.ledger.canonical import GENESIS
from pratique.ledger.entries import new_entry_id
from pratique.ledger.models import ChainHead, Entry, EntryLink
from pratique.ledger.queries import entry_by_id

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entry SET payload = '{}'",
        "UPDATE entry SET author = 'someone else' WHERE seq > 0",
        "DELETE FROM entry",
    ],
)
def test_the_database_refuses_to_change_or_delete_entries(statement: str) -> None:
    """Plain SQL past all of our code is refused with our sentence, and the entry stays as it was."""
    recorded = append([an_entry(a_reading())])[0].entry
    with pytest.raises(DatabaseError, match="entries are never"), transaction.atomic():
        connection.cursor().execute(statement)
    assert entry_by_id(recorded.id) == recorded


def test_the_database_refuses_to_put_another_entry_in_its_place() -> None:
    """Each database has its own way to insert over a row: SQLite's fires no trigger for the row that goes."""
    recorded = append([an_entry(a_reading())])[0].entry
    columns = (
        "seq, id, kind, version, happened_at, zone, recorded_at, author, source, amends, withdraws, payload, digest"
    )
    other = f"SELECT {columns.replace('author', chr(39) + 'someone else' + chr(39))} FROM entry WHERE true"  # noqa: S608
    on_sqlite = connection.vendor == "sqlite"
    verb, ending = (
        ("INSERT OR REPLACE", "") if on_sqlite else ("INSERT", "ON CONFLICT (seq) DO UPDATE SET author = 'x'")
    )
    with pytest.raises(DatabaseError, match="entries are never"), transaction.atomic():
        connection.cursor().execute(f"{verb} INTO entry ({columns}) {other} {ending}")
    assert entry_by_id(recorded.id) == recorded


def test_the_program_itself_cannot_change_an_entry() -> None:
    """Our own tables' objects are refused like anyone else."""
    recorded = append([an_entry(a_reading())])[0].entry
    with pytest.raises(DatabaseError), transaction.atomic():
        Entry.objects.filter(seq=recorded.seq).update(kind="note")
    with pytest.raises(DatabaseError), transaction.atomic():
        Entry.objects.get(seq=recorded.seq).delete()
    assert entry_by_id(recorded.id) == recorded


def test_the_database_refuses_to_empty_the_table() -> None:
    """TRUNCATE fires no row triggers, so on PostgreSQL it has one of its own; SQLite knows no such statement."""
    recorded = append([an_entry(a_reading())])[0].entry
    on_postgresql = connection.vendor == "postgresql"
    if on_postgresql:
        connection.cursor().execute("SET CONSTRAINTS ALL IMMEDIATE")
    sentence = "entries are never" if on_postgresql else "syntax error"
    with pytest.raises(DatabaseError, match=sentence), transaction.atomic():
        connection.cursor().execute("TRUNCATE TABLE entry CASCADE")
    assert entry_by_id(recorded.id) == recorded


def test_sending_the_same_entry_twice_is_harmless() -> None:
    """The second time it is reported as not new, and nothing has been added."""
    entry = an_entry(a_reading())
    first, again = append([entry])[0], append([entry])[0]
    assert (first.is_new, again.is_new) == (True, False)
    assert first.entry == again.entry
    assert (Entry.objects.count(), ChainHead.objects.get().count, EntryLink.objects.count()) == (1, 1, 1)


def test_the_same_entry_twice_in_one_go_is_one_entry() -> None:
    """A double tap in one batch is no different."""
    entry = an_entry(a_reading())
    assert [one.is_new for one in append([entry, entry])] == [True, False]
    assert Entry.objects.count() == 1


def test_the_same_id_with_other_content_is_a_conflict() -> None:
    """What is in the ledger stays; the newcomer is told."""
    entry = an_entry(a_reading(0.18))
    append([entry])
    with pytest.raises(EntryConflict, match="says something else; it was kept as it was"):
        append([an_entry(a_reading(0.81), id=entry.id)])
    kept = entry_by_id(entry.id)
    assert kept is not None
    assert kept.raw["value"] == 0.18


def test_nothing_is_half_done_when_one_of_many_is_refused() -> None:
    """The good entries before the bad one are not in, nor any trace of them."""
    append(harbour_row())
    before = (Entry.objects.count(), ChainHead.objects.get().digest, derived())
    unknown = new_entry_id()
    with pytest.raises(NothingToCorrect, match=f"no entry {unknown} to correct"):
        append([an_entry(a_reading()), an_entry(a_reading(), amends=unknown), an_entry(a_reading())])
    assert (Entry.objects.count(), ChainHead.objects.get().digest, derived()) == before


def test_each_digest_follows_from_the_one_before() -> None:
    """Recomputed by hand from the first entry to the head."""
    append(harbour_row())
    digest = GENESIS
    for row in Entry.objects.order_by("seq"):
        recorded = entry_by_id(row.id)
        assert recorded is not None
        digest = recorded.digest_after(digest)
        assert row.digest == digest
    assert ChainHead.objects.get().digest == digest


def test_when_it_happened_and_when_it_was_written_are_two_things() -> None:
    """Evening readings may be written the next morning."""
    written = START + timedelta(hours=12)
    recorded = append([an_entry(a_reading())], now=written)[0].entry
    assert (recorded.happened_at, recorded.recorded_at) == (START, written)
    assert recorded.local().hour == 18


def test_a_withdrawal_is_itself_never_withdrawn_by_force() -> None:
    """Deleting the correction is refused like deleting anything else."""
    first = append([an_entry(a_reading())])[0].entry
    append([a_withdrawal_of(first)])
    with pytest.raises(DatabaseError, match="entries are never"), transaction.atomic():
        connection.cursor().execute("DELETE FROM entry WHERE withdraws IS NOT NULL")
    assert Entry.objects.count() == 2
