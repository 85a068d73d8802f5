"""Readable entries for the ledger's tests, in the household of Harbour Row."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from uuid import UUID

from django.db import transaction

from pratique.ledger.canonical import canonical_json, chained_digest, entry_line
from pratique.ledger.entries import NewEntry, Recorded, new_entry_id
from pratique.ledger.kinds.animals import Arrival, Move
from pratique.ledger.kinds.care import Withdrawal
from pratique.ledger.kinds.payload import Payload
from pratique.ledger.kinds.places import Compartment, Household, System
from pratique.ledger.kinds.water import Reading
from pratique.ledger.models import ChainHead, Entry, EntryLink, Subject

START = datetime(2026, 11, 3, 18, 30, tzinfo=UTC)


def an_entry(
    payload: Payload,
    *,
    hours: float = 0.0,
    id: UUID | None = None,  # noqa: A002 - the envelope's own word
    amends: UUID | None = None,
    withdraws: UUID | None = None,
) -> NewEntry:
    """Return an entry that happened some hours after the start."""
    return NewEntry(
        id=id or new_entry_id(),
        payload=payload,
        happened_at=START + timedelta(hours=hours),
        zone="Europe/London",
        author="keeper",
        source="cli",
        amends=amends,
        withdraws=withdraws,
    )


def a_reading(number: float = 0.18, *, system: str = "lazaret", constituent: str = "copper") -> Reading:
    """Return a copper reading in Lazaret unless said otherwise."""
    return Reading(system=system, constituent=constituent, value=number)


def a_withdrawal_of(entry: NewEntry | Recorded, *, hours: float = 0.0) -> NewEntry:
    """Return the withdrawal of an entry."""
    return an_entry(Withdrawal(words="written in the wrong place"), withdraws=entry.id, hours=hours)


def harbour_row() -> list[NewEntry]:
    """Return the entries that set Harbour Row up: three systems, a box, and a wrasse in Lazaret."""
    return [
        an_entry(Household(name="Harbour Row", zone="Europe/London", people=("keeper", "helper"))),
        an_entry(System(key="skerry", name="Skerry", role="display", gross_volume_l=480, keeps_invertebrates=True)),
        an_entry(System(key="lazaret", name="Lazaret", role="quarantine", gross_volume_l=90, net_volume_l=80)),
        an_entry(System(key="haven", name="Haven", role="recovery", gross_volume_l=110)),
        an_entry(Compartment(key="creel", name="Creel", system="skerry", form="box")),
        an_entry(
            Arrival(key="six-line-wrasse", name="six-line wrasse", species="six_line_wrasse", system="lazaret"),
            hours=1,
        ),
    ]


def a_move(to: str, *, animal: str = "six-line-wrasse", compartment: str | None = None) -> Move:
    """Return a move of the wrasse."""
    return Move(animals=(animal,), system=to, compartment=compartment)


def put_entry_of_a_newer_version(payload_text: str, *, kind: str = "sounding", version: int = 1) -> UUID:
    """Store an entry as a newer version of the program would have, and return its id."""
    head = ChainHead.objects.get(pk=1)
    fields = {
        "id": new_entry_id(),
        "kind": kind,
        "version": version,
        "happened_at": START,
        "zone": "Europe/London",
        "recorded_at": START,
        "author": "keeper",
        "source": "probe",
        "amends": None,
        "withdraws": None,
        "payload": payload_text,
    }
    head.digest = chained_digest(head.digest, entry_line(**fields))  # type: ignore[arg-type]
    head.count += 1
    head.save()
    row = Entry.objects.create(**fields, digest=head.digest)
    EntryLink.objects.create(
        entry=row, subject="household", kind=kind, topic="", number=None, happened_at=START, stands=True
    )
    return row.id


@contextmanager
def a_household_for_a_while() -> Iterator[None]:
    """Give an empty ledger back afterwards: entries cannot be deleted, but a transaction can be rolled back."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def derived() -> tuple[list[tuple[object, ...]], list[tuple[object, ...]]]:
    """Return everything in the derived tables, in an order of its own."""
    links = EntryLink.objects.values_list("entry_id", "subject", "kind", "topic", "number", "happened_at", "stands")
    return sorted(map(tuple, links), key=str), sorted(map(tuple, Subject.objects.values_list("key", "type", "state")))


def canonical(value: object) -> str:
    """Return a value as canonical JSON."""
    return canonical_json(value)
