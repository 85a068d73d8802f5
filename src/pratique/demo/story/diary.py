"""The diary the story is written in: moments on the story's clock become entries with dates and lasting ids."""

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from pratique.demo.days import LAST_MINUTE, TODAY
from pratique.demo.ids import story_id
from pratique.demo.tank import MINUTES_PER_DAY
from pratique.ledger.entries import NewEntry
from pratique.ledger.kinds.payload import Payload


@dataclass(frozen=True)
class Told:
    """An entry, the story minute it was written down, and the moment that was."""

    entry: NewEntry
    minute: int
    recorded_at: datetime


@dataclass
class Diary:
    """The entries told so far. `now` is the real moment nothing may lie behind."""

    seed: int
    today: date
    zone: ZoneInfo
    now: datetime
    told: list[Told] = field(default_factory=list)

    def write(
        self,
        minute: int,
        payload: Payload,
        *,
        author: str = "keeper",
        recorded: int | None = None,
        amends: UUID | None = None,
        withdraws: UUID | None = None,
    ) -> UUID:
        """Write one entry that happened at a story minute, recorded then or at a later one; return its id."""
        happened_at = self._moment(minute)
        written = minute if recorded is None else recorded
        recorded_at = self._moment(written)
        entry = NewEntry(
            id=story_id(self.seed, len(self.told), recorded_at),
            payload=payload,
            happened_at=happened_at,
            zone=self.zone.key,
            author=author,
            source="cli",
            amends=amends,
            withdraws=withdraws,
        )
        self.told.append(Told(entry, written, recorded_at))
        return entry.id

    def in_order(self) -> list[Told]:
        """Return everything told in the order it was written down."""
        return sorted(self.told, key=lambda one: one.minute)

    def _moment(self, minute: int) -> datetime:
        if minute > LAST_MINUTE:
            message = f"the story ends at minute {LAST_MINUTE}; {minute} lies behind it"
            raise ValueError(message)
        day, minute_of_day = divmod(minute, MINUTES_PER_DAY)
        on = self.today + timedelta(days=day - TODAY)
        moment = datetime.combine(on, time(minute_of_day // 60, minute_of_day % 60), self.zone).astimezone(UTC)
        return moment if day < TODAY else self._not_after_now(moment)

    def _not_after_now(self, moment: datetime) -> datetime:
        """Draw this morning together, in order, so that its last entry is a minute before now at the latest."""
        midnight = datetime.combine(self.today, time(), self.zone).astimezone(UTC)
        planned = timedelta(minutes=LAST_MINUTE - TODAY * MINUTES_PER_DAY)
        there_is = max(self.now - timedelta(minutes=1) - midnight, timedelta())
        return moment if there_is >= planned else midnight + (moment - midnight) * (there_is / planned)
