"""Measured sizes and speeds as evidence; the ranges are those of the reference table."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pratique.science.growths.differential import verdict
from pratique.science.growths.measured import manner_answers, size_odds, speed_odds

BROWN = {"brown_or_golden": True, "dust_on_sand": True}


def test_cells_of_15_um_speak_for_the_small_ones_and_against_the_large():
    """Amphidinium carterae is 11 to 24 µm long, Ostreopsis 36 and more (Murray et al. 2015; Faust et al. 1996)."""
    odds = size_odds([13.0, 15.0, 15.0, 18.0])
    assert odds["small_amphidinium"] > 3.0
    assert odds["ostreopsis"] < 0.3
    assert odds["bacterial_film"] < 0.3
    assert 0.5 < odds["pennate_diatoms"] < 3.0  # 10 to 150 µm: nearly anything


def test_what_has_no_length_to_compare_is_left_alone():
    """Threads, detritus and crusts."""
    assert not {"cyanobacteria", "detritus", "coralline", "something_else"} & set(size_odds([30.0]))


@given(st.lists(st.floats(0.2, 500.0), min_size=1, max_size=30))
def test_no_size_rules_a_candidate_out(lengths):
    """Another kind may lie on the slide: never under the floor, never over what the narrowest range allows."""
    assert all(0.15 <= one < 8.0 for one in size_odds(lengths).values())


@pytest.mark.parametrize("lengths", [[], [0.0], [12.0, -1.0]])
def test_lengths_that_are_none_are_refused(lengths):
    """Nothing measured, nothing long, less than nothing."""
    with pytest.raises(ValueError, match="above 0"):
        size_odds(lengths)


def test_speeds_tell_swimmers_apart_and_leave_gliders_alone():
    """What a manner has said already is not said again: the odds of gliders do not move by a swimmer's speed."""
    odds = speed_odds(80.0, "swimming")
    assert "pennate_diatoms" not in odds
    assert odds["small_amphidinium"] > odds["gambierdiscus"]
    assert set(speed_odds(5.0, "gliding")) == {"pennate_diatoms", "cyanobacteria"}
    assert speed_odds(5.0, "spinning") == {}
    assert speed_odds(0.0, "gliding") == {}


def test_stillness_counts_only_in_a_fresh_sample():
    """Cold and stale cells stop moving: unless told to be under half an hour old, no motion says nothing."""
    assert manner_answers("still") == {}
    assert manner_answers("still", minutes_old=45.0) == {}
    assert manner_answers("still", minutes_old=10.0)["glide_and_reverse"] is False


def test_few_cells_say_nothing():
    """Three boats that glide are not the many."""
    assert manner_answers("gliding", tracks=3) == {}
    assert manner_answers("gliding", tracks=12) == {"glide_and_reverse": True, "many_swim": False}
    assert manner_answers("not told", tracks=12) == {}


def test_gliding_boats_turn_the_verdict_one_way_and_spinning_drops_the_other():
    """From the same brown dust: pennate diatoms by the one clip, Ostreopsis and its like by the second."""
    before = verdict(BROWN).chances
    boats = verdict({**BROWN, **manner_answers("gliding", tracks=20)}, soft_odds=size_odds([60.0] * 9)).chances
    drops = verdict({**BROWN, **manner_answers("spinning", tracks=20)}, soft_odds=size_odds([50.0] * 9)).chances
    assert boats["pennate_diatoms"] > 0.9 > before["pennate_diatoms"]
    assert boats["ostreopsis"] < before["ostreopsis"] < drops["ostreopsis"]
    assert max(drops, key=drops.get) == "ostreopsis"
    assert drops["pennate_diatoms"] < before["pennate_diatoms"]
