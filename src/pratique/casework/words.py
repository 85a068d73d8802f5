"""How casework says numbers, days and lists, the same on every page and in every command."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from pratique import knowledge
from pratique.units import THIN_SPACE

MINUS = "\u2212"
# Each is said from the figure of its name on. Between the middle two nobody could tell.
_HOW_SURE = ("surely", "probably", "perhaps", "probably_not")
_COUNTED = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve")


def amount(value: float, decimals: int, unit: str = "") -> str:
    """Return a number with its unit after a thin space: `0.18 mg/L`."""
    text = f"{value:.{decimals}f}".replace("-", MINUS)
    return f"{text}{THIN_SPACE}{unit}" if unit else text


def plus_minus(value: float, error: float, decimals: int, unit: str = "") -> str:
    """Return a number with its 95 % error: `0.18 ± 0.03 mg/L`."""
    return f"{amount(value, decimals)} ± {amount(error, decimals, unit)}"


def percent(probability: float) -> str:
    """Return a probability in whole per cent, never as certainty."""
    if probability > 0.99:
        return f"over 99{THIN_SPACE}%"
    if probability < 0.01:
        return f"under 1{THIN_SPACE}%"
    return f"{probability * 100:.0f}{THIN_SPACE}%"


def chance_words(probability: float) -> str:
    """Return how sure something is, to stand before what is said of it: `surely`, `probably not`."""
    said = (one for one in _HOW_SURE if probability >= knowledge.figure(f"chance.{one}").value)
    return next(said, "not").replace("_", " ")


def day_words(day: date) -> str:
    """Return a day as `25 November`."""
    return f"{day.day} {day:%B}"


def counted(number: int) -> str:
    """Return a small number as a word that begins a sentence, a larger one in digits."""
    return _COUNTED[number] if number < len(_COUNTED) else str(number)


def short_day(day: date) -> str:
    """Return a day as `2 Dec`."""
    return f"{day.day} {day:%b}"


def clock(moment: datetime, zone: ZoneInfo) -> str:
    """Return the keeper's clock time, `18:30`."""
    return f"{moment.astimezone(zone):%H:%M}"


def when(moment: datetime, now: datetime, zone: ZoneInfo) -> str:
    """Return a moment as the keeper would say it: `today 18:30`, `yesterday 08:05`, `on 3 November`."""
    day, today = moment.astimezone(zone).date(), now.astimezone(zone).date()
    if day == today:
        return f"today {clock(moment, zone)}"
    if day == today - timedelta(days=1):
        return f"yesterday {clock(moment, zone)}"
    year = f" {day.year}" if day.year != today.year else ""
    return f"on {day_words(day)}{year}"


def ago(moment: datetime, now: datetime) -> str:
    """Return how long ago a moment was, in the largest unit that fits."""
    hours = (now - moment).total_seconds() / 3600
    if hours < 1:
        return "just now" if hours < 1 / 6 else f"{hours * 60:.0f}{THIN_SPACE}min ago"
    if hours < 36:
        return f"{hours:.0f}{THIN_SPACE}h ago"
    return f"{hours / 24:.0f} days ago"


def days_words(count: float) -> str:
    """Return whole days, rounded down: `1 day`, `8 days`."""
    whole = int(count + 1e-9)
    return "1 day" if whole == 1 else f"{whole} days"


def listed(names: Sequence[str]) -> str:
    """Return names as a sentence lists them: `a, b and c`."""
    if len(names) <= 1:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def sentence_case(text: str) -> str:
    """Return the text with its first letter a capital and the rest as it was; pH stays pH."""
    return text if text.startswith("pH") else text[:1].upper() + text[1:]
