"""The copper an animal lived in, as many courses the level may have taken, step by step for the parasites' model."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pratique import knowledge
from pratique.casework.copper import CourseCopper, course_copper, form_of
from pratique.casework.course_dips import likely_dips
from pratique.casework.course_sureness import is_rough
from pratique.casework.facts import Facts
from pratique.ledger.states import AnimalState

type Array = NDArray[np.float64]

STEP = timedelta(hours=6)
_PATHS = 50
_DAY = timedelta(days=1)


@dataclass(frozen=True)
class CopperLived:
    """Copper over the lower target of its form, (paths, steps); `steady` had no dip been, None where none was.

    `dipped` are the courses with a dip while the animal was in them. All is None where it was in no copper.
    """

    part: Array | None
    steady: Array | None
    dipped: tuple[str, ...]
    entries: tuple[str, ...]


@dataclass(frozen=True)
class _Lived:
    copper: CourseCopper
    opens: datetime
    closes: datetime
    goes_on: bool


def copper_lived(facts: Facts, animal: AnimalState, *, start: datetime, steps: int) -> CopperLived:
    """Return the copper of so many steps from a moment on; ahead, a course under way is taken to be held."""
    part, steady = np.zeros((_PATHS, steps)), np.zeros((_PATHS, steps))
    dipped, entries = [], list[str]()
    for lived in _lived_in(facts, animal):
        found = _parts(lived, start, steps)
        if found is None:
            continue
        first, levels = found
        part[:, first : first + levels.shape[1]] = levels
        held = _without_dips(levels)
        dips = [one for one in likely_dips(lived.copper) if lived.opens <= one.likeliest <= lived.closes]
        steady[:, first : first + levels.shape[1]] = held if dips else levels
        dipped += [lived.copper.course.name] if dips else []
        entries += [str(one.id) for one in lived.copper.entries if one.kind == "reading"][-2:]
    is_any = bool(part.any())
    return CopperLived(
        part if is_any else None, steady if is_any and dipped else None, tuple(dict.fromkeys(dipped)), tuple(entries)
    )


def _lived_in(facts: Facts, animal: AnimalState) -> Iterator[_Lived]:
    """Yield the parts of copper courses that the animal lived in and whose level is known."""
    for course in facts.household.courses.values():
        if form_of(course) is None or course.started is None or course.started > facts.now:
            continue
        copper = course_copper(facts, course)
        known, found, held = copper.known_until, copper.reckoned, copper.exposure
        if known is None or found is None or found.posterior is None or held is None or is_rough(held):
            continue
        for stay in animal.stays:
            if stay.system != course.system:
                continue
            opens, left = max(stay.since, course.started), min(stay.until or facts.now, facts.now)
            closes = min(left, copper.end, known, found.ledger.end)
            if opens < closes:
                is_going_on = stay.until is None and course.stopped is None
                yield _Lived(copper, opens, closes, is_going_on)


def _parts(lived: _Lived, start: datetime, steps: int) -> tuple[int, Array] | None:
    """Return the first step and the copper from there on; the least of each step counts, and its form's own target."""
    found, form = lived.copper.reckoned, form_of(lived.copper.course)
    if found is None or found.posterior is None or form is None:
        return None
    band = knowledge.copper_band(form)
    first, last = max(round((lived.opens - start) / STEP), 0), round((lived.closes - start) / STEP)
    if last <= first:
        return None
    draws, days = found.posterior.trajectories, found.posterior.days
    picked = np.searchsorted(np.cumsum(draws.weights), (np.arange(_PATHS) + 0.5) / _PATHS)
    levels = draws.levels[np.minimum(picked, len(draws.levels) - 1)]
    edges = (found.ledger.day_of(start) + np.arange(first, last + 1) * (STEP / _DAY)) - 1e-9
    places = np.clip(np.searchsorted(days, edges), 0, len(days) - 1)
    least = np.stack([levels[:, a : max(b, a + 1)].min(axis=1) for a, b in pairwise(places)], 1)
    if lived.goes_on and last < steps:
        middle = (band.target_lower + band.target_upper) / 2.0
        least = np.concatenate([least, np.full((_PATHS, steps - last), middle)], axis=1)
    return first, least[:, : steps - first] / band.target_lower


def _without_dips(levels: Array) -> Array:
    """Return the levels as if each, once at target, had never been under it again."""
    has_reached = np.maximum.accumulate(levels, axis=1) >= 1.0
    held: Array = np.where(has_reached, np.maximum(levels, 1.0), levels)
    return held
