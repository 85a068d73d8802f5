"""The story as the tests hold it: entries told once, and the engines' inputs made from them."""

from datetime import date, datetime, time, timedelta
from functools import cache
from zoneinfo import ZoneInfo

from pratique.casework.reckoning.priors import prior_of
from pratique.demo.loading import demo_entries
from pratique.demo.truth import TRUTH
from pratique.knowledge import CopperForm, method
from pratique.ledger.entries import NewEntry
from pratique.ledger.kinds.animals import Feeding, Observation
from pratique.ledger.kinds.water import Dose, Reading, WaterChange
from pratique.science.estimation import case as science
from pratique.science.estimation import reading
from pratique.science.estimation.case import Case
from pratique.science.health.appetite import Fed
from pratique.science.health.breathing import Count

ZONE = ZoneInfo("Europe/Amsterdam")
# Far from the changes of summer time, so that story days and hours elapsed are the same thing.
TODAY = date(2026, 7, 20)
NOW = datetime(2026, 7, 20, 9, 0, tzinfo=ZONE)
# The course of B1, in story days with their fractions.
COURSE = (2 + 9 / 24, 31 + 10 / 24)
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


def copper_case() -> Case:
    """Return the case of the copper in Lazaret for the course of B1, from the morning it was begun to its stop.

    Beliefs are those that ship: the keeper's 80 ± 6 L, and how copper is lost, as nobody measured.
    """
    began, prior = COURSE[0] - 2.0 / 24.0, prior_of("copper", form=CopperForm.IONIC)
    doses = [
        science.Dose(day - began, told.amount_mg or 0.0, prior.dose_relative_sd, entry)
        for day, told, entry in moments_and(Dose)
    ]
    changes = [
        science.Change(day - began, change.volume_l, entry=entry)
        for day, change, entry in moments_and(WaterChange)
        if change.system == "lazaret" and change.volume_l is not None
    ]
    seen = [(day, one, entry) for day, one, entry in readings("lazaret", "copper") if began <= day <= COURSE[1]]
    return Case(
        "copper",
        "mg/L",
        COURSE[1] - began,
        prior.initial,
        volume=science.Volume(TRUTH.lazaret_believed_l, 6.0 / reading.NORMAL_95),
        loss=prior.loss,
        source=prior.source,
        stock_strength_relative_sd=0.05 / reading.NORMAL_95,
        methods={one.method or "": _error_of(one.method or "") for _, one, _ in seen},
        events=tuple(sorted([*doses, *changes], key=lambda one: (one.day, isinstance(one, science.Dose)))),
        readings=tuple(
            science.Reading(
                day - began,
                one.method or "",
                reading.Observed(one.value, one.low, one.high, one.below, one.above),
                entry,
            )
            for day, one, entry in seen
        ),
        draws=prior.draws,
    )


def _error_of(key: str) -> reading.Method:
    by = method(key)
    return reading.Method(by.resolution, by.absolute_sd, by.relative_sd, by.lower_limit, by.upper_limit, by.marks)


def feeds(animal: str) -> list[Fed]:
    """Return how one animal fed, with None where it was not seen."""
    found = moments_and(Feeding)
    return [Fed(day, told.fed.get(animal), entry) for day, told, entry in found if animal in told.offered_to]


def counts(animal: str) -> list[Count]:
    """Return one animal's gill beats."""
    found = [one for one in moments_and(Observation) if one[1].animal == animal and one[1].beats_per_min]
    return [Count(day, told.beats_per_min or 0.0, told.counted_s, entry) for day, told, entry in found]
