"""For how many days a body has held, up to its newest picture. The pace let pass is our own, no source."""

import numpy as np
import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.health.condition import DepthRatio
from pratique.science.health.condition_holding import holding

RULE = {"loss_per_week": 0.01, "required": 0.8, "fall_probability": 0.95}


def pictures(*values, sd=0.002, every=5.0):
    """Pictures some days apart."""
    return [DepthRatio(i * every, value, sd, f"photo {i}") for i, value in enumerate(values)]


def test_a_level_body_has_held_since_the_first_picture():
    """Four pictures over fifteen days; whether it rises or falls by a hair is even odds, a real loss is unlikely."""
    found = holding(pictures(0.30, 0.30, 0.30, 0.30), **RULE)
    assert (found.days, found.first.entry, found.last.entry) == (15.0, "photo 0", "photo 3")
    assert found.probability_not_losing == pytest.approx(0.5)
    assert found.probability_within > 0.8


def test_a_falling_body_has_not_held_a_day():
    """0.300 to 0.264 in fifteen days."""
    found = holding(pictures(0.300, 0.289, 0.275, 0.264), **RULE)
    assert found.days == 0.0
    assert found.probability_not_losing < 0.05


def test_days_count_from_where_the_fall_ended():
    """It fell for ten days and has been level since."""
    found = holding(pictures(0.30, 0.28, 0.26, 0.26, 0.26, 0.26), **RULE)
    assert (found.first.entry, found.days) == ("photo 2", 15.0)


def test_an_old_level_stretch_does_not_hide_a_new_fall():
    """Level for thirty days, then down by five hundredths in five: the whole line is nearly flat, the end is not."""
    found = holding(pictures(*[0.30] * 7, 0.25), **RULE)
    assert found.days == 0.0


def test_rough_pictures_prove_no_held_days():
    """Where the error is large, that no fall shows is not that there is none."""
    assert holding(pictures(0.30, 0.30, sd=0.02), **RULE).days == 0.0


def test_finer_pictures_hold_at_least_as_long():
    """A metamorphic check: the same level body, seen better and better."""
    days = [holding(pictures(*[0.3] * 5, sd=sd), **RULE).days for sd in (0.02, 0.008, 0.004, 0.001)]
    assert days == sorted(days)
    assert days[-1] == 20.0


@pytest.mark.parametrize("points", [[], pictures(0.3), pictures(0.3, 0.3, every=0.0)])
def test_pictures_of_one_day_say_nothing(points):
    """Holding needs two days."""
    assert holding(points, **RULE) is None


def test_a_pace_of_nothing_is_refused():
    """No pictures could ever show that a body falls by nothing at all."""
    with pytest.raises(DomainError, match="above 0"):
        holding(pictures(0.3, 0.3), **RULE | {"loss_per_week": 0.0})


def test_the_probability_of_not_losing_is_right_as_often_as_it_says():
    """Over 2,000 level or drifting bodies, those called 80 to 90 % sure not to lose did not in 80 to 90 % (± 3 se)."""
    rng = np.random.default_rng(20)
    right = called = 0
    for _ in range(2000):
        slope = rng.normal(0.0, 0.0005)
        found = holding([DepthRatio(d, 0.3 + slope * d + rng.normal(0, 0.004), 0.004, "") for d in (0, 6, 12)], **RULE)
        if found.first.at_day == 0 and 0.8 <= found.probability_not_losing < 0.9:
            called += 1
            right += slope >= 0
    assert called > 100
    assert right / called > 0.8 - 3 * (0.8 * 0.2 / called) ** 0.5
