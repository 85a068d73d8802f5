"""Un-ionised ammonia by the rigorous route, and the more cautious of both.

The columns "rigorous", "Bell" and "CW free" of the comparison are computed with PyCO2SYS 1.8.3 and from the published
equations; they show agreement. The grouper values are published (Zheng 2012).
"""

import numpy as np
import pytest
from tests.published.oracles import pk_ammonium_bell2008, pk_ammonium_clegg1995_free

from pratique.science.chemistry.ammonia import (
    un_ionised_ammonia_mg_n_per_l,
    un_ionised_with_error,
    worst_plausible_un_ionised,
)
from pratique.science.chemistry.ammonia_constants import (
    VALIDITY,
    pk_ammonium_clegg1995,
    pk_ammonium_clegg1995_molal,
)
from pratique.science.chemistry.ammonia_rigorous import (
    cautious_un_ionised_with_error,
    cautious_worst_plausible,
    un_ionised_both,
    un_ionised_fraction_clegg1995,
    un_ionised_rigorous_mg_n_per_l,
)
from pratique.science.chemistry.ammonia_species import TotalAsN
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.uncertainty import NORMAL_95, Uncertain
from pratique.science.chemistry.validity import outside

COMPARISON = [
    (30, 25, 6.21, 6.67, 6.99),
    (33, 25, 6.18, 6.54, 6.88),
    (35, 20, 4.33, 4.58, 4.80),
    (35, 25, 6.16, 6.46, 6.80),
    (35, 26, 6.60, 6.91, 7.27),
    (35, 28, 7.56, 7.91, 8.30),
    (35, 30, 8.63, 9.03, 9.44),
]
# Warm brine: one of the few waters where the rigorous route gives more than the simple one.
WARM_BRINE = {"temperature_c": 40.0, "salinity_psu": 45.0}


@pytest.mark.parametrize(("salinity", "temperature_c", "rigorous", "bell", "free"), COMPARISON)
def test_the_comparison_of_methods_is_met(salinity, temperature_c, rigorous, bell, free):
    """At NBS pH 8.2: the rigorous route, and two more as a careless reader would use them, to the printed digit."""
    found = 100 * un_ionised_fraction_clegg1995(8.2, salinity_psu=salinity, temperature_c=temperature_c)
    assert found == pytest.approx(rigorous, abs=0.006)
    for pk, printed in ((pk_ammonium_bell2008, bell), (pk_ammonium_clegg1995_free, free)):
        assert 100 / (1 + 10 ** (pk(salinity, temperature_c) - 8.2)) == pytest.approx(printed, abs=0.006)


@pytest.mark.parametrize(("ph", "percent"), [(7.8, 2.55), (8.0, 3.98), (8.4, 9.42)])
def test_the_rigorous_route_at_other_ph(ph, percent):
    """Salinity 35, 25 °C (PyCO2SYS)."""
    assert 100 * un_ionised_fraction_clegg1995(ph, salinity_psu=35.0, temperature_c=25.0) == pytest.approx(
        percent, abs=0.006
    )


@pytest.mark.parametrize(("total", "published"), [(2.68, 0.11), (51.4, 2.12)])
def test_the_grouper_paper_lies_within_the_spread_of_methods(total, published):
    """Zheng 2012 (published): pH 8.0, 25 °C, salinity 30; valid methods agree within 15 %."""
    both = un_ionised_both(TotalAsN(total), 8.0, salinity_psu=30.0, temperature_c=25.0)
    assert both.rigorous.mg_per_l == pytest.approx(published, rel=0.15)
    assert both.simple.mg_per_l == pytest.approx(published, rel=0.15)


def test_both_routes_stand_side_by_side_with_their_spread():
    """Salinity 35, 25 °C, NBS pH 8.2: 6.16 and 6.57 % are 6.7 % apart, and the simple one is the more cautious."""
    both = un_ionised_both(TotalAsN(1.0), 8.2, salinity_psu=35.0, temperature_c=25.0)
    assert both.spread == pytest.approx(0.067, abs=0.001)
    assert both.cautious_route == "simple"
    assert both.cautious == both.simple > both.rigorous


def test_in_warm_brine_the_rigorous_route_is_the_more_cautious():
    """The choice is made each time, not once for all."""
    both = un_ionised_both(TotalAsN(1.0), 8.2, **WARM_BRINE)
    assert both.cautious_route == "rigorous"
    assert both.cautious == both.rigorous > both.simple


def test_a_total_scale_constant_with_a_meter_reading_would_be_a_third_too_high():
    """The commonest mistake: 8.53 instead of 6.16 % at 35 and 25 °C (PyCO2SYS and own code)."""
    wrong = 100 / (1 + 10 ** (pk_ammonium_clegg1995_molal(35.0, 25.0) - 8.2))
    assert wrong == pytest.approx(8.53, abs=0.006)


def test_a_series_gives_what_single_values_give():
    """Arrays go through the same arithmetic."""
    ph, warmth = np.array([7.8, 8.2]), np.array([24.0, 26.0])
    series = un_ionised_fraction_clegg1995(ph, salinity_psu=35.0, temperature_c=warmth)
    singles = [
        un_ionised_fraction_clegg1995(p, salinity_psu=35.0, temperature_c=t) for p, t in ((7.8, 24.0), (8.2, 26.0))
    ]
    assert series == pytest.approx(singles)
    assert all(type(one) is float for one in singles)


@pytest.mark.parametrize("pk", [pk_ammonium_clegg1995, pk_ammonium_clegg1995_molal])
def test_a_pk_of_a_series_is_a_series(pk):
    """One salinity, two temperatures."""
    assert pk(35.0, np.array([20.0, 25.0])) == pytest.approx([pk(35.0, 20.0), pk(35.0, 25.0)])


@pytest.mark.parametrize(
    ("ph", "salinity", "temperature_c"), [(4.0, 35, 25), (8.2, 60, 35), (8.2, 35, 50), (8.2, -1, 25), (11.0, 35, 25)]
)
def test_an_input_that_makes_no_sense_is_refused(ph, salinity, temperature_c):
    """Refused, never clipped."""
    with pytest.raises(DomainError, match="must lie within"):
        un_ionised_fraction_clegg1995(ph, salinity_psu=salinity, temperature_c=temperature_c)


def test_water_beyond_the_published_range_is_told_as_such():
    """Published for salinity 0 to 40: at 42 there is an answer, and it is extrapolated."""
    salinity = next(one for one in VALIDITY if one.name == "salinity")
    assert not outside(salinity, 35.0)
    assert outside(salinity, 42.0)


def test_the_cautious_value_is_the_simple_one_in_ordinary_seawater():
    """With its error, to the last digit."""
    simple = un_ionised_with_error(0.8, 0.1, 8.2, 0.05, 26.0, 0.3, 34.0, 0.5)
    cautious = cautious_un_ionised_with_error(
        Uncertain(0.8, 0.1 * NORMAL_95),
        Uncertain(8.2, 0.05 * NORMAL_95),
        temperature_c=Uncertain(26.0, 0.3 * NORMAL_95),
        salinity_psu=Uncertain(34.0, 0.5 * NORMAL_95),
    )
    assert cautious.value == simple.value
    assert cautious.plus_minus == pytest.approx(simple.plus_minus)
    assert cautious.dominated_by == simple.dominated_by


def test_the_cautious_value_is_the_rigorous_one_where_that_is_higher():
    """Its error is carried the same way, and pH still dominates it."""
    cautious = cautious_un_ionised_with_error(
        Uncertain(1.0, 0.05), Uncertain(8.2, 0.2), temperature_c=Uncertain(40.0, 0.5), salinity_psu=Uncertain(45.0, 1.0)
    )
    rigorous = un_ionised_rigorous_mg_n_per_l(1.0, 8.2, **WARM_BRINE)
    assert cautious.value == rigorous > un_ionised_ammonia_mg_n_per_l(1.0, 8.2, 40.0, 45.0)
    assert cautious.dominated_by == "pH"
    assert 0.0 < cautious.plus_minus < rigorous


def test_fresh_water_falls_back_on_the_simple_route():
    """The change of pH scale is not known without salt, but a dip must still be judged."""
    fresh = cautious_un_ionised_with_error(
        Uncertain(1.0), Uncertain(8.2), temperature_c=Uncertain(25.0), salinity_psu=Uncertain(0.0)
    )
    assert fresh.value == un_ionised_ammonia_mg_n_per_l(1.0, 8.2, 25.0, 0.0)


@pytest.mark.parametrize("salinity_lower", [0.0, 5.0, 12.0, 30.0, 44.0])
def test_the_worst_plausible_value_is_above_both_routes_everywhere_in_the_box(salinity_lower):
    """The rigorous fraction does not fall with salinity below 20, but there the simple one lies above it."""
    worst = cautious_worst_plausible(0.6, ph_upper=8.4, temperature_upper=29.0, salinity_lower=salinity_lower)
    assert worst >= worst_plausible_un_ionised(0.6, ph_upper=8.4, temperature_upper=29.0, salinity_lower=salinity_lower)
    for salinity in np.linspace(max(salinity_lower, 1.0), 45.0, 30):
        for ph, temperature_c in ((7.8, 22.0), (8.4, 22.0), (8.4, 29.0)):
            assert (
                un_ionised_rigorous_mg_n_per_l(0.6, ph, salinity_psu=float(salinity), temperature_c=temperature_c)
                <= worst * 1.0000001
            )


def test_a_negative_total_is_refused():
    """There is no less than no ammonia."""
    with pytest.raises(DomainError, match="Total ammonia must be at least 0"):
        un_ionised_rigorous_mg_n_per_l(-0.1, 8.2, salinity_psu=35.0, temperature_c=25.0)


def test_the_worst_plausible_value_is_the_rigorous_one_in_warm_brine():
    """Where that route gives more, it is the worst."""
    worst = cautious_worst_plausible(1.0, ph_upper=8.2, temperature_upper=40.0, salinity_lower=45.0)
    assert worst == un_ionised_rigorous_mg_n_per_l(1.0, 8.2, **WARM_BRINE)
    assert worst > un_ionised_ammonia_mg_n_per_l(1.0, 8.2, 40.0, 45.0)


@pytest.mark.parametrize("temperature_c", [2.0, 41.0])
def test_beyond_the_simple_route_the_rigorous_one_stands_alone(temperature_c):
    """Clegg & Whitfield 1995 is published from -2 °C on; the simple relation begins at 5 and ends at 40."""
    water = {"salinity_psu": 35.0, "temperature_c": temperature_c}
    alone = cautious_un_ionised_with_error(
        Uncertain(1.0, 0.1), Uncertain(8.2, 0.1), temperature_c=Uncertain(temperature_c), salinity_psu=Uncertain(35.0)
    )
    assert alone.value == un_ionised_rigorous_mg_n_per_l(1.0, 8.2, **water)
    worst = cautious_worst_plausible(1.0, ph_upper=8.2, temperature_upper=temperature_c, salinity_lower=35.0)
    assert worst == alone.value


@pytest.mark.parametrize("temperature_c", [2.0, 42.0])
def test_where_the_rigorous_route_stands_alone_its_peak_is_found(temperature_c):
    """Its fraction does not fall with salinity everywhere, so the lowest salinity need not be the worst."""
    worst = cautious_worst_plausible(1.0, ph_upper=8.2, temperature_upper=temperature_c, salinity_lower=1.0)
    for salinity in np.linspace(1.0, 45.0, 200):
        found = un_ionised_rigorous_mg_n_per_l(1.0, 8.2, salinity_psu=float(salinity), temperature_c=temperature_c)
        assert found <= worst * 1.001


def test_water_beyond_both_routes_is_refused():
    """Neither speaks of 50 °C."""
    with pytest.raises(DomainError, match="Temperature must lie within"):
        cautious_worst_plausible(1.0, ph_upper=8.2, temperature_upper=50.0, salinity_lower=35.0)
    with pytest.raises(DomainError, match="Temperature must lie within"):
        cautious_un_ionised_with_error(
            Uncertain(1.0), Uncertain(8.2), temperature_c=Uncertain(50.0), salinity_psu=Uncertain(35.0)
        )
