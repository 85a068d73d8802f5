"""Concerns about un-ionised ammonia in water that has no filter to speak of."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pratique import knowledge
from pratique.casework.ammonia import AmmoniaAt, ammonia_at, ammonia_series, climb, worst_of_unknown_water
from pratique.casework.coincidences import span_before, water_events
from pratique.casework.concerns.ammonia_words import COMPANION_NAMES, copper_course_in, said_now, said_then
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, reason
from pratique.casework.facts import RECENT, Facts
from pratique.casework.sheets import Coincidence, Concern, Evidence, NextStep, Reason, Weight
from pratique.casework.timeline import hours_of
from pratique.casework.words import when
from pratique.ledger.states import SystemState
from pratique.units import THIN_SPACE

_RELATION = (
    f"Reckoned in two published ways, and the higher is told. They agree to about 15{THIN_SPACE}%; "
    "a pH wrong by 0.1 moves it by about a quarter."
)
_WAYS = (
    "Khoo, Culberson & Bates 1977, with the pH as a hobby meter reads it; Clegg & Whitfield 1995, with that pH moved "
    "to the total scale"
)


@dataclass(frozen=True)
class _Told:
    """How one system's ammonia is told: the heading, how heavy it is, what is said, and the rise if it climbs."""

    title: str
    weight: Weight
    said: tuple[str, ...]
    run: Sequence[AmmoniaAt] = ()


def ammonia_concerns(facts: Facts) -> Iterator[Concern]:
    """Yield a concern for each stocked system whose un-ionised ammonia is up, climbing, or not known.

    A reading that was worth a word and has grown old is told as not known any more, until a newer one takes its place.
    """
    for system in facts.household.systems.values():
        if not facts.household.living_in(system.key):
            continue
        series = _series(facts, system.key)
        if series:
            told = _told_now if _is_fresh(facts, series[-1]) else _told_then
            yield _concern(facts, system, series, told(facts, system, series))


def _series(facts: Facts, system: str) -> list[AmmoniaAt]:
    """Return the readings a concern rests on, none where the newest of all is not worth a word.

    Most are not, so the others are reckoned, and old ones read, only where the newest may matter.
    """
    newest = facts.newest_reading(system, "total_ammonia")
    if newest is None or (facts.now - newest.at > RECENT and worst_of_unknown_water(facts, newest) < _watch()):
        return []
    readings = facts.readings_of if facts.now - newest.at > RECENT else facts.recent_readings
    if not _is_worth_saying(ammonia_at(facts, system, readings, newest)):
        return []
    return ammonia_series(facts, system, readings)


def _watch() -> float:
    return knowledge.figure("ammonia.watch_mg_n_per_l").value


def _act() -> float:
    return knowledge.figure("ammonia.act_mg_n_per_l").value


def _is_fresh(facts: Facts, newest: AmmoniaAt) -> bool:
    limit = knowledge.figure("reading.stale_hours.total_ammonia").value
    return hours_of(facts.now) - hours_of(newest.at) <= limit


def _is_worth_saying(newest: AmmoniaAt) -> bool:
    return newest.is_beyond or newest.cautious >= _watch()


def _told_now(facts: Facts, system: SystemState, series: Sequence[AmmoniaAt]) -> _Told:
    newest, run = series[-1], climb(series)
    title: str
    weight: Weight
    if newest.is_beyond:
        title, weight = "ammonia is above what the test can read", "now"
    elif run:
        title, weight = "ammonia is climbing", "now" if newest.cautious >= _act() else "today"
    elif newest.value is not None:
        title = "ammonia is up" if newest.value >= _watch() else "ammonia may be up"
        weight = "now" if newest.cautious >= _act() else "watch"
    else:
        title, weight = "ammonia is not known", "today" if newest.worst >= _act() else "watch"
    return _Told(f"{system.name}: {title}", weight, said_now(facts, system, newest, run), run)


def _told_then(facts: Facts, system: SystemState, series: Sequence[AmmoniaAt]) -> _Told:
    newest = series[-1]
    weight: Weight = "today" if newest.is_beyond or newest.cautious >= _act() else "watch"
    return _Told(f"{system.name}: ammonia is not known any more", weight, said_then(facts, system, newest))


def _concern(facts: Facts, system: SystemState, series: Sequence[AmmoniaAt], told: _Told) -> Concern:
    newest = series[-1]
    since = told.run[0] if told.run else newest
    return Concern(
        key=f"ammonia.{system.key}",
        about=about(system),
        title=told.title,
        weight=told.weight,
        weight_words=WEIGHT_WORDS[told.weight],
        since=since.at.astimezone(facts.zone).date(),
        said=told.said,
        just_before=_just_before(facts, system, since),
        next_steps=(
            NextStep("Write the water change", form="water-change", answers=(("system", system.key),)),
            NextStep("Read it again", form="readings", answers=(("system", system.key),)),
        ),
        evidence=(
            *(Evidence("total ammonia", one.at, one.taken.id) for one in told.run or [newest]),
            *(Evidence(COMPANION_NAMES[one.reading.constituent], one.at, one.id) for one in newest.companions),
        ),
        reasons=_reasons(newest),
        cautions=_cautions(facts, system),
    )


def _reasons(newest: AmmoniaAt) -> tuple[Reason, ...]:
    urgent = knowledge.figure("ammonia.urgent_mg_n_per_l")
    harm = reason(
        "ammonia.act_mg_n_per_l", f"Harm may begin near {_act():g}{THIN_SPACE}mg/L as N; urgent from {urgent.value:g}."
    )
    relation = Reason(_RELATION, _WAYS, "published")
    if newest.value is not None:
        return harm, relation
    by_custom = knowledge.figure("ammonia.total_change_water_mg_n_per_l")
    words = f"By custom, total ammonia of {by_custom.value:g}{THIN_SPACE}mg/L as N alone calls for a water change."
    return harm, reason(by_custom.key, words), relation


def _cautions(facts: Facts, system: SystemState) -> tuple[str, ...]:
    """Return what must not be poured in: a binder sets copper free."""
    if copper_course_in(facts, system) is None:
        return ()
    return tuple(one.text for one in knowledge.cautions_for("ammonia_binder"))


def _just_before(facts: Facts, system: SystemState, began: AmmoniaAt) -> tuple[Coincidence, ...]:
    arrived = [
        Coincidence(f"{animal.name} came in {when(stay.since, facts.now, facts.zone)}", stay.since, stay.entry)
        for animal in facts.household.living_in(system.key)
        for stay in animal.stays[-1:]
        if abs(stay.since - began.at) <= span_before()
    ]
    changes = water_events(facts, system.key, began.at - span_before(), began.at)
    return tuple((arrived + changes)[:4])
