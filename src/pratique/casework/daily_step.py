"""The most a form of copper is raised in a day, and how much of that the doses of the last day have taken."""

from datetime import timedelta

from pratique import knowledge
from pratique.casework.copper import CourseCopper
from pratique.casework.facts import Facts
from pratique.casework.reckoning.reckoned import Reckoned
from pratique.casework.words import amount
from pratique.knowledge import CopperForm, Figure
from pratique.science.estimation.case import Change, Dose, Event, Refill

_DAY = timedelta(days=1)
_BEFORE = timedelta(hours=1)


def step_up_of(copper: CourseCopper) -> Figure:
    """Return the most a course's form of copper is raised in a day."""
    form = copper.told.form if copper.told is not None else CopperForm.IONIC
    return knowledge.figure(f"copper.ramp_step_mg_per_l_per_day.{form}")


def spent_mg_per_l(copper: CourseCopper, found: Reckoned) -> float:
    """Return the rise by the doses of the last day, less what water changes took out meanwhile; never below 0."""
    if found.volume is None:
        return 0.0
    rise = 0.0
    for event in _of_last_day(copper, found):
        match event:
            case Dose():
                rise += event.amount_mg / found.volume.mean
            case Change():
                rise -= _taken(found, event, found.volume.mean)
            case Refill():
                rise = 0.0
            case _:
                pass
    return max(0.0, rise)


def is_spent(copper: CourseCopper, found: Reckoned) -> bool:
    """Return whether a dose of the last day has raised the level at all."""
    return spent_mg_per_l(copper, found) > 0.0


def spent_words(facts: Facts, copper: CourseCopper, found: Reckoned) -> str:
    """Return that the daily step is spent, and from when on another dose may be given."""
    doses = [event.day for event in _of_last_day(copper, found) if isinstance(event, Dose)]
    first = min(doses, default=found.ledger.case.span_days)
    then = (found.ledger.moment_of(first) + _DAY).astimezone(facts.zone)
    day = "today" if then.date() == facts.now.astimezone(facts.zone).date() else "tomorrow"
    risen = amount(spent_mg_per_l(copper, found), 2, "mg/L")
    return (
        f"The doses of the last 24 hours have raised the level by {risen}, and never more than "
        f"{step_up_of(copper).value:g} is added in a day. Not before {day} {then:%H:%M}, after a fresh reading."
    )


def _of_last_day(copper: CourseCopper, found: Reckoned) -> list[Event]:
    since = found.ledger.day_of(copper.end - _DAY)
    return [event for event in found.ledger.case.events if event.day > since]


def _taken(found: Reckoned, change: Change, volume_l: float) -> float:
    """Return how far a change lowered the level, by the level an hour before it."""
    before = found.level_at(found.ledger.moment_of(change.day) - _BEFORE)
    level = before.mean if before is not None else change.incoming
    return max(0.0, min(1.0, change.volume_l / volume_l) * (level - change.incoming))
