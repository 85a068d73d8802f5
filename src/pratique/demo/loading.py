"""Put the story into a ledger: only into an empty one, or one that holds this day's story already."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from pratique.demo.chance import SEED
from pratique.demo.drawn import PICTURES, picture
from pratique.demo.ids import bits_of, story_day
from pratique.demo.story.diary import Told
from pratique.demo.story.telling import tell
from pratique.demo.zone import local_zone
from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry
from pratique.ledger.models import Entry
from pratique.ledger.photos import store

type Progress = Callable[[int, int], None]

_SITTING = timedelta(minutes=20)


class NotADemo(ValueError):
    """The ledger holds entries that are not this day's story; the demo never enters it."""


def demo_entries(today: date, zone: ZoneInfo, now: datetime, *, seed: int = SEED) -> list[NewEntry]:
    """Return the entries of the story as it stands on `today`, in the order they were written down.

    Same seed and day, same entries. A `now` before the story's last minute (07:40) draws this morning together, so
    that nothing lies in the future.
    """
    return [told.entry for told in tell(seed, today, zone, now)]


def load_demo(
    now: datetime, *, zone: ZoneInfo | None = None, seed: int = SEED, progress: Progress | None = None
) -> int:
    """Append what is not yet there of the story as it stands at `now`; return how many entries were added.

    Each sitting is recorded when it happened. A load that was cut off is finished by the next. Raises NotADemo for a
    ledger that holds anything else.
    """
    zone = zone or local_zone()
    today = now.astimezone(zone).date()
    _refuse_other_ledgers(today, zone, seed)
    there = {bits_of(entry_id) for entry_id in Entry.objects.values_list("id", flat=True).iterator()}
    missing = [told for told in tell(seed, today, zone, now) if bits_of(told.entry.id) not in there]
    # Before the entries: one that names a picture must find it in the store.
    for name in PICTURES:
        store(picture(name), "jpg")
    done = 0
    for sitting in _sittings(missing):
        append([told.entry for told in sitting], now=sitting[-1].recorded_at)
        done += len(sitting)
        if progress is not None:
            progress(done, len(missing))
    return done


def _refuse_other_ledgers(today: date, zone: ZoneInfo, seed: int) -> None:
    first = Entry.objects.order_by("seq").first()
    if first is None:
        return
    told_on = story_day(first.id, first.happened_at, zone, seed=seed)
    if told_on is None:
        raise NotADemo("This ledger is a real one. The demo goes into an empty home only, and nothing was added.")
    if told_on != today:
        raise NotADemo(f"This ledger tells the story of {told_on}. Today's goes into a fresh home; nothing was added.")


def _sittings(told: Sequence[Told]) -> Iterator[list[Told]]:
    """Yield what was written down close together, as one person would have sent it."""
    if not told:
        return
    sitting = [told[0]]
    for before, after in pairwise(told):
        if after.recorded_at - before.recorded_at > _SITTING:
            yield sitting
            sitting = []
        sitting.append(after)
    yield sitting
