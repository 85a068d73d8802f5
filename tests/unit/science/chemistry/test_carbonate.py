"""The carbonate state of seawater: how it behaves, and what it refuses."""

import dataclasses

import numpy as np
import pytest

from pratique.science.chemistry.carbonate_pairs import (
    state_from_alkalinity_dic,
    state_from_alkalinity_pco2,
    state_from_alkalinity_ph,
    state_from_dic_pco2,
    state_from_dic_ph,
    state_from_ph_pco2,
)
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.ph_scales import ph_nbs_from_total, ph_on_scale, ph_total_from_nbs

REEF = {"salinity_psu": 35.0, "temperature_c": 25.0}


def test_a_ph_is_taken_as_a_hobby_meter_reads_it():
    """Without a scale the pH is NBS: 8.2 on the meter is 0.137 lower on the total scale (chemistry reference, 2.5)."""
    state = state_from_alkalinity_ph(2800.0, 8.2, **REEF)
    assert state.ph_nbs == pytest.approx(8.2, abs=1e-12)
    assert state.ph_total == pytest.approx(8.063, abs=0.001)


def test_one_ph_told_on_three_scales_is_one_water():
    """The state does not depend on the scale the pH came in."""
    nbs = state_from_alkalinity_ph(2800.0, 8.2, **REEF)
    for scale, ph in (("total", nbs.ph_total), ("free", nbs.ph_free)):
        same = state_from_alkalinity_ph(2800.0, ph, ph_scale=scale, **REEF)
        assert same.dic_umol_per_kg == pytest.approx(nbs.dic_umol_per_kg, rel=1e-12)


@pytest.mark.parametrize(
    ("temperature_c", "nbs", "free", "seawater"),
    [(22, 0.130, 0.098, -0.009), (25, 0.137, 0.108, -0.010), (28, 0.144, 0.118, -0.010)],
)
def test_the_scales_lie_apart_as_pyco2sys_has_them(temperature_c, nbs, free, seawater):
    """NBS, free and seawater scale less the total scale at salinity 35 (PyCO2SYS 1.8, to the third decimal)."""
    for scale, apart in (("nbs", nbs), ("free", free), ("sws", seawater)):
        told = ph_on_scale(8.1, "total", scale, salinity_psu=35.0, temperature_c=float(temperature_c))
        assert told - 8.1 == pytest.approx(apart, abs=6e-4)


def test_nbs_and_total_undo_each_other():
    """A pH moved to the total scale and back is the pH that was read."""
    assert ph_nbs_from_total(ph_total_from_nbs(8.2, 33.0, 26.0), 33.0, 26.0) == pytest.approx(8.2, abs=1e-12)


def test_a_scale_not_known_is_refused_even_where_nothing_changes():
    """A pH on no known scale is not handed back as if it had been understood."""
    with pytest.raises(DomainError, match="not a pH scale known here"):
        ph_on_scale(8.1, "other", "other", **REEF)


def test_single_numbers_give_floats_and_arrays_give_arrays():
    """The fields come as the inputs do, every array of one shape."""
    single = state_from_alkalinity_ph(2800.0, 8.2, **REEF)
    many = state_from_alkalinity_ph(np.array([2800.0, 2900.0]), 8.2, calcium_mg_per_l=420.0, **REEF)
    for field in dataclasses.fields(single):
        if field.name != "extrapolated":
            assert type(getattr(single, field.name)) is float
            assert getattr(many, field.name).shape == (2,)
    assert many.omega_aragonite[0] == pytest.approx(
        state_from_alkalinity_ph(2800.0, 8.2, calcium_mg_per_l=420.0, **REEF).omega_aragonite, rel=1e-12
    )


def test_arrays_of_two_directions_make_a_table():
    """A column of alkalinities and a row of pCO2 give every pairing, each as it would be alone."""
    table = state_from_alkalinity_pco2(np.array([[2300.0], [2800.0], [4500.0]]), np.array([300.0, 1000.0]), **REEF)
    assert table.ph_total.shape == (3, 2)
    assert table.ph_total[2, 1] == pytest.approx(state_from_alkalinity_pco2(4500.0, 1000.0, **REEF).ph_total, abs=1e-12)


def test_no_samples_give_no_states():
    """An empty array is answered with empty arrays."""
    assert state_from_alkalinity_dic(np.array([]), np.array([]), **REEF).ph_total.size == 0


def test_the_answer_names_the_published_ranges_it_leaves():
    """At salinity 41 solubility and the NBS scale are extrapolated, at 15 carbonic acid too; at 35 nothing is."""
    assert state_from_alkalinity_ph(2800.0, 8.2, **REEF).extrapolated == ()
    named = state_from_alkalinity_ph(2800.0, 8.2, salinity_psu=41.0, temperature_c=25.0).extrapolated
    assert {(span.upper, span.source.split(":")[0]) for span in named} == {
        (40.0, "solubility of carbon dioxide"),
        (40.0, "activity of hydrogen ions on the NBS scale"),
    }
    low = state_from_alkalinity_ph(1000.0, 8.2, salinity_psu=np.array([15.0, 35.0]), temperature_c=25.0).extrapolated
    assert "carbonic acid: Lueker et al. 2000" in {span.source for span in low}


def test_calcium_is_the_ocean_s_unless_it_was_read():
    """Ω follows the calcium: half of it halves Ω and touches nothing else."""
    ocean = state_from_alkalinity_ph(2800.0, 8.2, **REEF)
    half = state_from_alkalinity_ph(2800.0, 8.2, calcium_mg_per_l=421.8 / 2, **REEF)
    assert half.omega_calcite == pytest.approx(ocean.omega_calcite / 2, rel=1e-3)
    assert half.pco2_uatm == ocean.pco2_uatm


def test_boric_acid_alone_cannot_hold_more_than_the_alkalinity():
    """A high pH with a low alkalinity is refused with a sentence, not answered with negative carbon."""
    with pytest.raises(DomainError, match="alkalinity or the pH must be wrong"):
        state_from_alkalinity_ph(200.0, 9.5, **REEF)


def test_two_readings_that_no_water_has_are_refused():
    """More carbon dioxide than carbon, or alkalinity no pH explains, is refused."""
    with pytest.raises(DomainError, match="more carbon dioxide"):
        state_from_dic_pco2(10.0, 1000.0, **REEF)
    with pytest.raises(DomainError, match="no pH between"):
        state_from_alkalinity_dic(20_000.0, 1.0, salinity_psu=35.0, temperature_c=2.0)
    with pytest.raises(DomainError, match="inorganic carbon these two make"):
        state_from_ph_pco2(9.5, 1000.0, **REEF)


def test_what_no_water_holds_is_not_answered():
    """8 dKH at pH 4 would need ten million µatm of carbon dioxide; inorganic carbon at pH 3 is nearly all gas."""
    with pytest.raises(DomainError, match="The inorganic carbon these two make must lie within"):
        state_from_alkalinity_ph(2790.0, 4.0, **REEF)
    with pytest.raises(DomainError, match="The pCO2 these two make must lie within"):
        state_from_dic_ph(15_000.0, 3.0, **REEF)
    with pytest.raises(DomainError, match="these two make"):
        state_from_alkalinity_ph(np.array([2790.0, 2790.0]), np.array([8.1, 4.0]), **REEF)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"salinity_psu": 0.0}, "Salinity must lie within 1 to 50"),
        ({"salinity_psu": float("nan")}, "Salinity"),
        ({"temperature_c": 77.0}, "Temperature must lie within 0 to 45"),
        ({"calcium_mg_per_l": -1.0}, "Calcium"),
        ({"ph_scale": "other"}, "not a pH scale known here"),
    ],
)
def test_water_beyond_the_bounds_is_refused(changed, words):
    """Nonsense is refused in words that name the bounds; nothing is clipped."""
    with pytest.raises(DomainError, match=words):
        state_from_alkalinity_ph(2800.0, 8.2, **REEF | changed)


@pytest.mark.parametrize(
    ("alkalinity", "ph"),
    [(2.8, 8.2), (50_000.0, 8.2), (float("nan"), 8.2), (2800.0, 13.0), (np.array([2800.0, np.nan]), 8.2)],
)
def test_readings_beyond_the_bounds_are_refused(alkalinity, ph):
    """An alkalinity left in meq/L, a pH of 13 or a missing number is refused."""
    with pytest.raises(DomainError, match="must lie within"):
        state_from_alkalinity_ph(alkalinity, ph, **REEF)


def test_more_carbon_dioxide_means_lower_ph_and_lower_omega():
    """At one alkalinity pH and Ω fall as pCO2 rises: a closed room explains a low pH at a good alkalinity."""
    states = state_from_alkalinity_pco2(2800.0, np.linspace(200.0, 3000.0, 60), **REEF)
    assert np.all(np.diff(states.ph_nbs) < 0.0)
    assert np.all(np.diff(states.omega_aragonite) < 0.0)


def test_the_buffer_is_what_a_small_change_of_carbon_does():
    """The Revelle factor is the relative change of pCO2 over that of carbon at one alkalinity (its definition)."""

    def at(dic):
        return state_from_alkalinity_dic(2500.0, dic, **REEF)

    step = 0.01
    slope = (at(2200.0 + step).pco2_uatm - at(2200.0 - step).pco2_uatm) / (2 * step)
    assert at(2200.0).revelle_factor == pytest.approx(slope * 2200.0 / at(2200.0).pco2_uatm, rel=1e-6)


def test_the_species_add_up():
    """Carbon is its three species (conservation)."""
    state = state_from_dic_ph(2100.0, 8.0, ph_scale="total", **REEF)
    assert state.co2_umol_per_kg + state.bicarbonate_umol_per_kg + state.carbonate_umol_per_kg == pytest.approx(2100.0)
