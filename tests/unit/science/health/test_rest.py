"""How long an animal should be left alone."""

import pytest

from pratique.science.health.rest import Exposed, rest_owed, rest_until


def rest(*exposed, now):
    """Rest after moves for eight days and after medicines for seven."""
    return rest_until(exposed, now=now, after_move_days=8, after_medicine_days=7)


COURSE_END = Exposed(31.0, "medicine_end", "copper ended", "e1")
MOVE = Exposed(37.0, "move", "moved into the box", "e2")


def test_the_latest_clear_day_binds():
    """The move yesterday outlasts the course that ended a week ago."""
    found = rest(COURSE_END, MOVE, now=38)
    assert (found.clear_on_day, found.binding, found.is_rested) == (45, MOVE, False)


def test_on_the_clear_day_the_animal_is_rested():
    """The day itself counts."""
    assert rest(MOVE, now=45).is_rested
    assert not rest(MOVE, now=44.9).is_rested


@pytest.mark.parametrize("kind", ["medicine", "medicine_end", "ammonia"])
def test_medicine_and_ammonia_rest_alike(kind):
    """Both burn gills."""
    assert rest(Exposed(10.0, kind, "x", "e"), now=11).clear_on_day == 17


def test_a_later_exposure_with_a_shorter_rest_may_not_bind():
    """Days and rests are added before they are compared."""
    dose = Exposed(37.5, "medicine", "a dose", "e3")
    assert rest(MOVE, dose, now=38).binding == MOVE


def test_what_is_only_planned_does_not_bind():
    """A move of tomorrow has not happened."""
    assert rest(Exposed(39.0, "move", "planned", "e"), now=38).is_rested


def test_without_exposures_the_animal_is_rested():
    """Nothing to rest from."""
    found = rest(now=5)
    assert (found.is_rested, found.binding, found.clear_on_day) == (True, None, 5)


def owed(*exposed, now):
    """Return the rest owed with the planning defaults: 8 days after a move, 7 after a medicine (common practice)."""
    return rest_owed(exposed, now=now, after_move_days=8, after_medicine_days=7)


def test_rests_that_overlap_add_up():
    """7 days from day 31, one left on day 37, and 8 more: 9, less one day of quiet. Adding up is a guess."""
    found = owed(MOVE, COURSE_END, now=38)
    assert (found.days, found.exposures) == (8, (COURSE_END, MOVE))


def test_a_rest_that_is_over_counts_no_more():
    """A move long after the course: only the move is owed for."""
    late = Exposed(60.0, "move", "moved", "e4")
    found = owed(COURSE_END, late, now=61)
    assert (found.days, found.exposures) == (7, (late,))


def test_each_exposure_more_owes_more_and_quiet_days_pay_it_off():
    """More burdens never shorten the rest, and each quiet day takes one off down to none."""
    burdens = [Exposed(float(day), "medicine", "a dose", f"e{day}") for day in range(4)]
    owing = [owed(*burdens[:count], now=4).days for count in range(5)]
    assert owing == sorted(owing)
    assert owing[0] == 0
    assert [owed(*burdens, now=now).days for now in (4, 5, 100)] == [24, 23, 0]


def test_what_is_only_planned_owes_nothing():
    """A move of tomorrow has not happened."""
    assert owed(Exposed(39.0, "move", "planned", "e"), now=38).days == 0
