"""Specific gravity, glass hydrometers and refractometers, as their marks and leaflets say they are to be read."""

import math

import numpy as np
import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.hydrometer import salinity_from_hydrometer
from pratique.science.chemistry.refraction import (
    brine_scale_reading,
    error_of_confused_scales_psu,
    refractive_index_quan1995,
    salinity_from_brine_scale,
    salinity_from_refractive_index,
    salinity_from_refractometer,
    salinity_without_compensation,
)
from pratique.science.chemistry.specific_gravity import (
    REFERENCES,
    parse_reference,
    salinity_from_specific_gravity,
    specific_gravity,
)

SIXTY_F_C = (60.0 - 32.0) / 1.8


@pytest.mark.parametrize(
    ("pair", "at_30", "at_35", "at_40"),
    [
        ("60F/60F", 1.02301, 1.02686, 1.03072),
        ("20/20", 1.02279, 1.02661, 1.03043),
        ("25/25", 1.02259, 1.02637, 1.03017),
        ("20/4", 1.02098, 1.02479, 1.02861),
        ("25/4", 1.01960, 1.02337, 1.02715),
        ("25/20", 1.02140, 1.02518, 1.02897),
        ("25/60F", 1.02057, 1.02435, 1.02814),
    ],
)
def test_one_water_has_as_many_specific_gravities_as_there_are_marks(pair, at_30, at_35, at_40):
    """Agreement with the densities of gsw 3.6.23, to the five digits a stem can carry."""
    marks = REFERENCES[pair]
    found = specific_gravity(
        np.array([30.0, 35.0, 40.0]), temperature_c=marks.temperature_c, reference_c=marks.reference_c
    )
    assert found == pytest.approx([at_30, at_35, at_40], abs=5.1e-6)


def test_a_specific_gravity_without_its_temperatures_is_worth_two_and_a_half_units():
    """The same 1.0264 is 35 at 25/25 and 39 at 25/4."""
    first = salinity_from_specific_gravity(1.0264, temperature_c=25.0, reference_c=25.0)
    second = salinity_from_specific_gravity(1.0264, temperature_c=25.0, reference_c=4.0)
    assert first == pytest.approx(35.03, abs=0.01)
    assert second - first > 2.6


@pytest.mark.parametrize(
    ("text", "temperature_c", "reference_c"),
    [
        ("25/25", 25.0, 25.0),
        ("20 / 4 °C", 20.0, 4.0),
        ("20°C/4°C", 20.0, 4.0),
        ("60F/60F", SIXTY_F_C, SIXTY_F_C),
        ("60/60f", SIXTY_F_C, SIXTY_F_C),
        ("60°F/60°F", SIXTY_F_C, SIXTY_F_C),
        ("77F/77F", 25.0, 25.0),
        ("25/60F", 25.0, SIXTY_F_C),
        ("15,6/15.6", 15.6, 15.6),
    ],
)
def test_the_pair_on_the_stem_is_read_as_it_is_written(text, temperature_c, reference_c):
    """Celsius unless an F says otherwise, comma or point."""
    pair = parse_reference(text)
    assert (pair.temperature_c, pair.reference_c) == pytest.approx((temperature_c, reference_c))


@pytest.mark.parametrize(("text", "words"), [("", "write the sample's"), ("25", "like 25/25"), ("60/60", "60F/60F")])
def test_a_pair_not_said_is_asked_for(text, words):
    """One temperature is not taken for two, nor 60 for degrees Celsius."""
    with pytest.raises(DomainError, match=words):
        parse_reference(text)


@pytest.mark.parametrize(
    ("calibrated_c", "sample_c", "shown"),
    [
        (SIXTY_F_C, 20.0, 1.02589), (SIXTY_F_C, 24.0, 1.02487), (SIXTY_F_C, 25.0, 1.02459), (SIXTY_F_C, 26.0, 1.02431),
        (SIXTY_F_C, 28.0, 1.02372), (25.0, 20.0, 1.02767), (25.0, 24.0, 1.02665), (25.0, 28.0, 1.02550),
    ],
)  # fmt: skip
def test_what_natural_seawater_shows_on_a_hydrometer_that_is_not_at_its_temperature(calibrated_c, sample_c, shown):
    """Salinity 35, computed apart from this code with gsw 3.6.23 and 25 millionths per kelvin."""
    found = salinity_from_hydrometer(shown, calibrated_at_c=calibrated_c, reference_c=calibrated_c, sample_c=sample_c)
    assert found == pytest.approx(35.0, abs=7e-3)


@pytest.mark.parametrize(
    ("reading", "calibrated_c", "sample_c", "right", "without_glass"),
    [
        (1.0240, SIXTY_F_C, 25.0, 34.217, 34.536),
        (1.0264, 25.0, 20.0, 33.336, 33.168),
        (1.0264, 25.0, 28.0, 36.194, 36.296),
        (1.0240, 20.0, 25.0, 33.269, 33.438),
    ],
)
def test_the_glass_itself_is_worth_a_tenth_to_a_third_of_a_unit(reading, calibrated_c, sample_c, right, without_glass):
    """Computed apart from this code with gsw 3.6.23; the expansion of the glass is common practice, no source."""
    marks = {"calibrated_at_c": calibrated_c, "reference_c": calibrated_c, "sample_c": sample_c}
    assert salinity_from_hydrometer(reading, **marks) == pytest.approx(right, abs=5e-3)
    bare = salinity_from_hydrometer(reading, **marks, glass_expansion_per_k=0.0)
    assert bare == pytest.approx(without_glass, abs=5e-3)


@pytest.mark.parametrize(("temperature_c", "index"), [(20.0, 1.33299), (25.0, 1.33250)])
def test_fresh_water_bends_light_as_the_handbook_says(temperature_c, index):
    """Pure water in the yellow sodium line against air: 1.33299 and 1.33250 (recalled from the CRC Handbook)."""
    assert refractive_index_quan1995(0.0, temperature_c) == pytest.approx(index, abs=2e-5)


@pytest.mark.parametrize(("calibrated_c", "sample_c", "per_degree"), [(15.0, 25.0, 0.559), (20.0, 30.0, 0.639)])
def test_one_degree_uncorrected_is_more_than_half_a_unit(calibrated_c, sample_c, per_degree):
    """The fall of the index over ten degrees in Quan & Fry's table at 35, over 1.83e-4 per unit; a warm sample is low.

    1.339881 at 15, 1.339406 at 20, 1.338858 at 25 and 1.338237 at 30 °C (coefficients recalled, computed elsewhere).
    """
    found = salinity_without_compensation(35.0, calibrated_at_c=calibrated_c, sample_c=sample_c)
    assert (found - 35.0) / 10.0 == pytest.approx(per_degree, abs=0.01)


def test_the_index_of_fresh_water_is_no_salt_and_less_is_refused():
    """Rounding makes no negative salinity, and neither does a wrong index."""
    assert salinity_from_refractive_index(refractive_index_quan1995(0.0, 20.0), 20.0) >= 0.0
    for index in (1.30, 1.36, math.nan):
        with pytest.raises(DomainError, match="refractive index means"):
            salinity_from_refractive_index(index, 20.0)


def test_a_brine_scale_reads_one_and_a_half_units_high_in_seawater():
    """Natural seawater of 35 stands at 36.5 on it (recalled), so 35 on it is 33.6."""
    assert brine_scale_reading(35.0) == pytest.approx(36.5)
    assert salinity_from_brine_scale(35.0) == pytest.approx(33.56, abs=0.01)
    assert error_of_confused_scales_psu(36.5) == pytest.approx(1.5)


def test_the_brine_that_bends_light_like_seawater_is_the_handbook_s():
    """Sodium chloride at 20 °C, sodium line: 1.3383 at 3 % and 1.3400 at 4 % by mass (recalled from the CRC Handbook).

    Seawater of 35 falls between them at 36.5 g/kg within the 0.4 g/kg that four decimals leave.
    """
    seawater = refractive_index_quan1995(35.0, 20.0)
    brine_g_per_kg = 30.0 + 10.0 * (seawater - 1.3383) / (1.3400 - 1.3383)
    assert brine_g_per_kg == pytest.approx(brine_scale_reading(35.0), abs=0.4)


def test_the_scale_of_a_refractometer_is_asked_for_and_never_assumed():
    """A reading whose scale is not said is refused in words that ask which."""
    assert salinity_from_refractometer(35.0, scale="seawater") == 35.0
    assert salinity_from_refractometer(36.5, scale="brine") == pytest.approx(35.0)
    with pytest.raises(DomainError, match="natural seawater or for plain brine"):
        salinity_from_refractometer(35.0, scale="unknown")


@pytest.mark.parametrize("reading", [35.0, 1026.0, 26.4, 0.0, math.nan])
def test_what_is_no_specific_gravity_is_refused_with_one_that_is(reading):
    """A salinity, a density or the last digits alone are told what a specific gravity looks like."""
    with pytest.raises(DomainError, match=r"a number like 1\.026"):
        salinity_from_specific_gravity(reading, temperature_c=25.0, reference_c=25.0)
    with pytest.raises(DomainError, match=r"a number like 1\.026"):
        salinity_from_hydrometer(reading, calibrated_at_c=25.0, reference_c=25.0, sample_c=25.0)
