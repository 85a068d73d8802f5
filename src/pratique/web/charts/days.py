"""One cell for each day of a course: told apart by shape and word, never by colour alone."""

from dataclasses import dataclass
from datetime import date

from pratique.casework.sheets import DayCell


@dataclass(frozen=True, slots=True)
class DayPicture:
    """A day's cell: the class that draws it and the word that says the same."""

    day: int
    date: date
    name: str
    standing: str
    words: str
    lowest: float | None


def day_pictures(days: tuple[DayCell, ...]) -> tuple[DayPicture, ...]:
    """Return the cells of a course's days in order."""
    return tuple(
        DayPicture(cell.day, cell.date, name, standing, cell.words, cell.lowest if cell.is_known else None)
        for cell in days
        for name, standing in [_standing(cell)]
    )


def _standing(cell: DayCell) -> tuple[str, str]:
    if cell.is_dip:
        return "dip", "dip"
    if cell.is_lost:
        return "lost", "lost"
    if not cell.is_known:
        return "unknown", "not known"
    return ("counted", "counted") if cell.held else ("open", "not counted")
