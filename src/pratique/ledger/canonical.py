"""The one way an entry is written as text: canonical JSON lines, chained by SHA-256."""

import hashlib
import json
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

GENESIS = "0" * 64


def canonical_json(value: object) -> str:
    """Return JSON with sorted keys and no spare spaces: equal values give equal text.

    Raises ValueError for NaN and infinities, which JSON cannot hold.
    """
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def moment_text(moment: datetime) -> str:
    """Return an aware moment as UTC text with microseconds, so that equal moments give equal text."""
    return moment.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")


def entry_line(  # noqa: PLR0913 - the envelope has this many fields, and all of them are hashed
    *,
    id: UUID,  # noqa: A002 - the envelope's own word
    kind: str,
    version: int,
    happened_at: datetime,
    zone: str,
    recorded_at: datetime,
    author: str,
    source: str,
    amends: UUID | None,
    withdraws: UUID | None,
    payload: str,
) -> str:
    """Return the entry's canonical line: what is hashed, exported and compared."""
    envelope: dict[str, Any] = {
        "id": str(id),
        "kind": kind,
        "version": version,
        "happened_at": moment_text(happened_at),
        "zone": zone,
        "recorded_at": moment_text(recorded_at),
        "author": author,
        "source": source,
        "payload": json.loads(payload),
    }
    if amends is not None:
        envelope["amends"] = str(amends)
    if withdraws is not None:
        envelope["withdraws"] = str(withdraws)
    return canonical_json(envelope)


def chained_digest(previous: str, line: str) -> str:
    """Return the digest of a line that follows the entry with the digest `previous`."""
    return hashlib.sha256(f"{previous}\n{line}".encode()).hexdigest()
