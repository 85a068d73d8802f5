"""Concerns about un-ionised ammonia in water that has no filter to speak of."""

from collections.abc import Iterator, Sequence

from pratique import knowledge
from pratique.casework.ammonia import AmmoniaAt, ammonia_series
from pratique.casework.coincidences import water_events
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, reason
from pratique.casework.copper import course_copper
from pratique.casework.dosing import make_up_words
from pratique.casework.facts import Facts
from pratique.casework.methods import reading_words
from pratique.casework.sheets import Coincidence, Concern, Evidence, NextStep, Reason, Weight
from pratique.casework.timeline import hours_of
from pratique.casework.words import THIN, amount, listed, plus_minus, when
from pratique.ledger.states import CourseState, SystemState
from pratique.science.chemistry.dilution import change_fraction_to_reach

_UNIT = "mg/L as N"
_NAMES = {"ph": "pH", "temperature": "temperature", "salinity": "salinity"}
_RELATION = (
    f"The simple relation reads a little high on purpose; any two methods agree to ±15{THIN}%, "
    "and a pH wrong by 0.1 moves it by about a quarter."
)


def ammonia_concerns(facts: Facts) -> Iterator[Concern]:
    """Yield a concern for each stocked system whose un-ionised ammonia is up, climbing, or not known."""
    for system in facts.household.systems.values():
        if not facts.household.living_in(system.key):
            continue
        series = ammonia_series(facts, system.key, facts.recent_readings)
        if series and _is_fresh(facts, series[-1]) and _is_worth_saying(series):
            yield _concern(facts, system, series)


def climb(series: Sequence[AmmoniaAt]) -> list[AmmoniaAt]:
    """Return the unbroken run of rising known values that ends with the newest one."""
    known = [one for one in series if one.value is not None]
    run = known[-1:]
    for earlier in reversed(known[:-1]):
        if (earlier.value or 0.0) >= (run[0].value or 0.0):
            break
        run.insert(0, earlier)
    return run


def is_climbing(series: Sequence[AmmoniaAt]) -> bool:
    """Return whether the newest values rose often enough in a row to call it climbing."""
    return len(climb(series)) >= int(knowledge.figure("ammonia.climbing_readings").value)


def _is_fresh(facts: Facts, newest: AmmoniaAt) -> bool:
    limit = knowledge.figure("reading.stale_hours.total_ammonia").value
    return hours_of(facts.now) - hours_of(newest.at) <= limit


def _is_worth_saying(series: Sequence[AmmoniaAt]) -> bool:
    newest = series[-1]
    watch = knowledge.figure("ammonia.watch_mg_n_per_l").value
    if newest.cautious < watch:
        return False
    # A missing pH matters only where there is ammonia to speak of.
    return newest.value is not None or newest.taken.reading.below is None


def _weight(series: Sequence[AmmoniaAt]) -> Weight:
    newest = series[-1].cautious
    if newest >= knowledge.figure("ammonia.act_mg_n_per_l").value:
        return "now" if series[-1].value is not None else "today"
    return "today" if is_climbing(series) else "watch"


def _concern(facts: Facts, system: SystemState, series: Sequence[AmmoniaAt]) -> Concern:
    newest, run = series[-1], climb(series)
    rising = is_climbing(series)
    weight = _weight(series)
    title = (
        f"{system.name}: ammonia is climbing"
        if rising
        else f"{system.name}: ammonia is up"
        if newest.value is not None
        else f"{system.name}: ammonia is not known"
    )
    since = run[0].at if rising else newest.at
    return Concern(
        key=f"ammonia.{system.key}",
        about=about(system),
        title=title,
        weight=weight,
        weight_words=WEIGHT_WORDS[weight],
        since=since.astimezone(facts.zone).date(),
        said=_said(facts, system, newest, run if rising else []),
        just_before=_just_before(facts, system, series),
        next_steps=(
            NextStep("Write the water change", form="water-change", answers=(("system", system.key),)),
            NextStep("Read it again", form="readings", answers=(("system", system.key),)),
        ),
        evidence=(
            *(Evidence("total ammonia", one.at, one.taken.id) for one in (run if rising else [newest])),
            *(Evidence(_NAMES[one.reading.constituent], one.at, one.id) for one in newest.companions),
        ),
        reasons=(
            reason("ammonia.act_mg_n_per_l", f"Harm may begin near 0.05{THIN}{_UNIT}; urgent from 0.1."),
            Reason(
                _RELATION,
                "Khoo, Culberson & Bates 1977, with the pH as a hobby meter reads it",
                "published",
            ),
        ),
        cautions=_cautions(facts, system),
    )


def _open_course(facts: Facts, system: SystemState) -> CourseState | None:
    return next((one for one in facts.household.courses_of(system.key) if one.standing == "open"), None)


def _cautions(facts: Facts, system: SystemState) -> tuple[str, ...]:
    """Return what must not be poured in: a binder sets copper free."""
    if _open_course(facts, system) is None:
        return ()
    return tuple(one.text for one in knowledge.cautions_for("ammonia_binder"))


def _said(facts: Facts, system: SystemState, newest: AmmoniaAt, run: Sequence[AmmoniaAt]) -> tuple[str, ...]:
    moment = when(newest.at, facts.now, facts.zone)
    total = reading_words(facts.household, newest.taken.reading)
    said = []
    if newest.value is not None:
        level = plus_minus(newest.value, newest.plus_minus or 0.0, 3, _UNIT)
        said.append(f"Un-ionised ammonia {level} {moment}, from total ammonia {total}.")
    else:
        said.append(
            f"Not known: {_why_not_known(newest)}. Total ammonia was {total} {moment}; "
            f"at worst {amount(newest.worst, 3, _UNIT)} of it is un-ionised."
        )
    if run:
        first = run[0]
        days = max((hours_of(newest.at) - hours_of(first.at)) / 24, 1 / 24)
        a_day = ((newest.value or 0.0) - (first.value or 0.0)) / days
        said.append(
            f"It has risen with every reading since {when(first.at, facts.now, facts.zone).removeprefix('on ')}, "
            f"by about {amount(a_day, 3, 'mg/L')} a day."
        )
    said += _what_a_change_does(facts, system, newest)
    return tuple(said)


def _why_not_known(newest: AmmoniaAt) -> str:
    if not newest.missing:
        return "pH, temperature or salinity lies outside what the relation was made for"
    names = listed([_NAMES[one] for one in newest.missing])
    return f"{names} {'is' if len(newest.missing) == 1 else 'are'} missing or old"


def _what_a_change_does(facts: Facts, system: SystemState, newest: AmmoniaAt) -> list[str]:
    if system.net_volume_l is None:
        return ["How much water to change is not said: the net volume is not known."]
    level = newest.cautious
    target = knowledge.figure("ammonia.watch_mg_n_per_l").value
    if level <= target:
        return []
    # More than half at once would be a shock of its own.
    fraction = min(0.5, change_fraction_to_reach(level, target))
    litres = fraction * system.net_volume_l
    left = level * (1 - fraction)
    return [
        f"Changing {amount(litres, 0, 'L')} (matched in salinity and temperature) would leave about "
        f"{amount(left, 3, 'mg/L')}.",
        *_what_it_takes_of_copper(facts, system, litres),
    ]


def _what_it_takes_of_copper(facts: Facts, system: SystemState, litres: float) -> list[str]:
    course = _open_course(facts, system)
    if course is None:
        return []
    return [make_up_words(facts, course_copper(facts, course), changed_l=litres)]


def _just_before(facts: Facts, system: SystemState, series: Sequence[AmmoniaAt]) -> tuple[Coincidence, ...]:
    run = climb(series)
    since = run[0].at if is_climbing(series) else series[-1].at
    arrived = [
        Coincidence(f"{animal.name} came in {when(stay.since, facts.now, facts.zone)}", stay.since, stay.entry)
        for animal in facts.household.living_in(system.key)
        for stay in animal.stays[-1:]
        if abs(hours_of(stay.since) - hours_of(since)) <= 72
    ]
    from_hours = since.timestamp() - 72 * 3600
    changes = [
        one
        for one in water_events(facts, system.key, facts.since, facts.now)
        if from_hours <= one.happened_at.timestamp() <= since.timestamp()
    ]
    return tuple((arrived + changes)[:4])
