"""Crude instruments: error, rounding, limits and marks."""

from dataclasses import replace

import numpy as np
import pytest

from pratique.demo.chance import chance
from pratique.demo.instruments import Shown, look
from pratique.knowledge import method

EXACT = replace(method("copper_photometer"), absolute_sd=0.0, relative_sd=0.0)
CHART = replace(method("copper_colour_chart"), absolute_sd=0.0)


def test_a_photometer_rounds_to_its_last_digit():
    """0.1849 is shown as 0.18, without binary dust."""
    assert look(EXACT, 0.1849, chance(1, "test")) == Shown(value=0.18)


def test_under_its_limit_it_shows_no_number():
    """The limit is tested on what is perceived, before rounding."""
    assert look(EXACT, 0.0199, chance(1, "test")) == Shown(below=0.02)
    assert look(EXACT, 5.2, chance(1, "test")) == Shown(above=5.0)


@pytest.mark.parametrize(
    ("truth", "shown"),
    [
        (0.17, Shown(low=0.1, high=0.2)),
        (0.2, Shown(low=0.2, high=0.3)),
        (0.4, Shown(low=0.3, high=0.5)),
        (-0.01, Shown(low=0.0, high=0.1)),
        (1.2, Shown(above=1.0)),
    ],
)
def test_a_chart_gives_the_two_marks_around_what_the_eye_sees(truth, shown):
    """Under its first step it is between nothing and that step; over its last mark it can only say so."""
    assert look(CHART, truth, chance(1, "test")) == shown


def test_readings_scatter_as_the_method_says():
    """Over 4,000 readings the spread is that of the absolute and relative error and the rounding, in quadrature."""
    by = method("ammonia_photometer")
    rng = chance(5, "test")
    values = np.array([look(by, 1.0, rng).value for _ in range(4000)])
    expected = np.sqrt(by.absolute_sd**2 + by.relative_sd**2 + by.resolution**2 / 12)
    assert values.mean() == pytest.approx(1.0, abs=4 * expected / np.sqrt(4000))
    assert values.std() == pytest.approx(expected, rel=0.05)
