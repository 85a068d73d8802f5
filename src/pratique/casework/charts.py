"""What each chart shows, from what the ledger says."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.ammonia import AmmoniaAt, ammonia_series
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth, ratio_error, usual_count_s
from pratique.casework.sheets import Chart, ChartMark, ChartReading
from pratique.casework.words import amount, plus_minus
from pratique.ledger.queries import Point
from pratique.ledger.states import SystemState
from pratique.science.estimation.reading import NORMAL_95

WINDOW = timedelta(days=45)
_SCALES = "All readings are drawn as a hobby meter reads pH (NBS), also those on another scale."
AMMONIA_BEYOND = "not known: total ammonia was above what the test can read"


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
