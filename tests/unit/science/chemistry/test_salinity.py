"""Conductivity, density and the grams of salt: what is answered, what is refused, and in which words."""

import math

import gsw
import numpy as np
import pytest
from tests.published.oracles import density_millero_poisson1981

from pratique.science.chemistry import density, salinity
from pratique.science.chemistry.density import (
    density_kg_per_m3,
    grams_per_litre,
    salinity_from_density,
)
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.salinity import (
    conductivity_from_practical_salinity,
    conductivity_referred_to_25_c,
    practical_salinity_from_compensated_conductivity,
    practical_salinity_from_conductivity,
    reference_salinity_g_per_kg,
)
from pratique.science.chemistry.validity import outside


def test_a_single_number_gives_a_plain_number_and_an_array_an_array():
    """The result comes as the inputs came, whole numbers too."""
    assert type(practical_salinity_from_conductivity(53, 25)) is float
    assert type(salinity_from_density(1023.3, 25.0)) is float
    assert density_kg_per_m3(np.array([30.0, 35.0]), 25.0).shape == (2,)
    assert salinity_from_density(1023.3, np.array([[20.0, 25.0]])).shape == (1, 2)


@pytest.mark.parametrize(("salinity_psu", "grams"), [(33, 33.880), (34, 34.932), (35, 35.986), (36, 37.041)])
def test_grams_in_a_litre_are_neither_psu_nor_grams_in_a_kilogram(salinity_psu, grams):
    """At 25 °C, reference salinity times TEOS-10 density (computed with gsw 3.6.23): 2.8 % above the PSU at 35."""
    assert grams_per_litre(salinity_psu, 25.0) == pytest.approx(grams, abs=6e-4)
    assert reference_salinity_g_per_kg(salinity_psu) == pytest.approx(float(gsw.SR_from_SP(salinity_psu)), rel=1e-14)


def test_a_compensated_reading_taken_for_a_raw_one_costs_most_of_a_unit():
    """At 26 °C a meter that shows 53.07 referred to 25 °C has water of 35; taken as raw it would be 0.8 less."""
    right = practical_salinity_from_compensated_conductivity(53.071)
    wrong = practical_salinity_from_conductivity(53.071, 26.0)
    assert right == pytest.approx(35.0, abs=1e-3)
    assert right - wrong == pytest.approx(0.8, abs=0.05)


def test_water_referred_to_25_degrees_keeps_its_salinity():
    """Raw 56.228 mS/cm at 28 °C is 53.071 at 25 °C, both of salinity 35 (PSS-78 by gsw)."""
    assert conductivity_referred_to_25_c(56.228, 28.0) == pytest.approx(53.071, abs=1.5e-3)


def test_purified_water_is_salinity_nought_though_the_scale_ends_above_it():
    """Common practice, no source: a household's purified water shows 0.000 to 0.01 mS/cm, and is answered."""
    found = practical_salinity_from_conductivity(np.array([0.0, 0.0005, 0.001, 0.01]), 25.0)
    assert np.all(np.isfinite(found))
    assert np.all(found < 0.005)
    assert practical_salinity_from_conductivity(0.001, 25.0) == 0.0


def test_the_density_of_fresh_water_gives_no_salt_at_all():
    """The ends of the scale are met, not only its middle."""
    for temperature_c in (-2.0, 4.0, 25.0, 45.0):
        assert salinity_from_density(density_kg_per_m3(0.0, temperature_c), temperature_c) == 0.0
        heavy = density_kg_per_m3(69.9, temperature_c)
        assert salinity_from_density(heavy, temperature_c) == pytest.approx(69.9, abs=1e-8)


def test_the_older_equation_of_state_agrees_to_a_hundredth_of_a_gram_in_a_litre():
    """Millero & Poisson 1981 is another fit of other data than TEOS-10: a check from outside the library."""
    salinity_psu, temperature_c = np.meshgrid(np.linspace(0.0, 42.0, 22), np.linspace(0.0, 35.0, 15))
    older = density_millero_poisson1981(salinity_psu, temperature_c)
    assert np.abs(older - density_kg_per_m3(salinity_psu, temperature_c)).max() < 0.01


@pytest.mark.parametrize(
    ("refused", "words"),
    [
        (lambda: practical_salinity_from_conductivity(120.0, 25.0), "must lie within 0 to 70\u202fPSU"),
        (lambda: practical_salinity_from_conductivity(53_000.0, 25.0), "Conductivity must lie within"),
        (lambda: practical_salinity_from_conductivity(53.0, 78.0), "Temperature must lie within -2 to 45\u202f°C"),
        (lambda: practical_salinity_from_conductivity(math.nan, 25.0), "Conductivity must lie within"),
        (lambda: conductivity_from_practical_salinity(-1.0, 25.0), "Salinity must lie within"),
        (lambda: density_kg_per_m3(350.0, 25.0), "Salinity must lie within"),
        (lambda: salinity_from_density(990.0, 25.0), "lighter than fresh water"),
        (lambda: salinity_from_density(1085.0, 25.0), "Salinity must lie within"),
        (lambda: salinity_from_density(1.0233, 25.0), "Density must lie within"),
        (lambda: salinity_from_density(np.array([1020.0, math.nan]), 25.0), "Density must lie within"),
        (lambda: salinity_from_density(1020.0, math.inf), "Temperature must lie within"),
    ],
)
def test_nonsense_is_refused_with_what_would_be_right(refused, words):
    """Nothing is clipped and nothing comes out that is not a number."""
    with pytest.raises(DomainError, match=words):
        refused()


def test_beyond_the_published_range_an_answer_is_given_and_known_as_extrapolated():
    """PSS-78 covers salinity 2 to 42 and -2 to 35 °C (UNESCO 1983): brine of 60 is answered and lies outside."""
    covered, temperatures = salinity.VALIDITY
    assert conductivity_from_practical_salinity(60.0, 25.0) == pytest.approx(85.015, abs=1e-3)
    assert outside(covered, 60.0)
    assert outside(covered, np.array([35.0, 60.0]))
    assert outside(covered, math.nan)
    assert not outside(covered, 42.0)
    assert outside(temperatures, 36.0)
    assert not outside(density.VALIDITY[0], 0.0)
