"""When something happened, from the many ways a keeper writes it; what can be read two ways is refused, not guessed."""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone
from typing import Literal
from zoneinfo import ZoneInfo

DateOrder = Literal["day first", "month first"]
MONTHS = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
WEEKDAY = r"^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*[ ,.]+"
YEAR_FIRST = re.compile(r"(?P<year>\d{4})[-/.](?P<month>\d{1,2})[-/.](?P<day>\d{1,2})(?!\d)")
DOTTED = re.compile(r"(?P<day>\d{1,2})\.(?P<month>\d{1,2})\.(?P<year>\d{4})(?!\d)")
DAY_NAME = re.compile(r"(?P<day>\d{1,2})(?:st|nd|rd|th)?[ .-]+(?P<name>[a-z]{3,9})[ .,-]+(?P<year>\d{4})(?!\d)")
NAME_DAY = re.compile(r"(?P<name>[a-z]{3,9})[ .]+(?P<day>\d{1,2})(?:st|nd|rd|th)?[ ,]+(?P<year>\d{4})(?!\d)")
EITHER_WAY = re.compile(r"(?P<one>\d{1,2})[/-](?P<two>\d{1,2})[/-](?P<year>\d{4})(?!\d)")
SHORT_YEAR = re.compile(r"\d{1,2}[/.-]\d{1,2}[/.-]\d{2}(?!\d)")
CLOCK = re.compile(
    r"(?P<hour>\d{1,2})(?:[:.h](?P<minute>\d{2})(?::(?P<second>\d{2})(?:\.\d+)?)?)?"
    r"\s*(?P<half>[ap]\.?m\.?)?\s*(?P<offset>z|[+-]\d{2}:?\d{2})?"
)


class MomentRefused(ValueError):
    """The moment is missing, senseless or can be read two ways; the sentence says which."""


@dataclass(frozen=True, slots=True)
class MomentRules:
    """What the keeper has said about the dates in this file."""

    zone: str | None = None
    date_order: DateOrder | None = None
    time_of_day: time | None = None


def read_moment(date_text: str, time_text: str, rules: MomentRules) -> tuple[datetime, str]:
    """Return when it happened, aware, and the name of its zone; raises MomentRefused."""
    day, rest = _read_day(date_text, rules.date_order)
    clock, offset = _read_clock(" ".join(part for part in (rest, time_text.strip()) if part), rules.time_of_day)
    if offset is not None:
        return datetime.combine(day, clock, timezone(offset)).astimezone(UTC), rules.zone or _zone_of_offset(offset)
    if rules.zone is None:
        raise MomentRefused("The time zone is not known; say `zone` in the mapping, such as Europe/London.")
    return _in_zone(datetime.combine(day, clock), rules.zone), rules.zone


def _read_day(text: str, order: DateOrder | None) -> tuple[date, str]:
    bare = re.sub(WEEKDAY, "", text.strip().lower())
    if not bare:
        raise MomentRefused("There is no date in this line.")
    for pattern in (YEAR_FIRST, DOTTED, DAY_NAME, NAME_DAY, EITHER_WAY):
        found = pattern.match(bare)
        if found is not None:
            return _day(found.groupdict(), text, order), bare[found.end() :].lstrip(" ,t")
    if SHORT_YEAR.match(bare):
        raise MomentRefused(f"“{text.strip()}” has a year of two digits; write all four, such as 2026-11-03.")
    raise MomentRefused(f"“{text.strip()}” is not a date; write it like 2026-11-03 or 3 Nov 2026.")


def _day(parts: dict[str, str], text: str, order: DateOrder | None) -> date:
    year = int(parts["year"])
    if "one" in parts:
        month, day = _settled(int(parts["one"]), int(parts["two"]), text, order)
    elif "name" in parts:
        month, day = _month(parts["name"]), int(parts["day"])
    else:
        month, day = int(parts["month"]), int(parts["day"])
    try:
        return date(year, month, day)
    except ValueError:
        raise MomentRefused(f"There is no such day as “{text.strip()}”.") from None


def _settled(one: int, two: int, text: str, order: DateOrder | None) -> tuple[int, int]:
    """Return month and day of a date like 03/04/2026: by what is possible, else by what the keeper said."""
    if one > 12 or (two <= 12 and order == "day first"):
        return two, one
    if two > 12 or one == two or order == "month first":
        return one, two
    raise MomentRefused(
        f"“{text.strip()}” can be read as {one} {MONTHS[two - 1].title()} or as {two} {MONTHS[one - 1].title()}; "
        "say `date_order` in the mapping, or write 3 Nov 2026."
    )


def _month(name: str) -> int:
    wanted = "september" if name == "sept" else name
    for number, month in enumerate(MONTHS, start=1):
        if wanted in (month, month[:3]):
            return number
    raise MomentRefused(f"“{name}” is not the name of a month known here; write the date like 2026-11-03.")


def _read_clock(text: str, usual: time | None) -> tuple[time, timedelta | None]:
    if not text:
        if usual is None:
            raise MomentRefused("There is no time of day; say `time_of_day` in the mapping, such as 19:00.")
        return usual, None
    found = CLOCK.fullmatch(text.lower())
    if found is None or (found["minute"] is None and found["half"] is None):
        raise MomentRefused(f"“{text}” is not a time of day; write it like 18:30.")
    hour = int(found["hour"])
    if found["half"] is not None:
        if not 1 <= hour <= 12:
            raise MomentRefused(f"“{text}” is not a time of day; write it like 18:30.")
        hour = hour % 12 + (12 if found["half"].startswith("p") else 0)
    try:
        return time(hour, int(found["minute"] or 0), int(found["second"] or 0)), _offset(found["offset"])
    except ValueError:
        raise MomentRefused(f"“{text}” is not a time of day; write it like 18:30.") from None


def _offset(text: str | None) -> timedelta | None:
    if text is None or text == "z":
        return None if text is None else timedelta(0)
    hours, minutes = int(text[1:3]), int(text[-2:])
    if hours > 14 or minutes > 59:
        raise ValueError(text)
    return (timedelta(hours=hours, minutes=minutes)) * (-1 if text[0] == "-" else 1)


def _zone_of_offset(offset: timedelta) -> str:
    """Return the name of the fixed zone of whole hours; its sign is turned round by old custom."""
    hours, rest = divmod(offset, timedelta(hours=1))
    if rest or hours < -12:
        raise MomentRefused("The time zone is not known by name; say `zone` in the mapping, such as Asia/Kolkata.")
    return "UTC" if hours == 0 else f"Etc/GMT{-hours:+d}"


def _in_zone(local: datetime, zone: str) -> datetime:
    first, second = (local.replace(tzinfo=ZoneInfo(zone), fold=fold) for fold in (0, 1))
    if first.astimezone(UTC).astimezone(ZoneInfo(zone)).replace(tzinfo=None) != local:
        raise MomentRefused(f"{local:%H:%M} did not exist on {local:%Y-%m-%d} in {zone}: the clocks went forward.")
    if first.utcoffset() != second.utcoffset():
        raise MomentRefused(
            f"{local:%H:%M} happened twice on {local:%Y-%m-%d} in {zone}: the clocks went back. "
            "Write the offset with it, such as 01:30+01:00."
        )
    return first.astimezone(UTC)
