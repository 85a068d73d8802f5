"""The cells of a course's days."""

from dataclasses import replace

from tests.builders.sheets import the_days

from pratique.casework.sheets import DayCell
from pratique.web.charts.days import day_pictures


def test_each_day_is_told_apart_by_name_and_word():
    """Raised, lost, dipped and counted days each have their own class and their own word."""
    cells = day_pictures(the_days())
    told = {cell.day: (cell.name, cell.standing) for cell in cells}
    assert told[1] == ("open", "not counted")
    assert told[5] == ("lost", "lost")
    assert told[11] == ("dip", "dip")
    assert told[20] == ("counted", "counted")


def test_a_dip_is_shown_as_a_dip_even_where_the_day_is_lost_as_well():
    """Of two dips the first lies before the second: it is still drawn as the dip it was."""
    first = next(day for day in the_days() if day.is_dip)
    (cell,) = day_pictures((replace(first, is_lost=True),))
    assert cell.name == "dip"


def test_a_day_that_is_not_known_is_neither_counted_nor_lost_and_shows_no_level():
    """Nobody read it: it is drawn and said as its own kind."""
    nothing = DayCell(
        day=20,
        date=the_days()[19].date,
        held=False,
        is_dip=False,
        is_lost=False,
        is_known=False,
        words="not known, no reading tells the level",
    )
    (cell,) = day_pictures((nothing,))
    assert (cell.name, cell.standing, cell.lowest) == ("unknown", "not known", None)
    assert (cell.chance, cell.fill_height) == ("", 0.0)


def test_a_cell_is_filled_from_its_foot_as_high_as_its_chance_and_says_it_in_words():
    """A chance of a quarter fills the lowest quarter; a chance near 1 is never said to be certain."""
    quarter, sure = day_pictures(
        (replace(the_days()[19], probability=0.25), replace(the_days()[20], probability=0.9999))
    )
    assert (quarter.fill_from, quarter.fill_height, quarter.chance) == (75.0, 25.0, "25\u202f%")
    assert sure.chance == "over 99\u202f%"
