"""The photos of a subject, the newest first."""

from datetime import datetime
from uuid import UUID

from pratique.ledger.kinds.care import Photo
from pratique.ledger.queries import entries_about


def photos_of(subject: str, now: datetime) -> tuple[tuple[str, str, datetime, UUID], ...]:
    """Return (SHA-256, words, moment, entry) of each photo of a subject."""
    entries = entries_about(subject, ["photo"], until=now)
    return tuple(
        (one.payload.sha256, one.payload.words, one.happened_at, one.id)
        for one in reversed(entries)
        if isinstance(one.payload, Photo)
    )
