"""What does this reading mean? The cards against handbook values; each test names where its figure comes from."""

import pytest
from tests.casework.bench.asking_it import also, ask, refusal

WATER = {"salinity": "35", "temperature": "25"}


def test_conductivity_becomes_practical_salinity():
    """53.07 mS/cm at 25 °C is salinity 35: the scale of 1978, recomputed with gsw."""
    found = ask("salinity", conductivity="53.07mS/cm", temperature="25C")
    assert found.value == pytest.approx(35.0, abs=0.005)
    assert (found.unit, found.decimals) == ("PSU", 1)


def test_a_reading_without_an_error_gets_that_of_its_instrument_and_says_so():
    """3 % of a conductivity as 95 %, common practice: about 1.2 in salinity, the temperature adds a little."""
    found = ask("salinity", conductivity="53.07", temperature="25")
    assert 1.1 < found.plus_minus < 1.4
    assert found.dominated_by == "Conductivity"
    assert any("no ± was given" in one for one in found.assumed)


def test_an_error_that_is_given_is_carried_and_nothing_is_assumed():
    """A slope of 0.000757 SG a unit at 25/25 (recomputed with gsw): ± 0.0010 is ± 1.32 in salinity."""
    found = ask("salinity", specific_gravity="1.0264", specific_gravity_plus_minus="0.0010", reference="25/25")
    assert found.plus_minus == pytest.approx(0.0010 / 0.000757, rel=0.01)
    assert found.assumed == ()


def test_an_error_may_be_a_percentage():
    """2 % of 53.07 mS/cm is 1.06."""
    by_part = ask("salinity", conductivity="53.07", conductivity_plus_minus="2 %", temperature="25")
    by_width = ask("salinity", conductivity="53.07", conductivity_plus_minus="1.0614", temperature="25")
    assert by_part.plus_minus == pytest.approx(by_width.plus_minus)


def test_a_specific_gravity_needs_its_two_temperatures():
    """1.026 is salinity 34.5 as 25/25 and 33.9 as 60F/60F (recomputed with gsw): asked for, never assumed."""
    assert "two temperatures" in refusal("salinity", specific_gravity="1.026")["reference"]
    assert ask("salinity", specific_gravity="1.026", reference="25/25").value == pytest.approx(34.507, abs=0.002)
    assert ask("salinity", specific_gravity="1.026", reference="60F/60F").value == pytest.approx(33.881, abs=0.002)


def test_any_pair_of_temperatures_can_be_written():
    """15/4 is not on the list and is understood."""
    found = ask("salinity", specific_gravity="1.0260", other_reference="15/4")
    assert 33 < found.value < 36


def test_a_hydrometer_is_corrected_for_warmth_and_its_glass():
    """1.0240 on a 60 °F stem in water of 25 °C is 34.217, not 31.3 (handbook correction, recomputed)."""
    found = ask("salinity", hydrometer="1.0240", material="glass", reference="60F/60F", temperature="25")
    assert found.value == pytest.approx(34.217, abs=0.002)


def test_a_swing_arm_is_read_as_it_is_with_a_wide_error():
    """± 0.004 as 95 % (common practice, no source) is more than five units of salinity."""
    found = ask("salinity", hydrometer="1.0264", material="swing-arm", reference="25/25", temperature="20")
    assert found.value == pytest.approx(35.03, abs=0.02)
    assert found.plus_minus > 5


def test_the_scale_of_a_refractometer_is_asked_for():
    """A brine scale shows 36.5 where seawater has 35 (from memory)."""
    assert "seawater" in refusal("salinity", refractometer="36.5")["scale"]
    found = ask("salinity", refractometer="36.5", scale="brine")
    assert found.value == pytest.approx(35.0)
    assert also(found, "Taking one scale for the other") == pytest.approx(1.5, abs=0.01)


def test_away_from_25_degrees_a_meter_must_say_whether_it_compensates():
    """Taking one for the other at 26 °C moves the salinity by 0.8 (recomputed)."""
    assert "referred" in refusal("salinity", conductivity="53.07", temperature="26")["compensation"]
    raw = ask("salinity", conductivity="53.07", temperature="26", compensation="raw")
    referred = ask("salinity", conductivity="53.07", compensation="referred")
    assert referred.value - raw.value == pytest.approx(0.8, abs=0.1)


def test_two_instruments_at_once_are_not_guessed_between():
    """Which one is meant must be said."""
    assert refusal("salinity", conductivity="53", specific_gravity="1.026", reference="25/25", temperature="25")


def test_an_answer_the_way_would_leave_out_is_refused():
    """Nothing that was written is silently dropped."""
    problems = refusal("salinity", way="refractometer", refractometer="35", scale="seawater", density="1023")
    assert "not used" in problems["density"]


def test_leaving_a_published_range_is_said_and_answered():
    """Quan & Fry 1995 is published to 35; beyond, the answer says so."""
    found = ask("salinity", refractometer="38", scale="seawater")
    assert any("published range" in one and "extrapolated" in one for one in found.extrapolated)


def test_nonsense_is_refused_at_its_field():
    """A salinity of 200 is no water."""
    assert "70" in refusal("salinity", refractometer="200", scale="seawater")[""]


def test_ammonia_counts_must_be_said():
    """0.5 mg/L as NH3 and as N are different waters."""
    water = {"total": "0.5", "ph": "8.2", **WATER}
    assert "counts" in refusal("ammonia", **water)["counted_as"]
    as_n = ask("ammonia", **water, counted_as="N")
    as_nh3 = ask("ammonia", **water, counted_as="NH3")
    # 1 mg of NH3 holds 0.8225 mg of nitrogen: molar masses, IUPAC 2021.
    assert as_nh3.value / as_n.value == pytest.approx(14.007 / 17.031, rel=1e-4)


def test_mixed_ammonia_species_are_refused():
    """A number in one and a choice of another cannot both be."""
    problems = refusal("ammonia", total="0.5 mg/L NH4", counted_as="NH3", ph="8.2", **WATER)
    assert "NH4" in problems["counted_as"]


def test_un_ionised_ammonia_is_told_by_both_routes_and_the_cautious_one_counts():
    """6.16 % rigorous and 6.57 % simple at NBS pH 8.2 (Clegg & Whitfield 1995; Khoo et al. 1977, recomputed)."""
    found = ask("ammonia", total="1 mg/L as N", ph="8.2", **WATER)
    assert also(found, "By the rigorous route") == pytest.approx(0.0616, abs=0.0003)
    assert also(found, "By the simple route") == pytest.approx(0.0657, abs=0.0003)
    assert found.value == also(found, "By the simple route")
    assert found.dominated_by == "pH"


def test_a_ph_on_the_total_scale_is_brought_to_the_meters():
    """NBS reads 0.137 above total at 35 and 25 °C (recomputed with an independent solver)."""
    nbs = ask("ammonia", total="1 mg/L as N", ph="8.337", **WATER)
    total = ask("ammonia", total="1 mg/L as N", ph="8.2", ph_scale="total", **WATER)
    assert total.value == pytest.approx(nbs.value, rel=0.005)


def test_alkalinity_is_told_in_every_unit():
    """8 dKH are 2.857 meq/L, 142.9 mg/L CaCO3 by convention, and 2792 µmol/kg at 35 and 25 °C (recomputed)."""
    found = ask("alkalinity", alkalinity="8 dKH", into="µmol/kg", **WATER)
    assert found.value == pytest.approx(2792, abs=0.5)
    assert also(found, "In meq/L") == pytest.approx(2.857, abs=0.001)
    assert also(found, "In mg/L CaCO3") == pytest.approx(142.86, abs=0.01)
    assert also(found, "By the exact") == pytest.approx(8.011, abs=0.001)


def test_per_kilogram_needs_the_water():
    """Forgetting density is an error of 2.3 %."""
    assert set(refusal("alkalinity", alkalinity="2792 µmol/kg")) == {"salinity", "temperature"}


def test_the_carbonate_state_of_a_reef_tank():
    """8 dKH, meter pH 8.2, 25.5 °C, calcium 420: Ω 4.31, pCO2 463, DIC 2430 (an independent solver)."""
    found = ask("carbonate", alkalinity="8", ph="8.2", salinity="35", temperature="25.5", calcium="420")
    assert found.value == pytest.approx(4.31, abs=0.02)
    assert also(found, "pCO2") == pytest.approx(463, abs=2)
    assert also(found, "Dissolved inorganic") == pytest.approx(2430, abs=3)
    assert found.dominated_by == "pH"


def test_the_carbonate_card_wants_exactly_two_readings():
    """One is too few and three are too many."""
    assert "two" in refusal("carbonate", alkalinity="8", **WATER)[""]
    assert "two" in refusal("carbonate", alkalinity="8", ph="8.2", pco2="400", **WATER)["pco2"]


def test_room_air_lowers_the_ph():
    """8 dKH at rest with 1000 µatm has pH 7.779 on the total scale, 7.916 NBS (an independent solver)."""
    found = ask("carbonate", alkalinity="8", ph="8.2", room_co2="1000", **WATER)
    assert also(found, "pH (NBS) at rest") == pytest.approx(7.779 + 0.137, abs=0.005)


def test_oxygen_at_saturation():
    """6.771 mg/L at 35 and 25 °C: Garcia & Gordon 1992, recomputed with gsw."""
    found = ask("oxygen", salinity="35", temperature="25C")
    assert found.value == pytest.approx(6.771, abs=0.001)
    assert found.unit == "mg/L"


def test_percent_and_milligrams_of_oxygen_turn_into_each_other():
    """5.417 mg/L is 80 % of 6.771."""
    assert ask("oxygen", oxygen="80%", **WATER).value == pytest.approx(5.417, abs=0.001)
    assert ask("oxygen", oxygen="5.417", **WATER).value == pytest.approx(80.0, abs=0.02)


def test_oxygen_runs_out_when_the_flow_stops():
    """Ten 20 g fish breathe 49.8 mg/h at rest at 25 °C (249 mg/kg/h, Clarke & Johnston 1999): 2.77 mg/L last 5.6 h."""
    found = ask("oxygen", fish_mass="20 g", fish_count="10", volume="100", **WATER)
    assert also(found, "At rest") == pytest.approx((6.771 - 4.0) * 100 / 49.8, rel=0.01)
    assert found.value < also(found, "At rest")


def test_ions_are_judged_for_their_salinity():
    """412.08 mg/kg of calcium at 35 (Millero et al. 2008) is 421.7 mg/L; the same water at 35 has all of it."""
    found = ask("ions", calcium="421.7", magnesium="1313.7", alkalinity="6.7", **WATER)
    assert found.value == pytest.approx(421.7, abs=0.1)
    assert "100\u202f% of the ocean's calcium" in found.words


def test_calcium_and_alkalinity_go_together_in_chalk():
    """20.04 mg of calcium for each meq: 7.157 mg/L for 1 dKH (CaCO3, molar masses)."""
    found = ask("ions", calcium_before="440", calcium_after="418.5", alkalinity_before="10", alkalinity_after="7")
    assert found.value == pytest.approx(1.0, abs=0.002)


@pytest.mark.parametrize(
    ("amount", "into", "expected"),
    [
        ("10 mg/L NO3-N", "mg/L NO3", 44.27),
        ("0.03 mg/L PO4", "µg/L PO4-P", 9.784),
        ("26 gal", "L", 98.42),
        ("1 imperial gal", "L", 4.546),
        ("77 °F", "°C", 25.0),
        ("8 dKH", "meq/L", 2.857),
        ("1 lb", "g", 453.6),
        ("53.07 mS/cm", "S/m", 5.307),
    ],
)
def test_units_are_converted(amount: str, into: str, expected: float):
    """Molar masses of IUPAC 2021 and the definitions of gallon, pound and degree."""
    assert ask("convert", amount=amount, into=into).value == pytest.approx(expected, rel=2e-4)


def test_different_things_are_not_converted():
    """An alkalinity is no volume, nitrate is not nitrite."""
    assert "different" in refusal("convert", amount="8 dKH", into="L")["amount"]
    assert "different" in refusal("convert", amount="8 mg/L NO3", into="mg/L NO2")["amount"]


def test_a_ph_hardly_known_gives_ammonia_two_ends_and_warns_by_the_high_one():
    """TAN 0.5 ± 0.2 and pH 8.2 ± 0.4 at 25 °C and salinity 35: Monte Carlo puts 97.5 % of it below 0.080 mg N/L."""
    water = {"salinity": "35", "temperature": "25", "total_plus_minus": "0.2", "ph_plus_minus": "0.4"}
    found = ask("ammonia", total="0.5 mg/L as N", ph="8.2", **water)
    assert found.high == pytest.approx(0.0804, rel=0.03)
    assert 0.0 < found.low < 0.013
    assert found.plus_minus == pytest.approx(found.high - found.value)
    assert f"({found.low:.4f} to {found.high:.4f})" in found.words
    assert found.warnings[0].startswith("It may be as high as 0.08")
    assert " ± " not in found.words


def test_pco2_is_told_with_both_its_ends():
    """A pH known to 0.3 moves it by a factor of two either way."""
    found = ask("carbonate", alkalinity="8 dKH", ph="8.0", ph_plus_minus="0.3", **WATER)
    pressure = next(one for one in found.more if one.words.startswith("pCO2"))
    assert pressure.low > 0.35 * pressure.value
    assert pressure.high > 1.8 * pressure.value


def test_a_ph_no_tank_has_with_its_alkalinity_is_refused():
    """8 dKH at pH 4 would take ten million µatm of carbon dioxide, ten times the air's whole weight."""
    problems = refusal("carbonate", alkalinity="8 dKH", ph="4", **WATER)
    assert "these two make must lie within" in " ".join(problems.values())
