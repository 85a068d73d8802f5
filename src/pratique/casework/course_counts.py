"""What the counting of a course's days comes to, in sentences: the chance, the days that stand, and the time above."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.chances import chance_with_error
from pratique.casework.copper import CourseCopper, last_seen
from pratique.casework.course_sureness import is_rough
from pratique.casework.reckoning.reckoned import Reckoned
from pratique.casework.sheets import DayCell
from pratique.casework.words import amount, days_words, plus_minus
from pratique.science.estimation.reading import NORMAL_95
from pratique.units import THIN_SPACE

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.exposure import Exposure, Spread

# Places of the quantiles 0.025 and 0.975 among those of a spread.
_LOW, _HIGH = 0, -1
_TENTH_OF_A_DAY = 0.05
ROUGH = (
    "Few courses of the level fit what was written, so all this is rough and no day is sure: "
    "look for a wrong reading, or for a dose or change nobody wrote down."
)


def is_under_way(copper: CourseCopper) -> bool:
    """Return whether a course had not been stopped at the moment it is looked at."""
    return copper.course.stopped is None or copper.end < copper.course.stopped


def count_words(copper: CourseCopper, cells: Sequence[DayCell]) -> tuple[str, ...]:
    """Return what was counted, each sentence with its spread, and nothing where no day is known."""
    held, found = copper.exposure, copper.reckoned
    if held is None or found is None:
        return ()
    lost = sum(cell.is_lost for cell in cells)
    return (
        _chance(copper, held),
        _standing(copper, held),
        *([f"{days_words(lost)} before a dip {'does' if lost == 1 else 'do'} not count any more."] if lost else []),
        _above(copper, held),
        *_volume(found),
        *([ROUGH] if is_rough(held) else []),
    )


def _chance(copper: CourseCopper, held: "Exposure") -> str:
    days = f"{copper.course.required_days:g} days in a row"
    if held.held is None or len(held.days) < copper.course.required_days:
        return f"{days} have not passed yet."
    return f"The chance that {days} were held is {chance_with_error(held.held)}."


def _standing(copper: CourseCopper, held: "Exposure") -> str:
    found = held.credited_days
    when = "now" if is_under_way(copper) else "at the stop"
    if last_seen(copper) is not None:
        when = "when the level was last known"
    low, high = found.quantiles[_LOW], found.quantiles[_HIGH]
    if high < _TENTH_OF_A_DAY:
        return f"No day stands {when}: the level is under the band."
    return f"Standing {when} without a break: {_spread(found, low, high, 1, 'days')}."


def _above(copper: CourseCopper, held: "Exposure") -> str:
    found, limit = held.hours_above_upper, amount(copper.course.hard_upper, 2, "mg/L")
    low, high = found.quantiles[_LOW], found.quantiles[_HIGH]
    if high < knowledge.figure("exposure.never_above_hours").value and not is_rough(held):
        known = ", as far as it is known" if last_seen(copper) is not None else ""
        return f"The level was surely never above {limit}{known}."
    return f"Above {limit}: {_spread(found, low, high, 0, 'h')}."


def _spread(found: "Spread", low: float, high: float, decimals: int, unit: str) -> str:
    """Return a counted quantity with its 95 % range, and its average with the error of the drawing."""
    first, last = amount(low, decimals), amount(high, decimals, unit)
    if first == amount(high, decimals):
        return last
    error = max(10.0**-decimals, NORMAL_95 * found.monte_carlo_error)
    return f"{first} to {last} (95{THIN_SPACE}%), on average {plus_minus(found.mean, error, decimals)}"


def _volume(found: Reckoned) -> Iterator[str]:
    """Yield what doses and changes told of the net volume, beside what was written."""
    volume, system = found.volume, found.ledger.system
    if volume is None or not found.ledger.case.needs_volume:
        return
    low, high = volume.quantiles[_LOW], volume.quantiles[_HIGH]
    learned = plus_minus(volume.mean, (high - low) / 2, 0, "L")
    tank = f"Your {amount(system.gross_volume_l, 0, 'L')} tank"
    told = f"{tank} holds {learned} of water, as doses, changes and readings show;"
    if system.net_volume_l is None:
        yield f"{told} nobody wrote its net volume."
        return
    error = found.ledger.case.volume.sd_l * NORMAL_95
    yield f"{told} {plus_minus(system.net_volume_l, error, 0, 'L')} was believed beforehand."
