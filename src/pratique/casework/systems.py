"""The pages of systems: the list, and one system with its water and who lives in it."""

from collections.abc import Iterator
from datetime import datetime

from pratique import knowledge
from pratique.casework.ammonia import ammonia_series
from pratique.casework.charts import ammonia_chart, only_charts
from pratique.casework.concerns.additions import open_cases
from pratique.casework.concerns.pieces import about
from pratique.casework.concerns.water import is_stale
from pratique.casework.consumption import ConsumptionLine, consumption_lines
from pratique.casework.facts import Facts
from pratique.casework.fallow_kept import fallow_words
from pratique.casework.forecasts import ForecastLine, forecast_lines
from pratique.casework.health import AnimalHealth, health_of
from pratique.casework.methods import method_by, reading_words
from pratique.casework.people import resident
from pratique.casework.ribbons import ribbon_chart
from pratique.casework.rounds import all_concerns, concerns_about
from pratique.casework.sheets import (
    Chart,
    Concern,
    LevelNow,
    ListGroup,
    ListLine,
    NextStep,
    Place,
    SystemSheet,
)
from pratique.casework.sheets.chart import ChartLine
from pratique.casework.unseen import no_concern_words
from pratique.casework.words import ago, amount, listed, plus_minus, sentence_case, short_day, when
from pratique.ledger.household import Household
from pratique.ledger.states import CourseState, SystemState

ROLE_WORDS = {
    "display": "display",
    "quarantine": "bare quarantine tank",
    "recovery": "clean tank to recover in",
    "holding": "holding tank",
}


def system_list(household: Household, *, now: datetime) -> tuple[ListGroup, ...]:
    """Return every system with the worst that is to be said of it."""
    facts = Facts(household, now)
    concerns = all_concerns(facts, health_of(facts))
    lines = []
    for system in household.systems.values():
        found = concerns_about(concerns, *_subjects(household, system))
        worst = found[0] if found else None
        count = len(household.living_in(system.key))
        lines.append(
            ListLine(
                about=about(system),
                words=f"{sentence_case(ROLE_WORDS[system.role])}, {volume_words(system)}",
                note=worst.title if worst else f"{count} animals or groups" if count else "nobody lives here",
                weight=worst.weight if worst else None,
                weight_words=worst.weight_words if worst else "",
            )
        )
    return (ListGroup(heading="Systems", lines=tuple(lines)),)


def volume_words(system: SystemState) -> str:
    """Return a system's volumes in words."""
    gross = f"{amount(system.gross_volume_l, 0, 'L')} gross"
    if system.net_volume_l is None:
        return f"{gross}, net volume not known"
    error = system.net_volume_plus_minus_l
    net = plus_minus(system.net_volume_l, error, 0, "L") if error else amount(system.net_volume_l, 0, "L")
    return f"{gross}, {net} net"


def _subjects(household: Household, system: SystemState) -> list[tuple[str, str]]:
    """Return everything whose concerns belong to a system: itself, its animals, courses and cases."""
    animals = [("animal", one.key) for one in household.living_in(system.key)]
    courses = [("course", one.key) for one in household.courses_of(system.key)]
    cases = [("case", one.key) for one in household.cases.values() if one.system == system.key]
    return [("system", system.key), *animals, *courses, *cases]


def system_sheet(household: Household, key: str, *, now: datetime) -> SystemSheet:
    """Return the page of a system; raises KeyError for one that is not known."""
    system = household.systems[key]
    facts = Facts(household, now)
    healths = health_of(facts)
    concerns = concerns_about(all_concerns(facts, healths), *_subjects(household, system))
    courses = [one for one in household.courses_of(key) if one.planned <= now]
    return SystemSheet(
        about=about(system),
        role_words=sentence_case(ROLE_WORDS[system.role]),
        volume_words=volume_words(system),
        gist=_gist(facts, system, healths, concerns),
        words=system.words,
        levels=_levels(facts, system),
        places=_places(household, system, healths),
        courses=tuple((about(one), _course_words(facts, one)) for one in courses),
        cases=tuple(
            (about(one), f"since {short_day(one.opened.astimezone(facts.zone).date())}")
            for one in open_cases(facts, key)
        ),
        charts=only_charts(
            [
                ammonia_chart(facts, system) if system.role != "display" else None,
                *_ribbons(facts, system),
            ]
        ),
        concerns=concerns,
        without_fish=fallow_words(household, key, now=now) if system.role == "display" else "",
        steps=_steps(system),
    )


def _ribbons(facts: Facts, system: SystemState) -> Iterator[Chart | None]:
    """Yield one ribbon for each constituent that is read, in the order a keeper reads them."""
    read = set(facts.constituents_read(system.key))
    told: list[ConsumptionLine | ForecastLine] = [*consumption_lines(facts, system), *forecast_lines(facts, system)]
    for constituent in knowledge.constituents():
        if constituent.key in read:
            said = [_under(one) for one in told if one.constituent == constituent.key]
            yield ribbon_chart(facts, system, constituent.key, said=said)


def _under(line: ConsumptionLine | ForecastLine) -> ChartLine:
    cautions = line.cautions if isinstance(line, ConsumptionLine) else ()
    return ChartLine(line.words, line.reasons, cautions)


def _gist(facts: Facts, system: SystemState, healths: dict[str, AnimalHealth], concerns: tuple[Concern, ...]) -> str:
    living = facts.household.living_in(system.key)
    names = [one.name for one in living]
    if len(names) > 5:
        who = f"{len(names)} animals or groups live in this water"
    elif names:
        who = f"{listed(names)} {'live' if len(names) > 1 else 'lives'} here"
    else:
        who = "Nobody lives here"
    if concerns:
        return f"{who}. {concerns[0].title}."
    here = [healths[one.key] for one in living if one.key in healths]
    return f"{who}. {no_concern_words(facts, here, [system])}"


def _course_words(facts: Facts, course: CourseState) -> str:
    if course.started is None:
        return f"planned {when(course.planned, facts.now, facts.zone)}"
    if course.stopped is None or course.stopped > facts.now:
        return f"begun {when(course.started, facts.now, facts.zone)}"
    began = short_day(course.started.astimezone(facts.zone).date())
    return f"{began} to {short_day(course.stopped.astimezone(facts.zone).date())}"


def _levels(facts: Facts, system: SystemState) -> tuple[LevelNow, ...]:
    found = []
    for constituent in knowledge.constituents():
        taken = facts.readings_of(system.key, constituent.key)
        if not taken:
            continue
        newest = taken[-1]
        found.append(
            LevelNow(
                constituent=constituent.key,
                name="pH" if constituent.key == "ph" else constituent.name,
                words=reading_words(facts.household, newest.reading),
                method=method_by(facts.household, newest.reading).name,
                happened_at=newest.at,
                age_words=ago(newest.at, facts.now),
                is_old=is_stale(facts, newest),
                entry=newest.id,
                judgement=_judgement(facts, system, constituent.key),
            )
        )
    return tuple(found)


def _judgement(facts: Facts, system: SystemState, constituent: str) -> str:
    if constituent != "total_ammonia":
        return ""
    newest = ammonia_series(facts, system.key, facts.readings_of)[-1]
    if newest.is_beyond:
        return "un-ionised not known: above what the test can read"
    if newest.value is None:
        return f"un-ionised not known; at worst {amount(newest.worst, 3, 'mg/L as N')}"
    return f"un-ionised {newest.level_words}"


def _places(household: Household, system: SystemState, healths: dict[str, AnimalHealth]) -> tuple[Place, ...]:
    living = household.living_in(system.key)
    places: list[tuple[str, str | None]] = [(system.name, None)]
    places += [(one.name, one.key) for one in household.compartments_of(system.key)]
    found = []
    for name, compartment in places:
        here = [one for one in living if one.place is not None and one.place.compartment == compartment]
        if here or compartment is not None:
            residents = tuple(resident(household, one, healths.get(one.key)) for one in here)
            found.append(Place(name=name, compartment=compartment, residents=residents))
    return tuple(found)


def _steps(system: SystemState) -> tuple[NextStep, ...]:
    own = (("system", system.key),)
    return (
        NextStep("Readings", form="readings", answers=own),
        NextStep("Feed", form="feeding", answers=own),
        NextStep("Water change", form="water-change", answers=own),
        NextStep("Dose", form="dose", answers=own),
        NextStep("Change what is known of it", form="system", answers=own),
    )
