"""What went into the water: always written down, sometimes asked about first."""

import pytest
from tests.writing.conftest import NOW, at, desk, doubts_of, problems_of, put

from pratique.casework.writing.forms import FORMS, cautions_of, write_form
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, places
from pratique.ledger.kinds.water import Reading

pytestmark = pytest.mark.usefixtures("ionic_course")


def _copper_is(level: float) -> None:
    put(Reading(system="lazaret", constituent="copper", value=level, method="copper_photometer"), at(25, 8))


def test_a_dose_from_a_stock_counts_by_the_stock_s_strength() -> None:
    """2 mL of 1 mg/mL hold 2 mg of copper; the dose belongs to the open course."""
    _copper_is(0.17)
    dose = write_form("dose", desk(), {"system": "lazaret", "stock": "blue-bottle", "amount": "2"})[0].raw
    assert (dose["amount_ml"], dose["amount_mg"]) == (2.0, 2.0)
    assert (dose["substance"], dose["course"]) == ("copper_ionic", "b1-copper")


def test_the_stock_of_the_open_course_is_filled_in() -> None:
    """Nothing has to be chosen for the dose of every day."""
    fields = {one.name: one for one in FORMS["dose"].fields(load_household(), {"system": "lazaret"}, NOW)}
    assert fields["stock"].initial == "blue-bottle"
    assert fields["amount"].units[0] == "mL"


def test_weighed_salt_counts_by_its_copper() -> None:
    """3.929 mg of CuSO4·5H2O hold 1 mg of copper (recalled from the reagent table, recomputed from atomic masses)."""
    answers = {"system": "lazaret", "substance": "copper_ionic", "amount": "3.929", "amount_unit": "mg"}
    dose = write_form("dose", desk(), answers)[0].raw
    assert dose["amount_g"] == pytest.approx(0.003929)
    assert dose["amount_mg"] == pytest.approx(1.0, rel=1e-3)
    assert "stock" not in dose


def test_a_dose_may_name_the_copper_alone() -> None:
    """Milligrams of copper are not milligrams of its salt."""
    answers = {"system": "lazaret", "substance": "copper_ionic", "amount": "2 mg copper"}
    assert write_form("dose", desk(), answers)[0].raw["amount_mg"] == 2.0


# 1 g of each salt: 1000 mg over what the reagent table gives for 1 mg/L in 100 L (recalled, recomputed with molmass).
@pytest.mark.parametrize(
    ("substance", "milligrams"),
    [
        ("calcium_chloride_dihydrate", 100 / 0.3668),
        ("calcium_chloride_anhydrous", 100 / 0.2769),
        ("magnesium_sulfate_heptahydrate", 100 / 1.0141),
        ("potassium_nitrate", 100 / 0.1631),
        ("monopotassium_phosphate", 100 / 0.1433),
        ("sodium_silicate_pentahydrate", 100 / 0.3531),
        ("potassium_iodide", 100 / 0.1308),
        # 8.4007 g are 1 meq/L in 100 L, and 50 mg/L as CaCO3 by convention.
        ("sodium_bicarbonate", 5000 / 8.4007),
    ],
)
def test_a_weighed_salt_counts_by_its_formula(substance: str, milligrams: float) -> None:
    """As copper sulfate does: what counts is the calcium, the nitrate, the alkalinity."""
    answers = {"system": "haven", "substance": substance, "amount": "1", "amount_unit": "g"}
    dose = write_form("dose", desk(), answers)[0].raw
    assert dose["amount_g"] == 1.0
    assert dose["amount_mg"] == pytest.approx(milligrams, rel=5e-4)


def test_a_salt_whose_water_is_not_stated_is_asked_about_and_counts_as_nothing() -> None:
    """Never assumed: with and without its water calcium chloride differs by a third (molar masses, recomputed)."""
    answers = {"system": "haven", "substance": "calcium_chloride", "amount": "1", "amount_unit": "g"}
    question = doubts_of("dose", answers)["substance"]
    assert question == (
        "How much calcium this holds depends on the water in the salt; the label says it. It may be calcium chloride "
        "dihydrate or calcium chloride (anhydrous): choose one if you can. Write it as it is?"
    )
    assert "amount_mg" not in write_form("dose", desk(question), answers)[0].raw


def test_milligrams_of_copper_are_of_copper() -> None:
    """Soda has none."""
    problem = problems_of("dose", {"system": "haven", "substance": "sodium_bicarbonate", "amount": "5 mg copper"})
    assert problem["amount"] == "Sodium bicarbonate holds no copper; write the g or mg of it that were weighed."


def test_a_dose_that_overshoots_is_asked_about_and_written_when_confirmed() -> None:
    """0.17 mg/L and 20 mg in 80 L make 0.42 mg/L, above the hard upper limit of ionic copper, 0.25 mg/L."""
    _copper_is(0.17)
    answers = {"system": "lazaret", "amount": "20"}
    question = doubts_of("dose", answers)["amount"]
    assert question.replace("\u202f", " ") == (
        "By the ledger Lazaret would then hold about 0.42 mg/L of copper, above the upper limit of 0.25 mg/L. "
        "Did this much really go in?"
    )
    assert write_form("dose", desk(question), answers)[0].raw["confirmed"] == [question]


def test_a_dose_that_may_overshoot_is_asked_about_by_the_high_end_of_what_is_reckoned() -> None:
    """0.20 read with a meter good to ± 0.03, and 3 mg in 80 L: about 0.24, but perhaps over the limit of 0.25 mg/L."""
    _copper_is(0.20)
    question = doubts_of("dose", {"system": "lazaret", "amount": "3"})["amount"].replace("\u202f", " ")
    assert question.startswith("By the ledger Lazaret may then hold up to 0.2")
    assert "above the upper limit of 0.25 mg/L" in question


def test_a_small_dose_well_inside_the_limit_is_not_asked_about() -> None:
    """0.17 read and 1 mg in 80 L: at most some 0.22 mg/L."""
    _copper_is(0.17)
    assert write_form("dose", desk(), {"system": "lazaret", "amount": "1"})[0].kind == "dose"


def test_a_dose_into_water_of_unknown_volume_is_written_after_one_question() -> None:
    """Recording is never refused: what it does to the level is not known, and the sentence says so."""
    answers = {"system": "haven", "stock": "blue-bottle", "amount": "2"}
    question = doubts_of("dose", answers)["system"]
    assert question.startswith("Haven's net volume is not known, so what this does to the level is not known either")
    assert write_form("dose", desk(question), answers)[0].raw["amount_mg"] == 2.0


def test_copper_into_the_display_is_asked_about_urgently_and_names_the_shrimp() -> None:
    """What has happened is kept, with what to do now."""
    question = doubts_of("dose", {"system": "skerry", "stock": "blue-bottle", "amount": "2"})["system"]
    assert question.startswith("Urgent: copper kills invertebrates, and Skerry holds Cleaner shrimp.")
    assert "change water now" in question


def test_an_invertebrate_in_a_box_shares_the_water() -> None:
    """A compartment is no wall to copper, even where the system is not said to keep invertebrates."""
    put(places.Compartment(key="niche", name="Niche", system="lazaret", form="box"), at(1))
    snail = animals.Arrival(key="snail", name="Snail", species="trochus_snail", system="lazaret", compartment="niche")
    put(snail, at(2))
    question = doubts_of("dose", {"system": "lazaret", "amount": "2"})["system"]
    assert "Lazaret holds Snail in Niche" in question


def test_another_form_of_copper_is_asked_about_urgently() -> None:
    """Ionic and chelated copper never share a band."""
    put(places.Stock(key="green", name="Green", substance="copper_chelated", strength_mg_per_ml=1.0), at(1))
    question = doubts_of("dose", {"system": "lazaret", "stock": "green", "amount": "1"})["substance"]
    assert question.startswith("Urgent: B1 copper in Lazaret holds ionic copper")


def test_an_ammonia_binder_beside_copper_is_asked_about_urgently() -> None:
    """The caution of the binder stands at its use."""
    answers = {"system": "lazaret", "substance": "ammonia_binder", "amount": "5", "amount_unit": "mL"}
    assert "may make copper turn toxic at once" in doubts_of("dose", answers)["substance"]
    elsewhere = answers | {"system": "haven"}
    assert write_form("dose", desk(), elsewhere)[0].raw["amount_ml"] == 5.0


def test_carbon_in_a_course_of_copper_is_asked_about() -> None:
    """It takes the copper out; nothing turns toxic. In a tank without a course it is written without a word."""
    answers = {"system": "lazaret", "substance": "activated_carbon", "amount": "50", "amount_unit": "g"}
    question = doubts_of("dose", answers)["substance"]
    assert "takes copper out of Lazaret" in question
    assert "toxic" not in question
    assert write_form("dose", desk(question), answers)[0].raw["substance"] == "activated_carbon"
    assert write_form("dose", desk(), answers | {"system": "haven"})[0].raw["amount_g"] == 50.0


def test_a_dose_says_what_is_missing() -> None:
    """No substance, no amount, a wrong unit: each has its sentence."""
    assert problems_of("dose", {"system": "haven"}) == {
        "substance": "Choose the stock solution or the substance that went in.",
        "amount": "Write how much went in.",
    }
    assert (
        problems_of("dose", {"system": "lazaret", "amount": "2 °C"})["amount"] == "An amount is in mL, g or mg, not °C."
    )
    assert "more than 0" in problems_of("dose", {"system": "lazaret", "amount": "-2"})["amount"]


def test_a_stock_of_another_substance_than_chosen_is_a_problem() -> None:
    """The bottle and the choice must agree."""
    answers = {"system": "lazaret", "stock": "blue-bottle", "substance": "formalin", "amount": "2"}
    assert problems_of("dose", answers)["substance"].startswith("Blue bottle holds ionic copper")


def test_a_weight_out_of_a_bottle_is_not_guessed() -> None:
    """A stock solution is measured in mL; grams of it could be salt or solution."""
    answers = {"system": "lazaret", "stock": "blue-bottle", "amount": "2 g"}
    assert "how many mL of Blue bottle" in problems_of("dose", answers)["amount"]


def test_every_caution_of_what_was_dosed_is_at_hand() -> None:
    """Whoever shows a dose can show what it may do."""
    cautions = cautions_of(write_form("dose", desk(), {"system": "lazaret", "amount": "2"}))
    assert any("snails" in caution for caution in cautions)
    assert any("veterinarian" in caution for caution in cautions)
