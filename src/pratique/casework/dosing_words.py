"""Words about doses of copper: a band, and what a planned water change takes and needs put back."""

from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.copper import CourseCopper
from pratique.casework.dosing_means import means_of
from pratique.casework.dosing_withheld import why_withheld
from pratique.casework.facts import Facts
from pratique.casework.reckoning.reckoned import Reckoned
from pratique.casework.words import amount
from pratique.ledger.states import StockState
from pratique.science.estimation.case import Band, Change
from pratique.units import THIN_SPACE

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.advice import Advice
    from pratique.science.estimation.running import Running


def band_words(lower: float, upper: float, hard_upper: float) -> str:
    """Return a band in words."""
    return f"{amount(lower, 2)} to {amount(upper, 2, 'mg/L')}, never above {amount(hard_upper, 2)}"


def make_up_words(facts: Facts, copper: CourseCopper, *, changed_l: float) -> str:
    """Return what a water change takes from a course and what to add with the new water, in a sentence.

    Nothing is said where it takes no copper worth a figure.
    """
    found = copper.reckoned
    if not copper.is_reckoned:
        name = knowledge.substance_or_unknown(copper.course.substance).name
        return f"It takes {name} with it; how much is not reckoned here."
    if found is None or found.running is None or copper.level is None:
        return "It takes copper with it; how much is not said, as the level is not known: read the copper first."
    if not found.ledger.is_volume_known:
        return "It takes copper with it; how much is not said, as the net volume is not known."
    return _told_change(facts, copper, found, found.running, copper.level.mean, changed_l=changed_l)


def _told_change(
    facts: Facts, copper: CourseCopper, found: Reckoned, running: "Running", level: float, *, changed_l: float
) -> str:
    stock = facts.household.stocks.get(copper.course.stock or "")
    best = _with_change(copper, found, running, stock, changed_l=changed_l)
    before, after = (amount(max(0.0, one), 2) for one in (level, best.nothing.level_after))
    if before == after:
        return ""
    words = f"It would take copper from {before} to {after}{THIN_SPACE}mg/L"
    refused = why_withheld(facts, copper)
    if stock is None or refused is not None:
        return f"{words}. No make-up dose is advised{f': {refused[0]}' if refused else '.'}"
    if best.deed.dose_ml == 0.0:
        return f"{words}. No dose with it would keep it better in its band."
    return (
        f"{words}: add {amount(best.deed.dose_ml, 1, 'mL')} of {stock.name} with the new water, and read after an hour."
    )


def _with_change(
    copper: CourseCopper, found: Reckoned, running: "Running", stock: StockState | None, *, changed_l: float
) -> "Advice":
    from pratique.science.estimation.advice import advise  # noqa: PLC0415 - loads the compiled loops

    return advise(
        running,
        Band(copper.course.target_lower, copper.course.target_upper),
        means_of(copper, found, stock),
        until_day=running.day + knowledge.figure("reckoning.next_reading_latest_days").value,
        planned=[Change(running.day, min(changed_l, float(running.volumes.min())))],
    )
