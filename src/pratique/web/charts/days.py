"""One cell for each day of a course: told apart by shape and word, and filled as high as its chance."""

from dataclasses import dataclass
from datetime import date

from pratique.casework.sheets import DayCell
from pratique.casework.words import percent

_HEIGHT = 100.0


@dataclass(frozen=True, slots=True)
class DayPicture:
    """A day's cell: the class that draws it, the word that says the same, and how its fill stands in 100 units.

    `chance`, `counts` and `reached` are in per cent, nothing where the level is not known.
    """

    day: int
    date: date
    name: str
    standing: str
    words: str
    fill_from: float
    fill_height: float
    chance: str
    counts: str
    reached: str
    lowest: float | None
    lowest_low: float | None
    lowest_high: float | None


def day_pictures(days: tuple[DayCell, ...]) -> tuple[DayPicture, ...]:
    """Return the cells of a course's days in order."""
    return tuple(_picture(cell) for cell in days)


def _picture(cell: DayCell) -> DayPicture:
    name, standing = _standing(cell)
    height = round(_HEIGHT * (cell.probability or 0.0), 1)
    return DayPicture(
        day=cell.day,
        date=cell.date,
        name=name,
        standing=standing,
        words=cell.words,
        fill_from=_HEIGHT - height,
        fill_height=height,
        chance=_chance(cell.probability),
        counts=_chance(cell.counts),
        reached=_chance(cell.reached),
        lowest=cell.lowest,
        lowest_low=cell.lowest_low,
        lowest_high=cell.lowest_high,
    )


def _chance(probability: float | None) -> str:
    return percent(probability) if probability is not None else ""


def _standing(cell: DayCell) -> tuple[str, str]:
    if cell.is_dip:
        return "dip", "dip"
    if cell.is_lost:
        return "lost", "lost"
    if not cell.is_known:
        return "unknown", "not known"
    return ("counted", "counted") if cell.held else ("open", "not counted")
