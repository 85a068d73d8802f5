"""The band a constituent is held in, and what it must never pass, where figures or an open course say so."""

from dataclasses import dataclass

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT as COPPER
from pratique.casework.copper_water import course_in, form_in, is_open
from pratique.casework.facts import Facts
from pratique.casework.sheets import Reason
from pratique.casework.words import amount
from pratique.ledger.states import SystemState

# The figures of what is held by heater, salt and air: the band to keep, in the constituent's unit.
_FIGURES = {
    "temperature": ("temperature.lower_c", "temperature.upper_c", "temperature.safe_upper_c"),
    "salinity": ("salinity.lower_psu", "salinity.upper_psu", "salinity.safe_upper_psu"),
    "ph": ("ph.lower", "ph.upper", None),
}


@dataclass(frozen=True)
class Limits:
    """The band to hold, the level never to pass (None where no figure says one), in words, and where they are from."""

    lower: float
    upper: float
    hard_upper: float | None
    words: str
    reason: Reason


def limits_in(facts: Facts, system: SystemState, constituent: str) -> Limits | None:
    """Return the limits of a constituent in a system now; None where nothing says what it should be."""
    if constituent == COPPER:
        return copper_limits(facts, system) if _holds_copper(facts, system) else None
    if constituent not in _FIGURES:
        return None
    if constituent == "salinity" and system.role == "quarantine":
        # Lowered on purpose as a treatment, it is held by its course and not by the usual band.
        return None
    lower, upper, hard = (knowledge.figure(key) if key else None for key in _FIGURES[constituent])
    assert lower is not None  # noqa: S101 - both ends of a band have a figure
    assert upper is not None  # noqa: S101 - the same
    words = _words(constituent, "usual", lower.value, upper.value)
    reason = Reason(words, upper.source, upper.status.value)
    return Limits(lower.value, upper.value, hard.value if hard is not None else None, words, reason)


def copper_limits(facts: Facts, system: SystemState) -> Limits:
    """Return the limits of copper: those of the system's open course, else the band of the form it holds."""
    course = course_in(facts, system.key)
    if course is not None and is_open(facts, course):
        words = _words(COPPER, "target", course.target_lower, course.target_upper)
        reason = Reason(f"{course.name}: {words}", "as written in this ledger", "common practice")
        return Limits(course.target_lower, course.target_upper, course.hard_upper, words, reason)
    band = knowledge.copper_band(form_in(facts, system))
    words = _words(COPPER, "target", band.target_lower, band.target_upper)
    return Limits(
        band.target_lower, band.target_upper, band.hard_upper, words, Reason(words, band.source, band.status.value)
    )


def _holds_copper(facts: Facts, system: SystemState) -> bool:
    course = course_in(facts, system.key)
    return course is not None and is_open(facts, course)


def _words(constituent: str, kind: str, lower: float, upper: float) -> str:
    figure = knowledge.constituent(constituent)
    unit = "" if constituent == "ph" else figure.unit
    return f"{kind} {amount(lower, figure.decimals)} to {amount(upper, figure.decimals, unit)}"
