"""When something happened, as the keeper writes it: by the household's clock, and never in the future."""

import re
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from pratique.casework.words import day_words
from pratique.casework.writing.desk import Desk
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household

# A phone's clock may run a little ahead of this machine's.
GRACE = timedelta(minutes=2)
LOCAL = "%Y-%m-%dT%H:%M"


class NoSuchMoment(ValueError):
    """The text is no moment that has happened; the sentence says why and what would be right."""


def local_text(moment: datetime, zone: ZoneInfo) -> str:
    """Return a moment to the minute, as a form holds it."""
    return moment.astimezone(zone).strftime(LOCAL)


def told(entry: Recorded, household: Household, words: str = "") -> dict[str, str]:
    """Return the answers every form asks for: when it happened, and the free words."""
    return {"moment": local_text(entry.happened_at, household.zone), "words": words}


def came_twice(text: str, desk: Desk) -> str:
    """Return the question to ask about a clock time that came twice, or nothing.

    Both must lie in the past: while the second has not come, the first is meant.
    """
    zone, bare = desk.household.zone, text.strip()
    if not bare or (desk.amends is not None and bare == local_text(desk.amends.happened_at, zone)):
        return ""
    try:
        written = _parsed(bare, desk.now.astimezone(zone))
    except ValueError:
        return ""
    if written.tzinfo is not None:
        return ""
    first, second = (written.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    if first.utcoffset() == second.utcoffset() or not _exists(first) or second > desk.now + GRACE:
        return ""
    return (
        f"On {day_words(written.date())} the clocks were put back and {written:%H:%M} came twice. This takes the "
        f"first; the second would be {second.isoformat(timespec='minutes')}. Is it the first?"
    )


def _exists(moment: datetime) -> bool:
    zone = moment.tzinfo
    return moment.astimezone(UTC).astimezone(zone).replace(tzinfo=None) == moment.replace(tzinfo=None)


def moment_of(text: str, desk: Desk) -> datetime:
    """Return the moment written, aware and in UTC; left empty it is now. Raises NoSuchMoment.

    An amendment that leaves the minute as it was keeps the very moment of what it amends, so that entries of one
    minute stay in their order.
    """
    zone, before = desk.household.zone, desk.amends
    bare = text.strip()
    if before is not None and bare in {"", local_text(before.happened_at, zone)}:
        return before.happened_at
    moment = _aware(bare, desk.now, zone) if bare else desk.now
    if moment > desk.now + GRACE:
        raise NoSuchMoment("This is in the future. Write it when it has happened.")
    return moment.astimezone(UTC)


def _aware(text: str, now: datetime, zone: ZoneInfo) -> datetime:
    try:
        written = _parsed(text, now.astimezone(zone))
    except ValueError:
        example = now.astimezone(zone).strftime("%Y-%m-%d %H:%M")
        raise NoSuchMoment(f"“{text}” is not a moment; write it like {example}, or 18:30 for today.") from None
    return written if written.tzinfo is not None else in_zone(written, zone)


def _parsed(text: str, local_now: datetime) -> datetime:
    if clock := re.fullmatch(r"(yesterday\s+)?(\d{1,2}):(\d{2})", text):
        day = local_now.date() - timedelta(days=1 if clock[1] else 0)
        return datetime.combine(day, time(int(clock[2]), int(clock[3])))
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
        raise ValueError(text)
    return datetime.fromisoformat(text)


def in_zone(written: datetime, zone: ZoneInfo) -> datetime:
    """Return a clock time of a zone as an aware moment; of a time that came twice, the first (see `came_twice`).

    Raises NoSuchMoment for a time that the change of the clocks left out.
    """
    moment = written.replace(tzinfo=zone, fold=0)
    if _exists(moment):
        return moment
    back = moment.astimezone(UTC).astimezone(zone)
    after = moment.replace(fold=1).astimezone(UTC).astimezone(zone)
    early, late = sorted((back, after))
    raise NoSuchMoment(
        f"On {day_words(written.date())} the clocks were put forward and {written:%H:%M} did not come; "
        f"write {early:%H:%M} or {late:%H:%M}."
    )
