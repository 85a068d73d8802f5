"""The cells of a course's days."""

from dataclasses import replace

from tests.builders.sheets import the_days

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
    both = type(first)(
        day=first.day, date=first.date, held=False, is_dip=True, is_lost=True, lowest=first.lowest, words=first.words
    )
    assert day_pictures((both,))[0].name == "dip"


def test_a_day_that_is_not_known_is_neither_counted_nor_lost_and_shows_no_level():
    """Nobody read it: it is drawn and said as its own kind."""
    (cell,) = day_pictures((replace(the_days()[19], held=False, is_known=False),))
    assert (cell.name, cell.standing, cell.lowest) == ("unknown", "not known", None)
