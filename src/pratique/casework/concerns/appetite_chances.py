"""What all of an animal's feeds say together, beside the run of the last ones; and the alarm that speaks first."""

from datetime import date

from pratique import knowledge
from pratique.casework.appetites import Change
from pratique.casework.coincidences import just_before
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets import Concern, Evidence, NextStep, Reason
from pratique.casework.timeline import at_days
from pratique.casework.words import day_words, percent
from pratique.knowledge.appetite import AppetiteFigure, appetite_figure
from pratique.science.health.appetite_states import STATES
from pratique.units import THIN_SPACE

_VERBS = {"eating": "eats", "hesitant": "hesitates", "refusing": "refuses"}
_ALARM_DAYS = 30


def chances_said(health: AnimalHealth) -> tuple[str, ...]:
    """Return how likely each state is, said so where the run of feeds speaks otherwise, and when it changed."""
    found = health.appetites.chances(health.animal.key)
    if found is None:
        return ()
    likeliest, *others = sorted(zip(STATES, found, strict=True), key=lambda one: -one[1])
    is_otherwise = health.appetite.state not in {"unknown", likeliest[0]}
    shares = ", ".join(f"{_VERBS[state]} {percent(float(chance))}" for state, chance in (likeliest, *others))
    rather = "rather say that it" if is_otherwise else "say that it"
    return (f"All its feeds together {rather} {shares}.", *_changed(health))


def _changed(health: AnimalHealth) -> tuple[str, ...]:
    change = health.appetites.change(health.animal.key)
    if change is None:
        return ()
    return (f"It most likely turned from its food on {day_words(change.likeliest)}{_between(change)}.",)


def _between(change: Change) -> str:
    if change.earliest == change.latest:
        return f", 90{THIN_SPACE}% likely that day"
    return f", 90{THIN_SPACE}% likely between {_short(change.earliest, change.latest)} and {day_words(change.latest)}"


def _short(earliest: date, latest: date) -> str:
    return str(earliest.day) if (earliest.month, earliest.year) == (latest.month, latest.year) else day_words(earliest)


def chances_reasons() -> tuple[Reason, ...]:
    """Return what the chances rest on."""
    figure = appetite_figure("steps_eating")
    words = "The chances of each step at food, and of changing from day to day, are assumed alike for all animals."
    return (Reason(words, figure.source, figure.status.value),)


def alarm(facts: Facts, health: AnimalHealth) -> Concern | None:
    """Return that an animal may have stopped eating, before enough feeds in a row say so; None where it is not likely.

    A newcomer is passed over: that it does not eat at once is expected.
    """
    animal, settled = health.animal, knowledge.figure("appetite.new_arrival_days").value
    is_new = (facts.now - animal.stays[0].since).total_seconds() < settled * 86400
    if is_new or not health.appetites.is_alarming(animal.key):
        return None
    figure, last = appetite_figure("false_alarms"), health.appetite.last_certain_meal
    change = health.appetites.change(animal.key)
    place = animal.place
    return Concern(
        key=f"appetite.{animal.key}",
        about=about(animal),
        title=f"{animal.name} may have stopped eating",
        weight="watch",
        weight_words=WEIGHT_WORDS["watch"],
        since=change.likeliest if change else None,
        said=(*chances_said(health), f"An early alarm: {_false_alarms(figure)}."),
        just_before=just_before(facts, animal, at_days(last.at_day) if last else facts.now),
        next_steps=(
            NextStep(
                "Watch it at the next feeding", form="feeding", answers=(("system", place.system),) if place else ()
            ),
        ),
        evidence=_newest_seen(health),
        reasons=(
            Reason(f"Raised when refusing is {_level()} likely.", figure.source, figure.status.value),
            *chances_reasons(),
        ),
        feeds=health.strip(),
    )


def _false_alarms(figure: AppetiteFigure) -> str:
    return f"of 100 animals that go on eating, about {figure.values[0] * 100:.0f} raise one in {_ALARM_DAYS} days"


def _level() -> str:
    return percent(appetite_figure("alarm").values[0])


def _newest_seen(health: AnimalHealth) -> tuple[Evidence, ...]:
    return tuple(
        Evidence("feeding", one.happened_at, one.entry)
        for one in [f for f in health.feeds if f.number is not None][-3:]
    )
