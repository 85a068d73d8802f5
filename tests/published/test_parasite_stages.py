"""Hatching against Cheung, Nigrelli & Ruggieri 1979, J. Fish Dis. 2:93-97: inside 90 %, at most a half wide."""

from dataclasses import replace

import numpy as np
import pytest

from pratique import knowledge
from pratique.knowledge.parasites import HatchingSeen, Shape
from pratique.science.health.parasites.hatching import fitted_hatching
from pratique.science.health.parasites.stages import STEPS_PER_DAY, stage_draws

WHITE_SPOT = knowledge.parasite("white_spot")
SEEN = (
    (30.0, 5.0, 0.50),
    (30.0, 7.0, 1.00),
    (25.0, 8.0, 0.60),
    (25.0, 9.0, 0.70),
    (20.0, 9.0, 0.10),
    (20.0, 10.0, 0.40),
)
WHOLE_PER_CENT = 0.005


def interval(temperature_c: float, day: float, *, shape: Shape | None = None) -> tuple[float, float]:
    """The 5 % and 95 % points, between isolates, of the fraction hatched by a day."""
    draws = stage_draws("white_spot", temperature_c=temperature_c, count=4000, seed=1, off_host_shape=shape)
    low, high = np.quantile(draws.off_cdf[:, round(day * STEPS_PER_DAY)], (0.05, 0.95))
    return float(low), float(high)


def without(temperature_c: float) -> Shape:
    """The shape with everything fitted made from the other two temperatures, and our own guesses kept."""
    fit = fitted_hatching([one for one in WHITE_SPOT.hatching_seen if one.temperature_c != temperature_c])
    return replace(
        WHITE_SPOT.off_host_shape, median_days=fit.median_days, faster_per_c=fit.faster_per_c, log_sd=fit.log_sd
    )


@pytest.mark.parametrize(("temperature_c", "day", "fraction"), SEEN)
def test_the_fraction_hatched_lies_inside_the_interval(temperature_c: float, day: float, fraction: float):
    """Fitted to all three temperatures; whole per cent were printed."""
    low, high = interval(temperature_c, day)
    assert low <= fraction <= high + WHOLE_PER_CENT
    assert high - low <= 0.5


@pytest.mark.parametrize(("temperature_c", "day", "fraction"), SEEN)
def test_a_temperature_left_out_is_predicted_by_the_other_two(temperature_c: float, day: float, fraction: float):
    """The same, with median, slope and spread fitted without that temperature; the doubt of the spread is kept."""
    low, high = interval(temperature_c, day, shape=without(temperature_c))
    assert low <= fraction <= high + WHOLE_PER_CENT
    assert high - low <= 0.5


def test_the_figures_of_the_knowledge_are_those_of_the_fit():
    """To the digits written there."""
    fit, shape = fitted_hatching(WHITE_SPOT.hatching_seen), WHITE_SPOT.off_host_shape
    assert shape.median_days == pytest.approx(fit.median_days, abs=0.01)
    assert shape.faster_per_c == pytest.approx(fit.faster_per_c, abs=0.0001)
    assert shape.log_sd == pytest.approx(fit.log_sd, abs=0.005)
    assert shape.log_sd_between == pytest.approx(fit.log_sd_between, abs=0.05)


def test_the_knowledge_holds_what_was_printed():
    """All six fractions, with their source."""

    def printed(one: HatchingSeen) -> tuple[float, float, float]:
        return one.temperature_c, one.day, one.fraction

    assert sorted(map(printed, WHITE_SPOT.hatching_seen)) == sorted(SEEN)


@pytest.mark.parametrize("temperature_c", [7.0, 37.0])
def test_none_hatches_at_7_and_37_degrees(temperature_c: float):
    """In no isolate."""
    assert not stage_draws("white_spot", temperature_c=temperature_c, count=100, seed=1).off_cdf.any()


def test_some_flukes_hatch_at_30_degrees_and_some_do_not():
    """None of Benedenia seriolae (Ernst et al. 2005), but Neobenedenia does (Brazenor & Hutson 2015)."""
    ever = stage_draws("flukes", temperature_c=30.0, count=1000, seed=1).off_cdf[:, -1]
    assert 0.0 < np.mean(ever > 0.0) < 1.0
