"""The chart of a course of copper: its level, its band, what was read and what was done."""

from datetime import datetime, timedelta

from pratique.casework.copper import CourseCopper
from pratique.casework.drawn_entries import drawn_deed, drawn_reading
from pratique.casework.facts import Facts
from pratique.casework.sheets import Chart, ChartPoint
from pratique.casework.timeline import at_hours, hours_of
from pratique.casework.words import amount
from pratique.ledger.kinds.water import Reading

# What of the time before a course its chart shows.
LEAD_IN = timedelta(days=3)


def copper_chart(facts: Facts, copper: CourseCopper) -> Chart | None:
    """Return the copper level of a course with its band, readings, doses and changes."""
    course = copper.course
    if course.started is None or not copper.is_reckoned:
        return None
    shown = [one for one in copper.entries if one.happened_at >= course.started - LEAD_IN]
    start = min([course.started, *(one.happened_at for one in shown)])
    return Chart(
        title=f"Copper in {facts.household.system_or_missing(course.system).name}",
        description=f"Copper level of {course.name} with its target band, readings, doses and water changes.",
        unit="mg/L",
        decimals=2,
        start=start,
        end=copper.end,
        line=_line(copper, since=start),
        readings=tuple(drawn_reading(facts, one, one.payload) for one in shown if isinstance(one.payload, Reading)),
        marks=tuple(mark for one in shown if (mark := drawn_deed(one)) is not None),
        band=(course.target_lower, course.target_upper),
        band_words=f"target {amount(course.target_lower, 2)} to {amount(course.target_upper, 2)}",
        hard_upper=course.hard_upper,
        note="The line is a mass balance: doses and changes, set right at each reading, nothing lost in between. "
        "Its shade is the error of the last reading and of the volume, 95 %.",
    )


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
