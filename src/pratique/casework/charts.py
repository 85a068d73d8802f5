"""What each chart shows, from what the ledger says."""

import math
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.ammonia import AmmoniaAt, ammonia_series
from pratique.casework.copper import CourseCopper
from pratique.casework.facts import Facts, TakenReading
from pratique.casework.health import AnimalHealth, ratio_error, usual_count_s
from pratique.casework.methods import reading_words
from pratique.casework.ph import judged_range
from pratique.casework.sheets import Chart, ChartMark, ChartPoint, ChartReading
from pratique.casework.timeline import at_hours, hours_of
from pratique.casework.words import amount, plus_minus, sentence_case
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.water import Dose, Reading, WaterChange
from pratique.ledger.queries import Point
from pratique.ledger.states import SystemState
from pratique.science.estimation.reading import NORMAL_95

WINDOW = timedelta(days=45)
# What of the time before a course its chart shows.
LEAD_IN = timedelta(days=3)
_SCALES = "All readings are drawn as a hobby meter reads pH (NBS), also those on another scale."
AMMONIA_BEYOND = "not known: total ammonia was above what the test can read"


def copper_chart(facts: Facts, copper: CourseCopper) -> Chart | None:
    """Return the copper level of a course with its band, readings, doses and changes."""
    course = copper.course
    if course.started is None or not copper.is_reckoned:
        return None
    shown = [one for one in copper.entries if one.happened_at >= course.started - LEAD_IN]
    readings = [one for one in shown if isinstance(one.payload, Reading)]
    start = min([course.started, *(one.happened_at for one in shown)])
    return Chart(
        title=f"Copper in {facts.household.system_or_missing(course.system).name}",
        description=f"Copper level of {course.name} with its target band, readings, doses and water changes.",
        unit="mg/L",
        decimals=2,
        start=start,
        end=copper.end,
        line=_line(copper, since=start),
        readings=tuple(_reading(facts, one, payload) for one in readings if (payload := _payload(one)) is not None),
        marks=tuple(mark for one in shown if (mark := _mark(one)) is not None),
        band=(course.target_lower, course.target_upper),
        band_words=f"target {amount(course.target_lower, 2)} to {amount(course.target_upper, 2)}",
        hard_upper=course.hard_upper,
        note="The line is a mass balance: doses and changes, set right at each reading, nothing lost in between. "
        "Its shade is the error of the last reading and of the volume, 95 %.",
    )


def _payload(entry: Recorded) -> Reading | None:
    return entry.payload if isinstance(entry.payload, Reading) else None


def _line(copper: CourseCopper, *, since: datetime) -> tuple[ChartPoint, ...]:
    if copper.track is None:
        return ()
    found = []
    opens = hours_of(since)
    for step in copper.track.steps:
        if step.end <= max(step.start, opens) or step.cause == "start" or not step.is_known:
            continue
        low, high = max(0.0, step.level - step.plus_minus), step.level + step.plus_minus
        found.append(ChartPoint(at_hours(max(step.start, opens)), low, step.level, high, jump=True))
        found.append(ChartPoint(at_hours(step.end), low, step.level, high))
    return tuple(found)


def _reading(facts: Facts, entry: Recorded, reading: Reading) -> ChartReading:
    spread = judged_range(facts, reading)
    words = reading_words(facts.household, reading)
    if reading.below is not None:
        return ChartReading(entry.happened_at, 0.0, spread.high, spread.high, "below", words, entry.id)
    if math.isinf(spread.high):
        return ChartReading(entry.happened_at, spread.low, spread.low, spread.low, "above", words, entry.id)
    if reading.low is not None:
        return ChartReading(entry.happened_at, spread.low, spread.centre, spread.high, "box", words, entry.id)
    return ChartReading(entry.happened_at, spread.low, spread.centre, spread.high, "bar", words, entry.id)


def _mark(entry: Recorded) -> ChartMark | None:
    match entry.payload:
        case Dose() as dose:
            much = amount(dose.amount_ml, 1, "mL") if dose.amount_ml else amount(dose.amount_mg or 0, 1, "mg")
            return ChartMark(entry.happened_at, "dose", f"dose of {much}", entry.id)
        case WaterChange(emptied=True):
            return ChartMark(entry.happened_at, "change", "emptied and refilled", entry.id)
        case WaterChange(volume_l=float(litres)):
            return ChartMark(entry.happened_at, "change", f"water change of {amount(litres, 0, 'L')}", entry.id)
        case _:
            return None


def ammonia_chart(facts: Facts, system: SystemState) -> Chart | None:
    """Return un-ionised ammonia in a system at each reading of total ammonia."""
    series = [one for one in ammonia_series(facts, system.key, facts.readings_of) if facts.now - one.at <= WINDOW]
    if len(series) < 2:
        return None
    act = knowledge.figure("ammonia.act_mg_n_per_l").value
    return Chart(
        title=f"Un-ionised ammonia in {system.name}",
        description="Un-ionised ammonia as nitrogen, from total ammonia, pH, temperature and salinity.",
        unit="mg/L as N",
        decimals=3,
        start=series[0].at,
        end=facts.now,
        readings=tuple(_ammonia_reading(one) for one in series),
        marks=_marks_in(facts, system.key, series[0].at),
        band=(0.0, knowledge.figure("ammonia.watch_mg_n_per_l").value),
        band_words="little to fear",
        hard_upper=act,
        note="Where pH, temperature or salinity was missing or old, the box reaches up to the worst plausible value.",
    )


def _ammonia_reading(one: AmmoniaAt) -> ChartReading:
    if one.is_beyond:
        return ChartReading(one.at, one.worst, one.worst, one.worst, "above", AMMONIA_BEYOND, one.taken.id)
    if one.value is None or one.low is None or one.high is None:
        words = f"not known; at worst {amount(one.worst, 3, 'mg/L as N')}"
        return ChartReading(one.at, 0.0, one.worst / 2, one.worst, "box", words, one.taken.id)
    return ChartReading(one.at, one.low, one.value, one.high, "bar", one.level_words, one.taken.id)


def _marks_in(facts: Facts, system: str, since: datetime) -> tuple[ChartMark, ...]:
    found = (_change_mark(one) for one in facts.changes_of(system) if one.happened_at >= since)
    return tuple(found)


def _change_mark(one: Point) -> ChartMark:
    words = "emptied and refilled" if one.number is None else f"water change of {amount(one.number, 0, 'L')}"
    return ChartMark(one.happened_at, "change", words, one.entry)


def constituent_chart(facts: Facts, system: SystemState, constituent: str) -> Chart | None:
    """Return the readings of one constituent in a system."""
    taken: Sequence[TakenReading] = [
        one for one in facts.readings_of(system.key, constituent) if facts.now - one.at <= WINDOW
    ]
    if len(taken) < 3:
        return None
    figure = knowledge.constituent(constituent)
    return Chart(
        title=f"{sentence_case(figure.name)} in {system.name}",
        description=f"Readings of {figure.name} with the error of their method.",
        unit="" if constituent == "ph" else figure.unit,
        decimals=figure.decimals,
        start=taken[0].at,
        end=facts.now,
        readings=tuple(_reading(facts, one.entry, one.reading) for one in taken),
        marks=_marks_in(facts, system.key, taken[0].at),
        y_from_zero=constituent not in {"ph", "temperature", "salinity", "alkalinity", "calcium", "magnesium"},
        note=_SCALES if any(one.reading.scale != "nbs" for one in taken) else "",
    )


def breathing_chart(health: AnimalHealth) -> Chart | None:
    """Return an animal's breathing counts with its own baseline as the band."""
    counted = health.facts.seen_of(health.subject, "beats")
    if len(counted) < 3:
        return None
    counted_s = {one.entry_text: one.number for one in health.facts.seen_of(health.subject, "counted")}
    found = health.breathing
    spread = found.baseline_plus_minus or 0.0
    band = (found.baseline - spread, found.baseline + spread) if found.baseline is not None else None
    return Chart(
        title=f"Breathing of {health.animal.name}",
        description="Gill beats a minute, with the animal's own rate at rest as a band.",
        unit="beats/min",
        decimals=0,
        start=counted[0].happened_at,
        end=health.facts.now,
        readings=tuple(_count(one, counted_s.get(one.entry_text)) for one in counted),
        band=band,
        band_words="its own rate at rest",
        y_from_zero=False,
    )


def _count(one: Point, counted_s: float | None) -> ChartReading:
    """Return a count with its error: ±1 beat in the time counted."""
    beats, error = one.number or 0.0, 60.0 / (counted_s or usual_count_s())
    words = plus_minus(beats, error, 0, "beats/min")
    return ChartReading(one.happened_at, beats - error, beats, beats + error, "bar", words, one.entry)


def condition_chart(health: AnimalHealth) -> Chart | None:
    """Return an animal's body depth over length."""
    measured = health.facts.seen_of(health.subject, "depth")
    if len(measured) < 2:
        return None
    errors = {one.entry_text: one.number for one in health.facts.seen_of(health.subject, "depth-plus-minus")}
    return Chart(
        title=f"Body of {health.animal.name}",
        description="Body depth divided by length, measured on photos.",
        unit="depth/length",
        decimals=2,
        start=measured[0].happened_at,
        end=health.facts.now,
        readings=tuple(_depth(one, errors.get(one.entry_text)) for one in measured),
        y_from_zero=False,
    )


def _depth(one: Point, error: float | None) -> ChartReading:
    ratio = one.number or 0.0
    spread = error if error is not None else NORMAL_95 * ratio_error() * ratio
    words = plus_minus(ratio, spread, 2)
    return ChartReading(one.happened_at, ratio - spread, ratio, ratio + spread, "bar", words, one.entry)


def only_charts(charts: Iterable[Chart | None]) -> tuple[Chart, ...]:
    """Return the charts that have something to show."""
    return tuple(chart for chart in charts if chart is not None)
