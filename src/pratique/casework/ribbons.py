"""The level of one constituent in a system as it is drawn: a ribbon through its readings, and the days ahead."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT as COPPER
from pratique.casework.copper_water import water_copper
from pratique.casework.drawn_entries import drawn_deed, drawn_reading
from pratique.casework.facts import Facts, TakenReading
from pratique.casework.going_on import FOOD_GOES_ON, food_going_on
from pratique.casework.limits import limits_in
from pratique.casework.reckoning.priors import prior_of
from pratique.casework.reckoning.reckoned import Level, Reckoned, reckoned
from pratique.casework.sheets import Chart, ChartMark, ChartPoint
from pratique.casework.sheets.chart import ChartLine
from pratique.casework.words import sentence_case
from pratique.ledger.states import SystemState
from pratique.science.estimation.case import Pulse

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    type Array = NDArray[np.float64]

WINDOW = timedelta(days=30)
_AHEAD = timedelta(days=4)
_AHEAD_STEP_HOURS = 3.0
# The quantiles of a ribbon among PROBABILITIES: 2.5, 25, 50, 75 and 97.5 %.
_DRAWN = (0, 2, 3, 4, 6)
_NOT_FROM_ZERO = frozenset({"ph", "temperature", "salinity", "alkalinity", "calcium", "magnesium"})
_SCALES = "All readings are drawn as a hobby meter reads pH (NBS), also those on another scale."


def reckoned_in(facts: Facts, system: SystemState, constituent: str) -> Reckoned | None:
    """Return what is reckoned of a constituent in a system up to now, copper in the form the system holds."""
    if constituent != COPPER:
        return reckoned(facts, system, constituent)
    water = water_copper(facts, system)
    return water.reckoned if water is not None else None


def ribbon_chart(
    facts: Facts, system: SystemState, constituent: str, *, said: Sequence[ChartLine] = ()
) -> Chart | None:
    """Return a constituent's level of the last weeks and the next days; None where it was not read in that time.

    `said` are sentences to stand under it.
    """
    taken = [one for one in facts.readings_of(system.key, constituent) if facts.now - one.at <= WINDOW]
    if not taken:
        return None
    found = reckoned_in(facts, system, constituent)
    # Copper is reckoned from its course on; a reading of before has no ribbon and is left to that course's own page.
    begun = found.ledger.start if found is not None else taken[0].at
    chart = past_chart(facts, system, constituent, found, since=max(taken[0].at, begun))
    ahead, food = _days_ahead(found) if chart.line else ((), ())
    return replace(
        with_food(with_days_ahead(chart, ahead), food),
        said=tuple(said),
        leads_to=(system.key, constituent),
        way_on=_way_on(found),
    )


def _way_on(found: Reckoned | None) -> str:
    is_moved = found is not None and prior_of(found.ledger.constituent, form=found.ledger.form).has_litres
    return "What would a dose or a change do?" if is_moved else "The coming week"


def past_chart(
    facts: Facts, system: SystemState, constituent: str, found: Reckoned | None, *, since: datetime
) -> Chart:
    """Return a constituent's level from a moment to now, with its readings, what was done, and its limits."""
    taken = [one for one in facts.readings_of(system.key, constituent) if one.at >= since]
    deeds, limits = _deeds_of(found, since=since), limits_in(facts, system, constituent)
    name = name_of(constituent)
    return Chart(
        title=f"{sentence_case(name)} in {system.name}",
        description=f"Level of {name}, reckoned from readings, doses and water changes.",
        unit="" if constituent == "ph" else knowledge.constituent(constituent).unit,
        decimals=knowledge.constituent(constituent).decimals,
        start=since,
        end=facts.now,
        line=_past_of(found, since=since, until=facts.now, deeds=deeds),
        readings=tuple(drawn_reading(facts, one.entry, one.reading) for one in taken),
        marks=deeds,
        band=(limits.lower, limits.upper) if limits is not None else None,
        band_words=limits.words if limits is not None else "",
        hard_upper=limits.hard_upper if limits is not None else None,
        y_from_zero=constituent not in _NOT_FROM_ZERO,
        note=_note_of(found, taken),
    )


def with_days_ahead(chart: Chart, ahead: Sequence[ChartPoint], planned: Sequence[ChartMark] = ()) -> Chart:
    """Return a chart with the days that are to be expected after what was, and what is planned in them."""
    if not ahead:
        return chart
    return replace(
        chart,
        description=f"{chart.description} After the upright line, what is to be expected.",
        end=max(chart.end, ahead[-1].at),
        line=(*chart.line, *ahead),
        marks=(*chart.marks, *planned),
        expected_from=ahead[0].at,
    )


def with_food(chart: Chart, food: Sequence[Pulse]) -> Chart:
    """Return a chart that says that food is taken to go on, where there is any."""
    return replace(chart, note=f"{chart.note} {FOOD_GOES_ON}".strip()) if food else chart


def name_of(constituent: str) -> str:
    """Return a constituent's name in a sentence."""
    return knowledge.constituent(constituent).name


def _deeds_of(found: Reckoned | None, *, since: datetime) -> tuple[ChartMark, ...]:
    """Return the doses and changes that a level rests on, from a moment on."""
    entries = found.ledger.entries if found is not None else ()
    deeds = (drawn_deed(one) for one in entries if one.happened_at >= since)
    return tuple(deed for deed in deeds if deed is not None)


def _past_of(
    found: Reckoned | None, *, since: datetime, until: datetime, deeds: Sequence[ChartMark]
) -> tuple[ChartPoint, ...]:
    """Return the ribbon of what was, broken where a dose or a change moved the level."""
    if found is None or found.problem:
        return ()
    return with_leaps([_point(at, level) for at, level in found.ribbon(since, until)], deeds)


def _point(at: datetime, level: Level) -> ChartPoint:
    return ChartPoint(at, level.low, level.median, level.high, False, level.inner_low, level.inner_high)


def _days_ahead(found: Reckoned | None) -> tuple[tuple[ChartPoint, ...], tuple[Pulse, ...]]:
    """Return the days to be expected with nothing done but feeding, and the food; none where the level is not known."""
    if found is None or found.now is None or found.running is None:
        return (), ()
    from pratique.science.estimation.forecast import ahead_of  # noqa: PLC0415 - loads the compiled loops
    from pratique.science.estimation.what_if import lightened  # noqa: PLC0415 - the same

    until = found.running.day + _AHEAD / timedelta(days=1)
    food = food_going_on(found, until_day=until)
    ahead = ahead_of(lightened(found.running), until_day=until, events=food, grid_hours=_AHEAD_STEP_HOURS)
    return expected_points(found, ahead.days, ahead.quantiles()), food


def expected_points(
    found: Reckoned, days: "Array", quantiles: "Array", deeds: Sequence[ChartMark] = ()
) -> tuple[ChartPoint, ...]:
    """Return the ribbon of what is to be expected after the end of what is reckoned, broken at what is planned.

    `quantiles` is (probability, day) at PROBABILITIES, as science gives them.
    """
    least = knowledge.constituent(found.ledger.constituent).possible_lower
    points = []
    for place, day in enumerate(days):
        low, inner_low, median, inner_high, high = (max(least, float(quantiles[row, place])) for row in _DRAWN)
        points.append(ChartPoint(found.ledger.moment_of(float(day)), low, median, high, False, inner_low, inner_high))
    return with_leaps(points, deeds)


def with_leaps(points: Sequence[ChartPoint], deeds: Sequence[ChartMark]) -> tuple[ChartPoint, ...]:
    """Return a ribbon that leaps at each deed, instead of sloping through the step of the grid it falls in."""
    return tuple(_leaping(points, sorted(deed.at for deed in deeds)))


def _leaping(points: Sequence[ChartPoint], moments: Iterable[datetime]) -> Iterator[ChartPoint]:
    waiting = list(moments)
    before: ChartPoint | None = None
    for point in points:
        passed = [one for one in waiting if one <= point.at]
        waiting = waiting[len(passed) :]
        if before is None or not passed or passed[-1] <= before.at:
            yield point
        else:
            yield _at(before, passed[-1], jump=False)
            yield _at(point, passed[-1], jump=True)
            if passed[-1] < point.at:
                yield point
        before = point


def _at(point: ChartPoint, moment: datetime, *, jump: bool) -> ChartPoint:
    return replace(point, at=moment, jump=jump)


def _note_of(found: Reckoned | None, taken: Sequence[TakenReading]) -> str:
    """Return what the drawing rests on that nobody told, and what is not in it."""
    said = []
    if found is not None:
        said += [found.problem] if found.problem else [*found.ledger.assumed]
        said += [found.ledger.ends_early] if found.ledger.ends_early else []
    if any(one.reading.scale != "nbs" for one in taken):
        said.append(_SCALES)
    return " ".join(said)
