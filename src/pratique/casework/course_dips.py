"""The dips of a course: where the level likely fell under the band once it was reached, and which days that costs."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.chances import chance_with_error
from pratique.casework.coincidences import water_events
from pratique.casework.copper import CourseCopper
from pratique.casework.facts import Facts
from pratique.casework.reckoning.reckoned import Level
from pratique.casework.sheets import LikelyDip
from pratique.casework.words import amount, day_words

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.exposure import Chance

_DAY = timedelta(days=1)


@dataclass(frozen=True)
class CourseDip:
    """A stretch in which the level may have lain under the band after it was reached; `likeliest` is its worst time.

    `is_likely` where that is likely enough to act on.
    """

    start: datetime
    end: datetime
    likeliest: datetime
    chance: "Chance"
    is_likely: bool


def dips_of(copper: CourseCopper) -> tuple[CourseDip, ...]:
    """Return every dip of a course that is worth naming, the oldest first."""
    found, held = copper.reckoned, copper.exposure
    if found is None or held is None:
        return ()
    least, moment_of = knowledge.figure("copper.dip_probability").value, found.ledger.moment_of
    return tuple(
        CourseDip(
            start=moment_of(dip.start_day),
            end=moment_of(dip.end_day),
            likeliest=moment_of(dip.day),
            chance=dip.probability,
            is_likely=dip.probability.value >= least,
        )
        for dip in held.dips
    )


def likely_dips(copper: CourseCopper) -> tuple[CourseDip, ...]:
    """Return the dips that are likely enough to be told as such."""
    return tuple(dip for dip in dips_of(copper) if dip.is_likely)


def lost_days(copper: CourseCopper) -> frozenset[int]:
    """Return the days of a course, from 0, that were likely held and count no more, as a likely dip came after."""
    held, began, dips = copper.exposure, copper.course.started, likely_dips(copper)
    if held is None or began is None or not dips:
        return frozenset()
    even, last = knowledge.figure("exposure.day_held_probability").value, max(dip.end for dip in dips)
    return frozenset(
        day.index
        for day in held.days
        if day.held.value >= even and day.credited.value < even and began + (day.index + 1) * _DAY <= last
    )


def dip_lines(facts: Facts, copper: CourseCopper) -> tuple[LikelyDip, ...]:
    """Return every dip that is worth naming, with its day, how sure it is, and what happened just before."""
    return tuple(_line(facts, copper, dip) for dip in dips_of(copper))


def _line(facts: Facts, copper: CourseCopper, dip: CourseDip) -> LikelyDip:
    near = timedelta(hours=knowledge.figure("copper.dip_look_back_hours").value)
    before = sorted(
        water_events(facts, copper.course.system, dip.start - near, dip.start),
        key=lambda one: one.happened_at,
        reverse=True,
    )
    words = f"{dip_day(facts, copper, dip.likeliest)}: {depth_words(copper, dip)}."
    return LikelyDip(words=words, probability=dip.chance.value, is_likely=dip.is_likely, just_before=tuple(before))


def depth_words(copper: CourseCopper, dip: CourseDip) -> str:
    """Return how surely the level lay under the band in a dip, and how low it went."""
    lower = amount(copper.course.target_lower, 2, "mg/L")
    return f"under {lower} with a chance of {chance_with_error(dip.chance)}{_lowest_words(_lowest(copper, dip))}"


def dip_day(facts: Facts, copper: CourseCopper, moment: datetime) -> str:
    """Return the day of a moment by the calendar and by the course: `12 March, day 11 of the course`."""
    return dip_span(facts, copper, moment, moment)


def dip_span(facts: Facts, copper: CourseCopper, start: datetime, end: datetime) -> str:
    """Return the days from one moment to another: `12 March to 13 March, days 11 to 12 of the course`."""
    first, last = (day_words(one.astimezone(facts.zone).date()) for one in (start, end))
    opens, closes = ((one - (copper.course.started or start)) // _DAY + 1 for one in (start, end))
    dates = first if first == last else f"{first} to {last}"
    days = f"day {opens}" if opens == closes else f"days {opens} to {closes}"
    return f"{dates}, {days} of the course"


def _lowest(copper: CourseCopper, dip: CourseDip) -> Level | None:
    ribbon = copper.reckoned.ribbon(dip.start, dip.end) if copper.reckoned is not None else ()
    return min((level for _, level in ribbon), key=lambda level: level.median, default=None)


def _lowest_words(lowest: Level | None) -> str:
    if lowest is None:
        return ""
    span = f"between {amount(lowest.low, 2)} and {amount(lowest.high, 2, 'mg/L')}"
    return f"; at its lowest {amount(lowest.median, 2)}, {span}"
