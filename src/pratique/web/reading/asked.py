"""What a reading page was asked for: as of which day."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.http import HttpRequest
from django.utils import timezone

_FIRST_YEAR = 1970


class NoSuchDay(Exception):
    """A day was asked for that no page can show; the message says so in the keeper's words."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The day a page is to show and the moment it is judged at: now, or the end of a past day."""

    day: date
    now: datetime
    is_past: bool

    @property
    def query(self) -> str:
        """The query that keeps links on this page in the same day."""
        return f"?on={self.day.isoformat()}" if self.is_past else ""

    @property
    def words(self) -> str:
        """The day shown, as it is said: `Friday 20 February 2026`."""
        return _in_words(self.day)

    @property
    def day_before(self) -> date:
        """The day before the one shown."""
        return self.day - timedelta(days=1)

    @property
    def day_after(self) -> date | None:
        """The day after the one shown, None on the newest page."""
        return self.day + timedelta(days=1) if self.is_past else None


def asked_of(request: HttpRequest) -> Asked:
    """Return the day asked for by `?on=`, today without it.

    Raises NoSuchDay for a day that has not come, or for words that are not a day.
    """
    now = timezone.localtime()
    text = request.GET.get("on", "").strip()
    if not text:
        return Asked(now.date(), now, is_past=False)
    try:
        day = date.fromisoformat(text)
    except ValueError:
        message = f"“{text}” is not a day. Write it as year, month, day: {now.date().isoformat()}."
        raise NoSuchDay(message) from None
    if day > now.date():
        message = f"{_in_words(day)} has not come yet. The newest page is today’s, {_in_words(now.date())}."
        raise NoSuchDay(message)
    if day.year < _FIRST_YEAR:
        message = f"{_in_words(day)} is long before any entry here. Ask for a day in this century."
        raise NoSuchDay(message)
    if day == now.date():
        return Asked(day, now, is_past=False)
    return Asked(day, datetime.combine(day, time.max, tzinfo=now.tzinfo), is_past=True)


def _in_words(day: date) -> str:
    return f"{day:%A} {day.day} {day:%B} {day.year}"
