"""Lasting ids for the story's entries: the same seed gives the same random bits on every day."""

import hashlib
from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from pratique.demo.chance import SEED
from pratique.demo.days import FIRST_DAY, TODAY

_ALL_BITS = (1 << 74) - 1
_LAST_BITS = (1 << 62) - 1


def story_id(seed: int, ordinal: int, made_at: datetime) -> UUID:
    """Return a UUIDv7 (RFC 9562) whose random bits come from the seed and the entry's place in the story."""
    milliseconds = int(made_at.timestamp() * 1000)
    bits = story_bits(seed, ordinal)
    return UUID(int=milliseconds << 80 | 0x7 << 76 | (bits >> 62) << 64 | 0b10 << 62 | bits & _LAST_BITS)


def story_bits(seed: int, ordinal: int) -> int:
    """Return the 74 random bits of one entry of the story."""
    return int.from_bytes(hashlib.sha256(f"harbour-row/{seed}/{ordinal}".encode()).digest()) & _ALL_BITS


def bits_of(entry_id: UUID) -> int:
    """Return the 74 random bits of a UUIDv7."""
    return (entry_id.int >> 64 & 0xFFF) << 62 | entry_id.int & _LAST_BITS


def story_day(first_id: UUID, happened_at: datetime, zone: ZoneInfo, *, seed: int = SEED) -> date | None:
    """Return the day whose story a ledger tells, by its first entry; None where that is no story of ours."""
    if bits_of(first_id) != story_bits(seed, 0):
        return None
    return happened_at.astimezone(zone).date() + timedelta(days=TODAY - FIRST_DAY)
