"""Salinity told in another way and back: over S 5 to 45 and 10 to 35 °C nothing may be lost on the road."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pratique.science.chemistry.density import density_kg_per_m3, salinity_from_density
from pratique.science.chemistry.hydrometer import salinity_from_hydrometer
from pratique.science.chemistry.refraction import (
    brine_scale_reading,
    refractive_index_quan1995,
    salinity_from_brine_scale,
    salinity_from_refractive_index,
)
from pratique.science.chemistry.salinity import (
    conductivity_from_practical_salinity,
    practical_salinity_from_conductivity,
    practical_salinity_from_reference,
    reference_salinity_g_per_kg,
)
from pratique.science.chemistry.specific_gravity import (
    REFERENCES,
    salinity_from_specific_gravity,
    specific_gravity,
)

SALINITIES = st.floats(5.0, 45.0)
TEMPERATURES = st.floats(10.0, 35.0)
PAIRS = st.sampled_from(sorted(REFERENCES))
KEPT = {"rel": 1e-6, "abs": 0.0}


@given(SALINITIES, TEMPERATURES, TEMPERATURES)
def test_the_round_by_way_of_all_three_ends_where_it_began(salinity, temperature_c, reference_c):
    """Salinity to conductivity to salinity to specific gravity to salinity to density and back, within 1e-6."""
    conductivity = conductivity_from_practical_salinity(salinity, temperature_c)
    first = practical_salinity_from_conductivity(conductivity, temperature_c)
    gravity = specific_gravity(first, temperature_c=temperature_c, reference_c=reference_c)
    second = salinity_from_specific_gravity(gravity, temperature_c=temperature_c, reference_c=reference_c)
    third = salinity_from_density(density_kg_per_m3(second, temperature_c), temperature_c)
    assert third == pytest.approx(salinity, **KEPT)
    assert conductivity_from_practical_salinity(third, temperature_c) == pytest.approx(conductivity, **KEPT)


@given(SALINITIES, PAIRS)
def test_every_named_pair_of_temperatures_leads_back(salinity, name):
    """A specific gravity at each pair that instruments are marked for gives the salinity it came from."""
    pair = REFERENCES[name]
    temperatures = {"temperature_c": pair.temperature_c, "reference_c": pair.reference_c}
    gravity = specific_gravity(salinity, **temperatures)
    assert salinity_from_specific_gravity(gravity, **temperatures) == pytest.approx(salinity, **KEPT)


@given(SALINITIES, TEMPERATURES, PAIRS, st.floats(23e-6, 28e-6))
def test_a_hydrometer_is_read_back(salinity, sample_c, name, expansion):
    """The salinity found is the one that made a glass hydrometer of these marks show this reading."""
    marks = {
        "calibrated_at_c": REFERENCES[name].temperature_c,
        "reference_c": REFERENCES[name].reference_c,
        "sample_c": sample_c,
        "glass_expansion_per_k": expansion,
    }
    # The law of floating bodies: warm glass is larger and floats higher.
    swelling = 1.0 + expansion * (sample_c - marks["calibrated_at_c"])
    shown = density_kg_per_m3(salinity, sample_c) * swelling / density_kg_per_m3(0.0, marks["reference_c"])
    assert salinity_from_hydrometer(shown, **marks) == pytest.approx(salinity, **KEPT)


@given(SALINITIES, TEMPERATURES, st.floats(400.0, 700.0))
def test_light_leads_back_in_any_colour(salinity, temperature_c, wavelength_nm):
    """The refractive index gives back its salinity over the whole published range of colours."""
    index = refractive_index_quan1995(salinity, temperature_c, wavelength_nm)
    assert salinity_from_refractive_index(index, temperature_c, wavelength_nm) == pytest.approx(salinity, **KEPT)


@given(SALINITIES)
def test_the_scales_without_temperature_lead_back(salinity):
    """Reference salinity and a brine scale are plain proportions and lose nothing."""
    assert practical_salinity_from_reference(reference_salinity_g_per_kg(salinity)) == pytest.approx(salinity, **KEPT)
    assert salinity_from_brine_scale(brine_scale_reading(salinity)) == pytest.approx(salinity, **KEPT)


@given(SALINITIES, TEMPERATURES, st.floats(0.01, 1.0))
def test_saltier_water_conducts_more_and_is_heavier_and_bends_light_more(salinity, temperature_c, more):
    """Every one of the three rises with salinity, so that its inverse has one answer."""
    for rising in (conductivity_from_practical_salinity, density_kg_per_m3, refractive_index_quan1995):
        assert rising(salinity + more, temperature_c) > rising(salinity, temperature_c)


@given(st.lists(st.tuples(SALINITIES, TEMPERATURES), min_size=1, max_size=8))
def test_many_at_once_are_what_each_alone_is(samples):
    """An array gives an array, and each of its values is the one a single sample gives."""
    salinity, temperature_c = (np.array(column) for column in zip(*samples, strict=True))
    density = density_kg_per_m3(salinity, temperature_c)
    back = salinity_from_density(density, temperature_c)
    conductivity = conductivity_from_practical_salinity(salinity, temperature_c)
    for number, (one, at) in enumerate(samples):
        assert density[number] == density_kg_per_m3(one, at)
        assert conductivity[number] == conductivity_from_practical_salinity(one, at)
        assert back[number] == pytest.approx(one, rel=1e-9)
