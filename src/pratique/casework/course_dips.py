"""The dips of a course: where the level likely fell under the band once it was reached, and what went before."""

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.chances import chance_with_error
from pratique.casework.coincidences import water_events
from pratique.casework.copper import CourseCopper
from pratique.casework.facts import Facts
from pratique.casework.reckoning.reckoned import Level, Reckoned
from pratique.casework.sheets import LikelyDip
from pratique.casework.words import amount, day_words

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.exposure import Dip

_DAY = timedelta(days=1)


def likely_spans(copper: CourseCopper) -> list[tuple[datetime, datetime]]:
    """Return from when to when each dip lay that is likelier than not."""
    found = copper.reckoned
    if found is None:
        return []
    moment_of = found.ledger.moment_of
    return [(moment_of(dip.start_day), moment_of(dip.end_day)) for dip in likely_dips(copper)]


def likely_dips(copper: CourseCopper) -> "list[Dip]":
    """Return the dips that are likely enough to be told as such."""
    least = knowledge.figure("copper.dip_probability").value
    dips = copper.exposure.dips if copper.exposure is not None else ()
    return [dip for dip in dips if dip.probability.value >= least]


def dip_lines(facts: Facts, copper: CourseCopper) -> tuple[LikelyDip, ...]:
    """Return every dip that is worth naming, with its day, how sure it is, and what happened just before."""
    found, held = copper.reckoned, copper.exposure
    if found is None or held is None:
        return ()
    likely = likely_dips(copper)
    return tuple(_line(facts, copper, found, dip, is_likely=dip in likely) for dip in held.dips)


def _line(facts: Facts, copper: CourseCopper, found: Reckoned, dip: "Dip", *, is_likely: bool) -> LikelyDip:
    start, end, moment = (found.ledger.moment_of(day) for day in (dip.start_day, dip.end_day, dip.day))
    lower = amount(copper.course.target_lower, 2, "mg/L")
    lowest = min((level for _, level in found.ribbon(start, end)), key=lambda level: level.median, default=None)
    words = (
        f"{dip_day(facts, copper, moment)}: under {lower} with a chance of {chance_with_error(dip.probability)}"
        f"{_lowest_words(lowest)}."
    )
    near = timedelta(hours=knowledge.figure("copper.dip_look_back_hours").value)
    before = sorted(
        water_events(facts, copper.course.system, start - near, start), key=lambda one: one.happened_at, reverse=True
    )
    return LikelyDip(words=words, probability=dip.probability.value, is_likely=is_likely, just_before=tuple(before))


def dip_day(facts: Facts, copper: CourseCopper, moment: datetime) -> str:
    """Return the day of a moment by the calendar and by the course: `12 March, day 11 of the course`."""
    day = day_words(moment.astimezone(facts.zone).date())
    return f"{day}, day {(moment - (copper.course.started or moment)) // _DAY + 1} of the course"


def _lowest_words(lowest: Level | None) -> str:
    if lowest is None:
        return ""
    span = f"between {amount(lowest.low, 2)} and {amount(lowest.high, 2, 'mg/L')}"
    return f"; at its lowest {amount(lowest.median, 2)}, {span}"
