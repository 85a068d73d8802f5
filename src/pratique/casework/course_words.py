"""How the page of a course opens: for how long it was held, how surely, and what is still missing."""

import math
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.copper import CourseCopper, last_seen
from pratique.casework.course_counts import ROUGH, is_under_way
from pratique.casework.course_dips import dip_day, dips_of, likely_dips
from pratique.casework.course_sureness import is_rough, is_surely_held, sure_days, sure_longest_days
from pratique.casework.facts import Facts
from pratique.casework.words import chance_words, days_words, listed, percent, when

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.exposure import Exposure


def heading(copper: CourseCopper) -> str:
    """Return for how long a course was held, with how sure the required days are once they can have passed."""
    course, held = copper.course, copper.exposure
    if course.started is None:
        return f"{course.name}: planned, not begun"
    if not copper.is_reckoned:
        return f"{course.name}: not reckoned"
    if held is None:
        return f"{course.name}: the level is not known, so no day counts"
    return _held(copper, held)


def _held(copper: CourseCopper, held: "Exposure") -> str:
    course = copper.course
    is_open = is_under_way(copper)
    needed = f"{course.required_days:g}"
    if is_rough(held):
        return f"{course.name}: what was written does not fit together, so no day is sure"
    if is_surely_held(held):
        return f"Held for {days_words(sure_longest_days(held))}, {needed} needed"
    sure = sure_days(held) if is_open else sure_longest_days(held)
    days = f"Held for {days_words(sure)}" if sure >= 1.0 else "Not surely held for a day"
    if held.held is None or len(held.days) < course.required_days:
        return f"{days} so far, {needed} needed" if is_open else f"{days}, {needed} were needed"
    if is_open and chance_words(held.held.value) == chance_words(0.0):
        return f"{days} so far, {needed} needed"
    return f"{days}, {chance_words(held.held.value)} {needed}" if sure >= 1.0 else f"{days}, {needed} needed"


def gist(facts: Facts, copper: CourseCopper) -> str:
    """Return what is to be known of a course first, in a few sentences."""
    course, held = copper.course, copper.exposure
    if course.started is None:
        return f"Planned {when(course.planned, facts.now, facts.zone)}. Nothing has been dosed for it."
    if not copper.is_reckoned:
        name = knowledge.substance_or_unknown(course.substance).name
        return (
            f"Only copper is reckoned here, not {name}: go by its label and by an aquatic veterinarian. "
            "Its doses and days are kept in the ledger."
        )
    if copper.reckoned is not None and copper.reckoned.problem:
        return copper.reckoned.problem
    said = [] if held is None else [ROUGH] if is_rough(held) else [_clock(facts, copper, held), _missing(copper, held)]
    said += [copper.reckoned.ledger.ends_early if copper.reckoned is not None else "", _not_known(facts, copper)]
    return " ".join(one for one in said if one)


def _clock(facts: Facts, copper: CourseCopper, held: "Exposure") -> str:
    dips = likely_dips(copper)
    if dips:
        days = [f"{dip_day(facts, copper, dip.likeliest)} ({percent(dip.chance.value)})" for dip in dips]
        surest = chance_words(max(dip.chance.value for dip in dips))
        return f"The level {surest} dipped on {listed(days)}, and the clock began again."
    least = knowledge.figure("exposure.day_held_probability").value
    if held.longest_unbroken_days.mean <= 0.0 or all(day.held.value < least for day in held.days):
        return "It has not been at the band for a whole day yet."
    words = "No dip is likely since it reached the band"
    worst = max(dips_of(copper), key=lambda dip: dip.chance.value, default=None)
    if worst is None:
        return f"{words}."
    day = dip_day(facts, copper, worst.likeliest)
    return f"{words}, but one on {day} is possible ({percent(worst.chance.value)})."


def _missing(copper: CourseCopper, held: "Exposure") -> str:
    """Return how many days more make the course as sure as a gate asks."""
    needed = f"{copper.course.required_days:g}"
    if is_surely_held(held):
        return "The required time is reached." if is_under_way(copper) else "What stands is enough."
    if not is_under_way(copper):
        left = copper.course.required_days - sure_longest_days(held)
        return f"The longest run that is sure fell {_whole_days(left)} short of the {needed} needed."
    left = copper.course.required_days - sure_days(held)
    sure = percent(knowledge.figure("gate.held_probability").value)
    return f"Keep copper at the band for {_whole_days(left)} more; then the {needed} needed in a row are {sure} sure."


def _whole_days(days: float) -> str:
    """Return days that are still missing: a part of one asks for all of it."""
    return days_words(max(1, math.ceil(days)))


def _not_known(facts: Facts, copper: CourseCopper) -> str:
    since = last_seen(copper)
    if since is None:
        return ""
    newest = copper.told.newest_reading if copper.told is not None else None
    if newest is None:
        return "Copper was not read in this course: no day is known."
    read = when(newest.happened_at, facts.now, facts.zone)
    hours = knowledge.figure("reading.stale_hours.copper").value
    return f"Copper was last read {read}: what came later than {hours:g} hours after that is not known."
