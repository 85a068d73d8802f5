"""The carbonate solver against PyCO2SYS 1.8.3 (Humphreys et al. 2022), an independent solver used in development only.

Agreement with a named library, not truth: both take the same published constants. Total borate is that of Uppström
1974 by either, rounded differently, which is the most of what is left between them.
"""

import numpy as np
import PyCO2SYS
import pytest

from pratique.science.chemistry.carbonate_pairs import (
    state_from_alkalinity_dic,
    state_from_alkalinity_pco2,
    state_from_alkalinity_ph,
    state_from_dic_pco2,
    state_from_dic_ph,
    state_from_ph_pco2,
)
from pratique.science.chemistry.nutrient_acids import nutrient_alkalinity_umol_per_kg

FIELDS = {
    "alkalinity_umol_per_kg": "alkalinity",
    "dic_umol_per_kg": "dic",
    "pco2_uatm": "pCO2",
    "co2_umol_per_kg": "aqueous_CO2",
    "bicarbonate_umol_per_kg": "bicarbonate",
    "carbonate_umol_per_kg": "carbonate",
    "omega_aragonite": "saturation_aragonite",
    "omega_calcite": "saturation_calcite",
    "revelle_factor": "revelle_factor",
    "ph_total": "pH_total",
    "ph_nbs": "pH_nbs",
    "ph_free": "pH_free",
}
ALKALINITY, PH, SALINITY, TEMPERATURE = (
    axis.ravel()
    for axis in np.meshgrid(
        np.linspace(2300, 4500, 5), np.linspace(7.6, 8.6, 5), np.linspace(30, 40, 5), np.linspace(18, 32, 4)
    )
)
WATER = {"salinity_psu": SALINITY, "temperature_c": TEMPERATURE}
PEER = {
    scale: PyCO2SYS.sys(ALKALINITY, PH, 1, 3, salinity=SALINITY, temperature=TEMPERATURE, opt_pH_scale=option)
    for scale, option in {"total": 1, "free": 3, "nbs": 4}.items()
}


def within_a_twentieth_of_a_per_cent(state, peer):
    """Hold every field against the peer's and return the largest relative difference."""
    apart = {ours: float(np.max(np.abs(getattr(state, ours) / peer[theirs] - 1))) for ours, theirs in FIELDS.items()}
    assert {name: worst for name, worst in apart.items() if worst > 5e-4} == {}
    return max(apart.values())


@pytest.mark.parametrize("scale", ["total", "free", "nbs"])
def test_alkalinity_and_ph_on_any_scale(scale):
    """All fields within 0.05 % over S 30 to 40, 18 to 32 °C, alkalinity 2,300 to 4,500 and pH 7.6 to 8.6."""
    state = state_from_alkalinity_ph(ALKALINITY, PH, ph_scale=scale, **WATER)
    assert within_a_twentieth_of_a_per_cent(state, PEER[scale]) < 1e-4


@pytest.mark.parametrize(
    ("solve", "first", "second", "keywords"),
    [
        (state_from_alkalinity_dic, "alkalinity", "dic", {}),
        (state_from_alkalinity_pco2, "alkalinity", "pCO2", {}),
        (state_from_dic_ph, "dic", "pH_total", {"ph_scale": "total"}),
        (state_from_dic_pco2, "dic", "pCO2", {}),
        (state_from_ph_pco2, "pH_total", "pCO2", {"ph_scale": "total"}),
    ],
    ids=["alkalinity-dic", "alkalinity-pco2", "dic-ph", "dic-pco2", "ph-pco2"],
)
def test_every_other_pair(solve, first, second, keywords):
    """The peer's own figures for the other pairs lead to the same state, within 0.05 %."""
    peer = PEER["total"]
    state = solve(peer[first], peer[second], **keywords, **WATER)
    assert within_a_twentieth_of_a_per_cent(state, peer) < 5e-4


def test_phosphate_and_silicate_bring_as_much_alkalinity():
    """What the two nutrients bring agrees within 1 % of them (the handbook's rounded constants against exact ones)."""
    amounts = {"total_phosphate": 30.0, "total_silicate": 50.0}
    with_them = PyCO2SYS.sys(ALKALINITY, PH, 1, 3, salinity=SALINITY, temperature=TEMPERATURE, **amounts)
    ours = nutrient_alkalinity_umol_per_kg(PH, phosphate_umol_per_kg=30.0, silicate_umol_per_kg=50.0, **WATER)
    theirs = with_them["alkalinity_phosphate"] + with_them["alkalinity_silicate"]
    assert ours == pytest.approx(theirs, rel=0.01)


def test_one_sample_is_the_same_as_many():
    """The path for single numbers gives what the path for arrays gives."""
    many = state_from_alkalinity_ph(ALKALINITY, PH, **WATER)
    for at in (0, 123, 499):
        one = state_from_alkalinity_ph(
            float(ALKALINITY[at]), float(PH[at]), salinity_psu=float(SALINITY[at]), temperature_c=float(TEMPERATURE[at])
        )
        for name in FIELDS:
            assert getattr(one, name) == pytest.approx(getattr(many, name)[at], rel=1e-12)
