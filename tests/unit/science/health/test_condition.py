"""Whether an animal grows thin."""

import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.health.condition import DepthRatio, Scored, condition_trend, scale_trend


def ratios(*values, sd=0.008, every=4.0):
    """Pictures some days apart."""
    return [DepthRatio(i * every, value, sd, f"photo {i}") for i, value in enumerate(values)]


def test_a_body_that_shrinks_steadily_is_falling():
    """0.300 to 0.264 over twelve days with small errors leaves little doubt."""
    found = condition_trend(ratios(0.300, 0.289, 0.275, 0.264))
    assert found.slope_per_day == pytest.approx(-0.00305, abs=1e-5)
    assert found.probability_falling > 0.99
    assert (found.days, found.n, found.first.entry, found.last.entry) == (12.0, 4, "photo 0", "photo 3")


def test_a_body_that_holds_is_even_odds():
    """A level line falls as likely as not."""
    assert condition_trend(ratios(0.30, 0.30, 0.30)).probability_falling == pytest.approx(0.5)


def test_a_body_that_fills_out_is_not_falling():
    """Growing rounder."""
    assert condition_trend(ratios(0.27, 0.28, 0.29, 0.30)).probability_falling < 0.01


def test_scatter_beyond_the_errors_makes_the_slope_less_sure():
    """The same fall with wild points is judged by their scatter, in Student's distribution."""
    neat = condition_trend(ratios(0.30, 0.29, 0.28, 0.27))
    wild = condition_trend(ratios(0.30, 0.25, 0.32, 0.27))
    assert wild.slope_sd > neat.slope_sd
    assert wild.probability_falling < neat.probability_falling


def test_two_pictures_are_judged_by_their_errors_alone():
    """Difference over its error: 0.02 against 0.008·√2 is 1.77 sd, 96 % (normal table, from memory)."""
    assert condition_trend(ratios(0.30, 0.28)).probability_falling == pytest.approx(0.9615, abs=0.0005)


@pytest.mark.parametrize("points", [[], ratios(0.3), ratios(0.3, 0.2, every=0.0)])
def test_one_day_makes_no_trend(points):
    """With nothing, one picture, or pictures of one day the trend is not known."""
    found = condition_trend(points)
    assert (found.slope_per_day, found.probability_falling, found.n) == (None, None, len(points))


def test_a_picture_without_an_error_is_refused():
    """Certainty cannot be claimed."""
    with pytest.raises(DomainError, match="error above zero"):
        condition_trend(ratios(0.3, 0.2, sd=0.0))


def scored(*pairs):
    """The keeper's looks, as (day, score)."""
    return [Scored(float(day), score, f"look {day}") for day, score in pairs]


def test_two_steps_towards_thin_in_three_weeks_are_thinning():
    """Rounded to pinched."""
    found = scale_trend(scored((0, 0), (8, 1), (16, 2)), now=17)
    assert (found.is_thinning, found.steps, found.first.entry) == (True, 2, "look 0")


def test_one_step_is_within_what_an_eye_gives_twice():
    """Not told as a change."""
    assert not scale_trend(scored((0, 0), (8, 1), (16, 1)), now=17).is_thinning


def test_a_look_older_than_the_window_does_not_count():
    """Two steps over six weeks are another matter."""
    assert not scale_trend(scored((0, 0), (40, 2)), now=41).is_thinning


def test_no_looks_no_trend():
    """Nothing to compare."""
    assert scale_trend([], now=5) == scale_trend(scored((0, 0)), now=50)
