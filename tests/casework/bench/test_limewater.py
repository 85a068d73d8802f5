"""Limewater by the litre, a refractometer that does not correct for warmth, and phosphate in an alkalinity."""

import pytest
from tests.casework.bench.asking_it import also, ask, refusal

from pratique.casework.bench.oxygen_lasting import LASTING

REEF = {"alkalinity": "8 dKH", "ph": "8.0", "ph_scale": "total", "salinity": "35", "temperature": "25"}


def test_six_litres_of_limewater_a_day_keep_up_two_and_a_quarter_dkh():
    """6 L at 40.6 meq/L (solubility recalled) in 300 L: 0.812 meq/L, 2.27 dKH and 16.3 mg/L of calcium (by hand)."""
    found = ask("dose", limewater="6 L", volume="300 L")
    assert found.value == pytest.approx(2.2736, abs=1e-4)
    assert found.unit == "dKH"
    assert also(found, "Calcium") == pytest.approx(0.812 * 20.039, abs=1e-2)
    assert any("saturated" in one for one in found.assumed)
    assert any("caustic" in one for one in found.cautions)


def test_limewater_half_as_strong_brings_half():
    """In proportion; a strength that was read is not assumed."""
    found = ask("dose", limewater="6", volume="300", limewater_strength="20.3 meq/L")
    assert found.value == pytest.approx(1.1368, abs=1e-4)
    assert not any("saturated" in one for one in found.assumed)


def test_limewater_all_at_once_raises_the_ph_as_hydroxide_does():
    """1 dKH of hydroxide raises the total-scale pH of 8 dKH at 8.1 by 0.339 (PyCO2SYS, row DOSEPH-hydroxide)."""
    found = ask("dose", limewater="2.639", volume="300", **{**REEF, "ph": "8.1"})
    assert found.value == pytest.approx(1.0, abs=1e-3)
    rise = also(found, "pH (NBS) just after") - also(found, "pH (NBS) before")
    assert rise == pytest.approx(0.339, abs=3e-3)
    assert also(found, "Ω aragonite just after") == pytest.approx(8.8, abs=0.15)
    assert any("at once" in one for one in found.warnings)


def test_a_tank_full_of_limewater_is_refused_at_its_field():
    """More than a tenth of the water in a day is no top-up; the sentence says how much may be."""
    problems = refusal("dose", limewater="60", volume="300")
    assert any("0 to 0.1" in one for one in problems.values())
    assert "limewater" in refusal("dose", limewater="", volume="300", way="limewater")


def test_a_refractometer_without_correction_reads_a_warm_sample_low():
    """Quan & Fry's index (coefficients recalled) at 35 falls from 1.339406 at 20 to 1.338858 at 25 °C: 3.0 units."""
    warm = {"refractometer": "35", "scale": "seawater", "correction": "none", "set_at": "20", "temperature": "25"}
    found = ask("salinity", **warm)
    assert found.value == pytest.approx(35.0 + 0.000548 / 1.815e-4, abs=0.05)
    assert ask("salinity", **{**warm, "temperature": "20"}).value == pytest.approx(35.0)
    assert ask("salinity", refractometer="35", scale="seawater").value == 35.0


def test_both_temperatures_are_asked_for_where_it_does_not_correct():
    """Neither is guessed."""
    problems = refusal("salinity", refractometer="35", scale="seawater", correction="none")
    assert set(problems) == {"set_at", "temperature"}


def test_phosphate_takes_its_part_of_the_alkalinity():
    """10 mg/L PO4 at total-scale pH 8.0, 35 and 25 °C: 102.9 µmol/kg times 1.130 (PyCO2SYS), 0.333 dKH (by hand)."""
    found = ask("carbonate", phosphate="10 mg/L", **REEF)
    assert also(found, "Part of the alkalinity that is phosphate") == pytest.approx(0.333, abs=0.002)
    with_none = ask("carbonate", **REEF)
    assert found.value == with_none.value


def test_a_source_that_two_steps_share_is_told_once():
    """Density is behind a density and behind its salinity told in other units."""
    for found in (
        ask("salinity", density="1023.3", temperature="25"),
        ask("salinity", specific_gravity="1.026", reference="25/25"),
    ):
        assert len(set(found.sources)) == len(found.sources)


def test_the_air_that_gets_in_is_hinted_at_by_our_figures():
    """A still surface 0.1 an hour, a good airstone 2 (our own guesses)."""
    hint = next(one.hint for one in LASTING.fields if one.name == "gas_exchange")
    assert "about 0.1 a still" in hint
    assert "2 a good airstone" in hint
