"""Whether the water may be touched, and what a quick return means."""

import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.growths.additions import water_additions
from pratique.science.growths.regrowth import days_to_regain, returned_within
from pratique.science.health.rest import Exposed, rest_until


def rest_after_move(day, now):
    """An animal moved on a day."""
    exposed = [Exposed(day, "move", "moved", f"move {day}")]
    return rest_until(exposed, now=now, after_move_days=8, after_medicine_days=7)


def test_one_animal_fresh_from_medicine_is_enough_to_wait_for():
    """Nothing is added while it sits in the box, and the day is named."""
    advice = water_additions([("chromis", rest_after_move(0, 38)), ("bristletooth", rest_after_move(37, 38))], 38)
    assert (advice.allowed_now, advice.not_before_day) == (False, 45)
    assert [name for name, _ in advice.because] == ["bristletooth"]


def test_the_last_to_rest_sets_the_day_and_comes_first():
    """Two animals, the later one leads."""
    advice = water_additions([("first", rest_after_move(33, 38)), ("second", rest_after_move(37, 38))], 38)
    assert advice.not_before_day == 45
    assert [name for name, _ in advice.because] == ["second", "first"]


def test_rested_animals_allow_additions():
    """Nobody to wait for."""
    advice = water_additions([("chromis", rest_after_move(0, 38))], 38)
    assert (advice.allowed_now, advice.not_before_day, advice.because) == (True, None, ())


@pytest.mark.parametrize(
    ("hours", "verdict"), [(3, "gathering"), (24, "gathering"), (48, "either"), (93, "either"), (94, "growth")]
)
def test_a_return_within_a_day_is_gathering_not_growth(hours, verdict):
    """At 0.59 a day one doubling takes 28 hours and a tenfold rise 3.9 days (93.7 hours)."""
    assert returned_within(hours) == verdict


def test_another_rate_moves_the_bounds():
    """A slower growth needs longer."""
    assert returned_within(94, fastest_rate_per_day=0.33) == "either"


def test_impossible_inputs_are_refused():
    """Each says which number is wrong."""
    with pytest.raises(DomainError, match="rate"):
        days_to_regain(10, 0)
    with pytest.raises(DomainError, match="factor"):
        days_to_regain(0.5, 0.3)
    with pytest.raises(DomainError, match="negative"):
        returned_within(-1)
