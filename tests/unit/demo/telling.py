"""The story as the tests hold it: entries told once, and the engines' inputs made from them."""

from datetime import date, datetime, time, timedelta
from functools import cache
from zoneinfo import ZoneInfo

from pratique.demo.loading import demo_entries
from pratique.knowledge import method
from pratique.ledger.entries import NewEntry
from pratique.ledger.kinds.animals import Feeding, Observation
from pratique.ledger.kinds.water import Dose, Reading, WaterChange
from pratique.science.estimation import mass_balance, reading
from pratique.science.health.appetite import Fed
from pratique.science.health.breathing import Count

ZONE = ZoneInfo("Europe/Amsterdam")
# Far from the changes of summer time, so that story days and hours elapsed are the same thing.
TODAY = date(2026, 7, 20)
NOW = datetime(2026, 7, 20, 9, 0, tzinfo=ZONE)
DAY_0 = datetime.combine(TODAY - timedelta(days=38), time(), ZONE)


@cache
def story() -> tuple[NewEntry, ...]:
    """Return the story at nine o'clock of its last day."""
    return tuple(demo_entries(TODAY, ZONE, NOW))


def standing() -> list[NewEntry]:
    """Return the entries that nothing amends or withdraws."""
    gone = {entry.amends for entry in story()} | {entry.withdraws for entry in story()}
    return [entry for entry in story() if entry.id not in gone]


def day_of(moment: datetime) -> float:
    """Return a moment as a story day with its fraction."""
    return (moment - DAY_0) / timedelta(days=1)


def moments_and[P](kind: type[P]) -> list[tuple[float, P, str]]:
    """Return the story day, payload and id of every standing entry of a kind, in order of time."""
    found = [(day_of(e.happened_at), e.payload, str(e.id)) for e in standing() if isinstance(e.payload, kind)]
    return sorted(found, key=lambda one: one[0])


def readings(system: str, constituent: str) -> list[tuple[float, Reading, str]]:
    """Return a system's readings of one constituent."""
    found = moments_and(Reading)
    return [one for one in found if one[1].system == system and one[1].constituent == constituent]


def copper_events() -> list[mass_balance.Event]:
    """Return everything that moved or showed the copper in Lazaret; hours are counted from day 0."""
    events: list[mass_balance.Event] = []
    for day, told, entry in moments_and(Dose):
        assert told.amount_mg is not None
        events.append(mass_balance.Dose(day * 24, told.amount_mg, entry))
    for day, change, entry in moments_and(WaterChange):
        if change.system == "lazaret":
            events.append(
                mass_balance.Fill(day * 24, 0.0, entry)
                if change.volume_l is None
                else mass_balance.Change(day * 24, change.volume_l, 0.0, entry)
            )
    for day, read, entry in readings("lazaret", "copper"):
        assert read.method is not None
        by = method(read.method)
        figures = reading.Method(
            by.resolution, by.absolute_sd, by.relative_sd, by.lower_limit, by.upper_limit, by.marks
        )
        seen = reading.Observed(read.value, read.low, read.high, read.below, read.above)
        events.append(mass_balance.Reading(day * 24, figures, seen, entry))
    return events


def feeds(animal: str) -> list[Fed]:
    """Return how one animal fed, with None where it was not seen."""
    found = moments_and(Feeding)
    return [Fed(day, told.fed.get(animal), entry) for day, told, entry in found if animal in told.offered_to]


def counts(animal: str) -> list[Count]:
    """Return one animal's gill beats."""
    found = [one for one in moments_and(Observation) if one[1].animal == animal and one[1].beats_per_min]
    return [Count(day, told.beats_per_min or 0.0, told.counted_s, entry) for day, told, entry in found]
