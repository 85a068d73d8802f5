"""How long a tank must stay without fish until it is likely rid of each parasite."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from pratique import knowledge
from pratique.casework.fallow_lines import fallow_line
from pratique.casework.sheets.fallow import FallowSheet
from pratique.casework.sheets.lines import About, Reason
from pratique.casework.words import day_words, days_words, listed, percent
from pratique.units import THIN_SPACE, parse_quantity

_DAY = timedelta(days=1)
_HOTTEST_C = 45.0
CAUTIONS = (
    "Corals, shrimps and snails carry no such parasite on themselves, but water, nets, rock and wet hands do: one drop "
    "from a tank with fish, or one fish, begins it anew.",
    "Little oxygen can put cysts to sleep for weeks: keep the water moving and warm all the while.",
    "This is arithmetic on figures from laboratories, not a diagnosis. An aquatic veterinarian can tell what it was.",
)


@dataclass(frozen=True)
class Empty:
    """A tank's time without fish: since when, how many lived there before, and what is to be said of it."""

    since: datetime | None
    fishes: int
    said: tuple[str, ...]


@dataclass(frozen=True)
class Told:
    """Whose tank it is, and the moment and the clock it is told by."""

    system: About
    now: datetime
    zone: ZoneInfo


def water_c(text: str) -> float:
    """Return a temperature in °C as a keeper writes it; ValueError with a sentence for none, or none of water."""
    if not text.strip():
        raise ValueError(f"Write the temperature of the water, such as 26{THIN_SPACE}°C.")
    found = parse_quantity(text, "°C")
    if not 0.0 <= found <= _HOTTEST_C:
        raise ValueError(
            f"{found:g}{THIN_SPACE}°C is no water of fishes; write it from 0 to {_HOTTEST_C:g}{THIN_SPACE}°C."
        )
    return found


def fallow_at(temperature_c: float, *, fishes: int | None = None) -> FallowSheet:
    """Return how long a tank must stay without fish at a temperature in °C, as if the last one left today."""
    count = fishes or int(knowledge.figure("fallow.fishes").value)
    taken = "" if fishes else " That is a guess."
    said = (f"As if {count} fishes had lived there.{taken}",)
    return sheet_of(Empty(None, count, said), temperature_c)


def sheet_of(empty: Empty, temperature_c: float, told: Told | None = None) -> FallowSheet:
    """Return the sheet of a tank, or of any at a temperature in °C where it is not told which."""
    day = (told.now - empty.since) / _DAY if told is not None and empty.since is not None else None
    lines = tuple(fallow_line(one.key, temperature_c, empty.fishes, day) for one in knowledge.parasites())
    days = [one.enough_day for one in lines if one.enough_day is not None]
    enough = max(days) if len(days) == len(lines) else None
    since = _date(told, empty.since)
    on = _date(told, empty.since + enough * _DAY) if empty.since is not None and enough is not None else None
    return FallowSheet(
        system=told.system if told is not None else None,
        since=since,
        day=day,
        enough_on=on,
        gist=_gist(temperature_c, since, on, enough, is_over=day is not None and enough is not None and day >= enough),
        said=empty.said,
        temperature_c=temperature_c,
        fishes=empty.fishes,
        counts_from=knowledge.figure("gate.clear_probability").value,
        lines=lines,
        reasons=_reasons(),
        cautions=CAUTIONS,
    )


def _date(told: Told | None, moment: datetime | None) -> date | None:
    return moment.astimezone(told.zone).date() if told is not None and moment is not None else None


def _gist(temperature_c: float, since: date | None, on: date | None, enough: float | None, *, is_over: bool) -> str:
    free = f"free of {listed([one.name.partition(' (')[0] for one in knowledge.parasites()])}"
    sure = percent(knowledge.figure("gate.clear_probability").value)
    water = f"{temperature_c:.1f}".rstrip("0").rstrip(".") + f"{THIN_SPACE}°C"
    begun = f"Without fish since {day_words(since)}: " if since is not None else "Without fish: "
    if enough is None:
        return f"{begun}when it is {free} is not known at {water}."
    if since is None or on is None:
        return f"{begun}{free}, each {sure} likely, after {days_words(enough)} at {water}."
    if is_over:
        return f"{begun}{free}, each at least {sure} likely since {day_words(on)} at {water}."
    return f"{begun}{free}, each {sure} likely, from {day_words(on)} on at {water}."


def _reasons() -> tuple[Reason, ...]:
    counts = knowledge.figure("gate.clear_probability")
    short, long = (knowledge.figure(f"fallow.custom_{which}_days") for which in ("short", "long"))
    custom = f"What is usually done: {short.value:g} days, or {long.value:g} days without fish."
    return (
        Reason("How likely it must be to count.", counts.source, counts.status.value),
        Reason(custom, f"{short.source}; {long.source}", short.status.value),
        *(
            Reason(
                f"Until they left, each fish carried {one.burden_cap.value:g} {one.name.partition(' (')[0]}: a settled "
                "infection, the worst case.",
                one.burden_cap.source,
                one.burden_cap.status.value,
            )
            for one in knowledge.parasites()
        ),
        *(
            Reason(
                f"The longest wait ever told of {one.name.partition(' (')[0]}.",
                one.off_host_bounds.source,
                one.off_host_bounds.status.value,
            )
            for one in knowledge.parasites()
        ),
    )
