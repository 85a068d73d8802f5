"""Any two readings of one water lead to the same water, whichever two they are."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pratique.science.chemistry.carbonate_pairs import (
    state_from_alkalinity_dic,
    state_from_alkalinity_pco2,
    state_from_alkalinity_ph,
    state_from_dic_pco2,
    state_from_dic_ph,
    state_from_ph_pco2,
)

PH_SCALES = ("nbs", "total", "free")
NUMBERS = (
    "alkalinity_umol_per_kg",
    "dic_umol_per_kg",
    "ph_total",
    "ph_nbs",
    "ph_free",
    "pco2_uatm",
    "co2_umol_per_kg",
    "bicarbonate_umol_per_kg",
    "carbonate_umol_per_kg",
    "omega_aragonite",
    "omega_calcite",
    "revelle_factor",
)


def every_way_back(state, water):
    """Yield the state found again from each pair of readings, on each scale where a pH is one of them."""
    alkalinity, dic, pco2 = state.alkalinity_umol_per_kg, state.dic_umol_per_kg, state.pco2_uatm
    yield "alkalinity, dic", state_from_alkalinity_dic(alkalinity, dic, **water)
    yield "alkalinity, pco2", state_from_alkalinity_pco2(alkalinity, pco2, **water)
    yield "dic, pco2", state_from_dic_pco2(dic, pco2, **water)
    with_ph = (
        (state_from_alkalinity_ph, lambda ph: (alkalinity, ph)),
        (state_from_dic_ph, lambda ph: (dic, ph)),
        (state_from_ph_pco2, lambda ph: (ph, pco2)),
    )
    for (solve, readings), scale in itertools.product(with_ph, PH_SCALES):
        yield f"{solve.__name__}, {scale}", solve(*readings(getattr(state, f"ph_{scale}")), ph_scale=scale, **water)


waters = st.fixed_dictionaries(
    {
        "salinity_psu": st.floats(5, 45),
        "temperature_c": st.floats(5, 40),
        "calcium_mg_per_l": st.none() | st.floats(50, 1000),
    }
)


@given(water=waters, dic=st.floats(300, 8000), ph=st.floats(7.0, 9.2))
def test_every_pair_of_readings_leads_back_to_the_same_water(water, dic, ph):
    """Ten ways, all pairs and scales, agree within 1e-8 of every figure."""
    state = state_from_dic_ph(dic, ph, ph_scale="total", **water)
    for way, found in every_way_back(state, water):
        for name in NUMBERS:
            assert getattr(found, name) == pytest.approx(getattr(state, name), rel=1e-8), (way, name)
        assert found.extrapolated == state.extrapolated


@given(water=waters, alkalinity=st.floats(1000, 6000), pco2=st.floats(50, 5000))
def test_more_alkalinity_under_one_air_means_higher_ph(water, alkalinity, pco2):
    """At one pCO2 pH, carbon and Ω rise with alkalinity."""
    less = state_from_alkalinity_pco2(alkalinity, pco2, **water)
    more = state_from_alkalinity_pco2(alkalinity * 1.01, pco2, **water)
    assert more.ph_total > less.ph_total
    assert more.dic_umol_per_kg > less.dic_umol_per_kg
    assert more.omega_aragonite > less.omega_aragonite
