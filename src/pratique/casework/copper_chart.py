"""The chart of a course of copper: its level, its band, what was read and what was done."""

from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT, CourseCopper
from pratique.casework.drawn_entries import drawn_deed, drawn_reading
from pratique.casework.facts import Facts
from pratique.casework.sheets import Chart, ChartPoint
from pratique.casework.words import amount
from pratique.ledger.kinds.water import Reading


def copper_chart(facts: Facts, copper: CourseCopper) -> Chart | None:
    """Return the copper level of a course with its band, readings, doses and changes."""
    course = copper.course
    if course.started is None or not copper.is_reckoned:
        return None
    lead_in = timedelta(days=knowledge.figure("copper.chart_lead_in_days").value)
    shown = [one for one in copper.entries if one.happened_at >= course.started - lead_in]
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
        leads_to=(course.system, CONSTITUENT) if course.standing == "open" else None,
        note="The line is the middle of what the doses, changes and readings allow for each hour: half of it lies in "
        "the inner range, 95 % in the outer. After the last reading has grown old nothing is drawn.",
    )


def _line(copper: CourseCopper, *, since: datetime) -> tuple[ChartPoint, ...]:
    """Return the level with its 50 and 95 % ranges, up to where the newest reading tells it."""
    found, known = copper.reckoned, copper.known_until
    if found is None or known is None:
        return ()
    return tuple(
        ChartPoint(moment, one.low, one.median, one.high, inner_low=one.inner_low, inner_high=one.inner_high)
        for moment, one in found.ribbon(since, min(known, copper.end))
    )
