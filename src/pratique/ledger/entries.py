"""Entries as the rest of the program holds them: new ones to append, and stored ones read back."""

import json
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import uuid_utils

from pratique.ledger.canonical import canonical_json, chained_digest, entry_line
from pratique.ledger.kinds.payload import Link, Payload
from pratique.ledger.kinds.registry import read_payload
from pratique.ledger.models import Entry

SOURCES = ("web", "cli", "import", "probe", "api")


def new_entry_id() -> UUID:
    """Return a fresh UUIDv7 (RFC 9562): ordered by the moment it was made."""
    return UUID(int=uuid_utils.uuid7().int)


@dataclass(frozen=True, slots=True, kw_only=True)
class NewEntry:
    """An entry before it is recorded. `happened_at` must be aware; `zone` is the keeper's IANA zone."""

    id: UUID
    payload: Payload
    happened_at: datetime
    zone: str
    author: str
    source: str
    amends: UUID | None = None
    withdraws: UUID | None = None

    def payload_text(self) -> str:
        """Return the payload as canonical JSON, without what is left at its default."""
        return canonical_json(self.payload.model_dump(mode="json", exclude_defaults=True))


@dataclass(frozen=True, kw_only=True)
class Recorded:
    """An entry read back from the ledger."""

    seq: int
    id: UUID
    kind: str
    version: int
    happened_at: datetime
    zone: str
    recorded_at: datetime
    author: str
    source: str
    amends: UUID | None
    withdraws: UUID | None
    payload_text: str
    digest: str

    @classmethod
    def of(cls, row: Entry) -> "Recorded":
        """Return the row as a recorded entry."""
        return cls(
            seq=row.seq,
            id=row.id,
            kind=row.kind,
            version=row.version,
            happened_at=row.happened_at,
            zone=row.zone,
            recorded_at=row.recorded_at,
            author=row.author,
            source=row.source,
            amends=row.amends,
            withdraws=row.withdraws,
            payload_text=row.payload,
            digest=row.digest,
        )

    @cached_property
    def raw(self) -> dict[str, Any]:
        """Return the payload as plain values, whatever its kind."""
        value: dict[str, Any] = json.loads(self.payload_text)
        return value

    @cached_property
    def payload(self) -> Payload | None:
        """Return the typed payload, or None for a kind or version this program does not know."""
        return read_payload(self.kind, self.version, self.raw)

    def links(self) -> list[Link]:
        """Return the subjects it speaks of; a kind this program does not know speaks of the household."""
        payload = self.payload
        return list(payload.links()) if payload is not None else [Link("household")]

    def local(self) -> datetime:
        """Return when it happened, by the keeper's clock at that time."""
        return self.happened_at.astimezone(ZoneInfo(self.zone))

    def line(self) -> str:
        """Return the canonical line of this entry."""
        return entry_line(
            id=self.id,
            kind=self.kind,
            version=self.version,
            happened_at=self.happened_at,
            zone=self.zone,
            recorded_at=self.recorded_at,
            author=self.author,
            source=self.source,
            amends=self.amends,
            withdraws=self.withdraws,
            payload=self.payload_text,
        )

    def digest_after(self, previous: str) -> str:
        """Return the digest this entry must have when it follows the digest `previous`."""
        return chained_digest(previous, self.line())
