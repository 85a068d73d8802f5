"""Move a value, make up water, thin it out: the cards against molar masses and closed forms."""

import pytest
from tests.casework.bench.asking_it import also, ask, refusal


def test_copper_sulfate_for_a_hundred_litres():
    """0.3929 g raise 100 L by 1 mg/L, so 78.6 mg by 0.20 (molar masses, molmass and periodictable agree)."""
    found = ask("dose", substance="CuSO4.5H2O", volume="100L", raise_="0.20mg/L")
    assert found.value == pytest.approx(78.58, abs=0.02)
    assert found.unit == "mg"
    assert found.volume_words


@pytest.mark.parametrize(
    ("formula", "rise", "grams"),
    [
        ("NaHCO3", "1 dKH", 3.0002),
        ("Na2CO3 anhydrous", "1 dKH", 1.8927),
        ("NaHCO3", "1 meq/L", 8.4007),
        ("CaCl2·2H2O", "10 mg/L", 3.668),
        ("CaCl2 anhydrous", "10 mg/L", 2.769),
        ("MgSO4.7H2O", "10 mg/L", 10.141),
        ("KNO3", "10 mg/L NO3", 1.631),
        ("KNO3", "10 mg/L NO3-N", 7.218),
        ("KH2PO4", "10 mg/L PO4", 1.433),
    ],
)
def test_grams_of_a_salt(formula: str, rise: str, grams: float):
    """Table of molar masses for 100 L, recomputed with two libraries."""
    found = ask("dose", formula=formula, volume="100 L", raise_=rise)
    assert found.value == pytest.approx(grams, rel=3e-4)
    assert found.unit == "g"


def test_a_hydrate_that_is_not_stated_is_asked_for():
    """Anhydrous and dihydrate differ by a third."""
    problems = refusal("dose", formula="CaCl2", volume="100", raise_="10")
    assert "2H2O" in problems["formula"]
    assert "raise" not in problems
    assert "water" in refusal("dose", substance="calcium_chloride", volume="100", raise_="10")["substance"]


def test_every_problem_is_told_at_once():
    """A formula without its water hides neither a word for a number nor a number that is missing."""
    assert set(refusal("dose", formula="CaCl2", volume="much")) == {"formula", "volume", "raise"}


def test_what_a_salt_is_to_raise_is_asked_for_where_it_could_be_several():
    """Strontium nitrate is dosed for strontium or for nitrate."""
    problems = refusal("dose", formula="Sr(NO3)2 anhydrous", volume="100", raise_="1")
    assert "strontium" in problems["constituent"]
    assert ask("dose", formula="Sr(NO3)2 anhydrous", volume="100", raise_="1", constituent="Sr").value > 0


def test_copper_is_never_raised_past_its_upper_limit_at_once():
    """0.25 mg/L is the hard upper limit of ionic copper (common practice)."""
    assert "0.25" in refusal("dose", substance="copper_ionic", volume="100", raise_="0.3")["raise"]
    problems = refusal("dose", contents="copper_ionic", strength="1", volume="100", raise_="0.3")
    assert "0.25" in problems["raise"]


def test_copper_is_held_to_its_limit_whatever_the_salt_is_named_for():
    """5 mg/L of sulphate bring 3.3 mg/L of copper: 63.546 over 96.06 of it (atomic weights)."""
    problems = refusal("dose", formula="CuSO4.5H2O", constituent="SO4", volume="100", raise_="5 mg/L")
    assert "raise copper by 3.31" in problems["raise"]
    assert ask("dose", formula="CuSO4.5H2O", constituent="SO4", volume="100", raise_="0.3 mg/L").cautions


@pytest.mark.parametrize("formula", ["NaOH", "HONa", "KOH", "CaO"])
def test_a_caustic_salt_says_that_it_burns_and_grows_hot(formula: str):
    """Safety sheets, recalled."""
    cautions = " ".join(ask("dose", formula=formula, volume="100", raise_="1 dKH").cautions)
    assert "blinds eyes" in cautions
    assert "Never pour water onto it" in cautions


@pytest.mark.parametrize("formula", ["Cl2Ca.2H2O", "CaCl2(H2O)2", "CaCl2.6H2O"])
def test_a_salt_written_another_way_keeps_its_cautions(formula: str):
    """The atoms count, not the letters."""
    found = ask("dose", formula=formula, volume="100", raise_="10", constituent="Ca")
    assert any("grows hot" in one for one in found.cautions)
    assert not any("not known here" in one for one in found.cautions)


@pytest.mark.parametrize("formula", ["CaCO3", "MgCO3", "SrCO3", "Mg(OH)2"])
def test_a_salt_that_does_not_dissolve_is_no_dose(formula: str):
    """Seawater is already full of them (handbook solubilities, recalled)."""
    assert "hardly dissolves" in refusal("dose", formula=formula, volume="100", raise_="1 dKH")["formula"]


def test_a_stock_that_does_not_dissolve_is_refused_and_one_made_is_doubted():
    """Limewater holds 1.5 g/L, 0.81 mg of calcium a mL (recalled; atomic weights)."""
    asked = {"formula": "Ca(OH)2", "constituent": "Ca", "bottle": "1 L"}
    assert "0.811" in refusal("stock", strength="20 mg/mL", **asked)["strength"]
    assert any("weaker" in one for one in ask("stock", weighed="37 g", **asked).warnings)
    assert ask("stock", weighed="1 g", **asked).warnings == ()


def test_a_coarse_balance_and_a_salt_that_hardly_dissolves_ask_for_a_finer_balance():
    """20 g of lime in a litre would be mud."""
    found = ask("dose", formula="Ca(OH)2", volume="100", raise_="1 dKH", balance="1 g")
    assert "use a finer one" in found.words
    assert found.steps == ()


@pytest.mark.parametrize("formula", ["CuSO4.5H2O", "CuSO4 anhydrous", "CuCl2.2H2O"])
def test_every_copper_salt_warns_of_invertebrates_first(formula: str):
    """The animals that would die come before anything else, whatever salt brings the copper."""
    found = ask("dose", formula=formula, volume="100", raise_="0.1")
    assert "corals" in found.cautions[0]


@pytest.mark.parametrize("formula", ["NaHCO3", "KCl", "H3BO3", "SrCl2.6H2O"])
def test_no_dose_stands_without_a_caution(formula: str):
    """A salt that is not known here says that it is not."""
    target = {"KCl": "K", "H3BO3": "B"}.get(formula, "")
    rise = "1 dKH" if formula == "NaHCO3" else "1"
    assert ask("dose", formula=formula, volume="100", raise_=rise, constituent=target).cautions


def test_below_the_balance_a_stock_is_offered():
    """78.6 mg are eight steps of a balance of 0.01 g; at least 20 are wanted (our own)."""
    found = ask("dose", substance="copper_ionic", volume="100", raise_="0.2", balance="0.01 g")
    assert "too little" in found.words
    # 0.200 g in 100 mL are 2 mg a mL.
    assert found.steps[-1].number.startswith("39.3")
    assert ask("dose", substance="copper_ionic", volume="100", raise_="0.2", balance="0.001 g").steps == ()


def test_a_dose_from_a_stock_with_its_own_error():
    """20 mg of copper from 1 mg/mL: 20 mL; 10 % of the volume and 5 % of the strength make 11.2 % (root of squares)."""
    found = ask(
        "dose",
        contents="copper_ionic",
        strength="1 mg/mL",
        strength_plus_minus="5 %",
        volume="100",
        volume_plus_minus="10",
        raise_="0.2",
    )
    assert (found.value, found.unit) == (pytest.approx(20.0), "mL")
    assert found.plus_minus == pytest.approx(20.0 * (0.1**2 + 0.05**2) ** 0.5, rel=1e-3)
    assert found.dominated_by == "Net volume"


def test_new_water_is_dosed_for_itself_alone():
    """20 L to 0.2 mg/L hold 4 mg of copper, 15.7 mg of the salt, whatever the tank."""
    assert ask("dose", changed_volume="20 L", target="0.2", substance="copper_ionic").value == pytest.approx(
        15.72, abs=0.01
    )
    assert ask(
        "dose", changed_volume="20 L", target="0.2", contents="copper_ionic", strength="1"
    ).value == pytest.approx(4.0)


def test_bicarbonate_lowers_the_ph_and_limewater_raises_it():
    """Start 8 dKH, total pH 8.1: +1 dKH as bicarbonate -0.046, as hydroxide +0.339 with Ω 8.7 (independent solver)."""
    water = {"alkalinity": "8", "ph": "8.1", "ph_scale": "total", "salinity": "35", "temperature": "25"}
    soda = ask("dose", formula="NaHCO3", volume="100", raise_="1 dKH", **water)
    lime = ask("dose", formula="NaOH", volume="100", raise_="1 dKH", **water)
    assert also(soda, "pH (NBS) just after") - also(soda, "pH (NBS) before") == pytest.approx(-0.046, abs=0.002)
    assert also(lime, "pH (NBS) just after") - also(lime, "pH (NBS) before") == pytest.approx(0.339, abs=0.002)
    assert also(lime, "Ω aragonite just after") == pytest.approx(8.73, abs=0.03)
    assert any("fall out" in one for one in lime.warnings)
    assert soda.warnings == ()


def test_a_part_of_the_water_is_not_enough_to_tell_ph():
    """All four readings or none."""
    assert refusal("dose", formula="NaHCO3", volume="100", raise_="1 dKH", ph="8.2")


def test_gallons_and_litres_give_the_same_dose():
    """26.417 US gallons are 100 L."""
    metric = ask("dose", formula="NaHCO3", volume="100 L", raise_="1 dKH")
    american = ask("dose", formula="NaHCO3", volume="26.4172 gal", raise_="1 dKH")
    assert american.value == pytest.approx(metric.value, rel=1e-5)


def test_a_copper_stock_of_one_milligram_in_a_millilitre():
    """3.93 g of the pentahydrate in a litre (handbooks)."""
    assert ask("stock", substance="copper_ionic", strength="1 mg/mL", bottle="1 L").value == pytest.approx(
        3.93, abs=0.005
    )
    made = ask("stock", substance="copper_ionic", weighed="3.93 g", bottle="1000 mL", balance="0.01 g")
    assert made.value == pytest.approx(1.0, abs=0.002)
    assert made.plus_minus > 0


def test_water_changes_thin_out():
    """40, a fifth changed: 32; five of a tenth leave 0.59049 (closed form)."""
    assert ask("dilution", level="40", volume="100", changed_volume="20").value == pytest.approx(32.0)
    five = ask("dilution", level="100 mg/L", volume="100", changed_volume="10", times="5")
    assert five.value == pytest.approx(59.049)
    assert five.unit == "mg/L"


def test_how_much_to_change_to_reach_a_level():
    """40 to 10 takes three quarters at once, or seven changes of a fifth (closed form)."""
    found = ask("dilution", level="40", target="10", volume="100", changed_volume="20")
    assert found.value == pytest.approx(75.0)
    assert also(found, "Changes of") == 7
    assert found.warnings


def test_a_drip_a_routine_and_evaporation():
    """e^-0.5 is 0.60653; a rise of 7 and 15 % settle at 46.67 and 39.67; 300 L less 6 L at 35 is 35.70 by mass."""
    assert ask("dilution", level="100", dripped="50", volume="100").value == pytest.approx(60.653, abs=0.001)
    routine = ask("dilution", rise="7", changed_volume="15", volume="100")
    assert (routine.value, also(routine, "Just after")) == (
        pytest.approx(46.667, abs=0.001),
        pytest.approx(39.667, abs=0.001),
    )
    dried = ask("dilution", salinity="35", volume="300", evaporated="6", temperature="25")
    assert dried.value == pytest.approx(35.697, abs=0.003)


def test_more_cannot_be_changed_than_there_is():
    """The sentence stands at the smaller number."""
    assert (
        "more than all there is" in refusal("dilution", level="40", volume="20", changed_volume="100")["changed_volume"]
    )


def test_salt_for_new_water():
    """35.986 g in a litre at 35 and 25 °C (recomputed with gsw)."""
    found = ask("mix", volume="100 L", target="35", temperature="25")
    assert (found.value, found.unit) == (pytest.approx(3.5986, abs=0.0002), "kg")


def test_two_waters_together_are_weighed():
    """Equal volumes of 35 and fresh water make a little more than half, for salt water is heavier."""
    found = ask(
        "mix",
        volume_1="10",
        salinity_1="35",
        temperature_1="25",
        volume_2="10",
        salinity_2="0",
        temperature_2="25",
    )
    assert found.value == pytest.approx(35 * 1023.34 / (1023.34 + 997.05), abs=0.01)


def test_a_salinity_in_steps_keeps_its_pace():
    """35 to 33 at 1 a day: two swaps; the first takes 1/35 of 100 L (closed form)."""
    found = ask("mix", salinity="35", target="33", incoming="0", volume="100", pace="1")
    assert len(found.steps) == 2
    assert found.value == pytest.approx(100 / 35 + 100 / 34, rel=1e-4)


def test_who_writes_gallons_reads_gallons_and_pounds():
    """10 US gal at 35 and 77 °F take 1.362 kg, 3.00 lb (35.986 g a litre, recomputed with gsw)."""
    found = ask("mix", volume="10 gal", target="35", temperature="77 F")
    assert also(found, "The same in lb") == pytest.approx(3.003, abs=0.003)
    assert also(ask("dilution", level="40", target="20", volume="10 gal"), "The same in US gal") == pytest.approx(5.0)
