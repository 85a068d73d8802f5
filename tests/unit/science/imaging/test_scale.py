"""The scale of microscope pictures: a teaching handout's numbers, and arithmetic that can be done by hand."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pratique.science.chemistry.domain import DomainError
from pratique.science.imaging.outline import Landmark
from pratique.science.imaging.scale import (
    Scale,
    area_in_um2,
    length_in_um,
    scale_from_field,
    scale_from_micrometer,
)

LEFT, RIGHT = Landmark(100.0, 200.0), Landmark(500.0, 500.0)  # 500 pixels apart: 3, 4, 5


@pytest.mark.parametrize(("stage", "eyepiece", "um"), [(12, 22, 5.45), (1, 7, 1.43)])
def test_a_division_is_that_of_the_handout(stage, eyepiece, um):
    """College of the Canyons, calibration of an ocular micrometer: 12 = 22 gives 5.45 µm, 1 = 7 gives 1.43 µm."""
    scale = scale_from_micrometer(Landmark(0.0, 0.0), Landmark(eyepiece, 0.0), divisions=stage, tap_sd_px=0.0)
    assert scale.um_per_px == pytest.approx(um, abs=0.005)


def test_five_divisions_are_seven_micrometres():
    """The same handout: a cell of 5 divisions of 1.4 µm is 7 µm long."""
    assert length_in_um(5.0, Scale(1.4, 0.0), length_sd_px=0.0).value == pytest.approx(7.0)


def test_a_scale_is_the_span_over_the_pixels():
    """20 divisions of 10 µm over 500 pixels: 0.4 µm per pixel. Two taps of 1 px: √2/500 of it, by hand."""
    scale = scale_from_micrometer(LEFT, RIGHT, divisions=20, tap_sd_px=1.0)
    assert scale.um_per_px == pytest.approx(0.4)
    assert scale.relative_sd == pytest.approx(math.sqrt(2.0) / 500.0)
    assert scale.plus_minus == pytest.approx(1.96 * 0.4 * math.sqrt(2.0) / 500.0, rel=1e-4)


def test_a_field_of_known_width_gives_a_scale():
    """1,800 µm over 1,200 pixels: 1.5; 1 % of the width and two taps of 6 px (√2/200) add as squares."""
    scale = scale_from_field(diameter_um=1800.0, diameter_sd_um=18.0, diameter_px=1200.0, tap_sd_px=6.0)
    assert scale.um_per_px == pytest.approx(1.5)
    assert scale.relative_sd == pytest.approx(math.sqrt(0.01**2 + 2.0 / 200.0**2))


def test_the_error_of_the_scale_comes_with_every_size():
    """1 % of scale is 1 % of a length and 2 % of an area: arithmetic, as teaching texts have it."""
    scale = Scale(0.5, 0.005)
    assert length_in_um(80.0, scale, length_sd_px=0.0).relative_sd == pytest.approx(0.01)
    assert area_in_um2(80.0, scale, area_sd_px=0.0).relative_sd == pytest.approx(0.02)
    length = length_in_um(80.0, scale, length_sd_px=0.8)
    assert length.value == pytest.approx(40.0)
    assert length.sd == pytest.approx(40.0 * math.hypot(0.01, 0.01))


def test_the_error_told_is_the_scatter_of_scales_set_again_and_again():
    """Simulated: 20,000 settings of both points with 2 px each; the spread of the scales is the sd told, within 3 %."""
    chance = np.random.default_rng(7)
    taps = chance.normal(0.0, 2.0, (20_000, 4))
    spans = np.hypot(400.0 + taps[:, 0] - taps[:, 1], 300.0 + taps[:, 2] - taps[:, 3])
    told = scale_from_micrometer(LEFT, RIGHT, divisions=20, tap_sd_px=2.0)
    assert told.sd_um_per_px == pytest.approx(float(np.std(200.0 / spans)), rel=0.03)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"second": LEFT}, "Both points lie on one spot"),
        ({"second": Landmark(math.nan, 0.0)}, "Both points lie on one spot"),
        ({"second": Landmark(110.0, 200.0), "divisions": 1}, "set the points further apart"),
        ({"division_um": 10_000.0}, "a light microscope with a camera gives"),
        ({"division_um": 0.001}, "a light microscope with a camera gives"),
        ({"divisions": 0}, "The number of divisions between the points must be above 0"),
        ({"divisions": math.nan}, "The number of divisions between the points must be above 0"),
        ({"division_um": -10.0}, "The length of a division must be above 0"),
        ({"tap_sd_px": -1.0}, "The error of a point must be at least 0"),
        ({"tap_sd_px": math.nan}, "The error of a point must be at least 0"),
    ],
)
def test_nonsense_gives_no_scale(change, sentence):
    """Every refusal says what would be right."""
    told = {"first": LEFT, "second": RIGHT, "divisions": 20, "tap_sd_px": 2.0} | change
    with pytest.raises(DomainError, match=sentence):
        scale_from_micrometer(told.pop("first"), told.pop("second"), **told)


@given(times=st.floats(0.1, 10.0), length_px=st.floats(1.0, 5000.0))
def test_a_scale_so_many_times_larger_makes_lengths_so_many_times_longer(times, length_px):
    """Lengths go with the scale, areas with its square; the relative errors stay."""
    plain, large = Scale(0.5, 0.01), Scale(0.5 * times, 0.01 * times)
    short, long = (length_in_um(length_px, scale, length_sd_px=0.7) for scale in (plain, large))
    assert long.value == pytest.approx(times * short.value)
    assert long.sd == pytest.approx(times * short.sd)
    small, wide = (area_in_um2(length_px, scale, area_sd_px=0.7) for scale in (plain, large))
    assert wide.value == pytest.approx(times**2 * small.value)
    assert wide.sd == pytest.approx(times**2 * small.sd)
