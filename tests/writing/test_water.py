"""What is written about water: readings, water changes and top-offs."""

import pytest
from tests.writing.conftest import NOW, at, desk, doubts_of, problems_of, put

from pratique.casework.writing.forms import FORMS, write_form
from pratique.ledger.household import load_household
from pratique.ledger.kinds import care, places
from pratique.ledger.kinds.water import Reading, WaterChange

pytestmark = pytest.mark.usefixtures("harbour_row")


def test_three_readings_are_three_entries_of_one_moment() -> None:
    """A round of readings writes one entry for each number, and none for those left empty."""
    answers = {"system": "lazaret", "copper": "0,18", "ph": "8.1", "temperature": "78 °F", "salinity": ""}
    entries = write_form("readings", desk(), answers)
    found = {one.raw["constituent"]: one.raw["value"] for one in entries}
    assert found == {"copper": 0.18, "ph": 8.1, "temperature": pytest.approx(25.56, abs=0.01)}
    assert {one.happened_at for one in entries} == {NOW}


def test_a_reading_below_its_limit_and_one_between_two_marks_keep_their_shape() -> None:
    """What was read is kept, not a number made of it."""
    answers = {
        "system": "Lazaret",
        "copper": "<0.02",
        "copper_method": "copper_photometer",
        "total_ammonia": "0.25-0.5",
        "total_ammonia_method": "colour chart, ammonia",
    }
    copper, ammonia = (one.payload for one in write_form("readings", desk(), answers))
    assert copper == Reading(system="lazaret", constituent="copper", below=0.02, method="copper_photometer")
    assert ammonia == Reading(
        system="lazaret", constituent="total_ammonia", low=0.25, high=0.5, method="ammonia_colour_chart"
    )


def test_every_impossible_value_is_said_at_its_own_field() -> None:
    """Nothing hides behind the first problem."""
    answers = {"system": "lazaret", "copper": "20", "ph": "82", "salinity": "350", "temperature": "77"}
    assert problems_of("readings", answers) == {
        "copper": "Copper of 20 cannot be: it lies between 0 and 10 mg/L. Did you mean 0.2?",
        "ph": "pH of 82 cannot be: it lies between 5 and 10. Did you mean 8.2?",
        "salinity": "Salinity of 350 cannot be: it lies between 0 and 50 PSU. Did you mean 35?",
        "temperature": "Temperature of 77 cannot be: it lies between 0 and 45 °C.",
    }


def test_a_wrong_unit_is_told_what_would_be_right() -> None:
    """A specific gravity is not a salinity."""
    answers = {"system": "lazaret", "salinity": "1.026", "salinity_unit": "SG", "copper": "0.18 °C"}
    problems = problems_of("readings", answers)
    assert problems["salinity"].startswith("Salinity is in PSU here, not specific gravity")
    assert problems["copper"] == "Concentration is in mg/L (the same as ppm) or µg/L (the same as ppb), not °C."


def test_an_unusual_value_is_asked_once_and_its_question_kept() -> None:
    """Only the reading that was asked about keeps the question."""
    answers = {"system": "lazaret", "copper": "0.9", "ph": "8.1"}
    question = doubts_of("readings", answers)["copper"]
    assert question == "Copper of 0.9 is unusual: it mostly lies between 0 and 0.6\u202fmg/L. Is it right?"
    copper, ph = write_form("readings", desk(question), answers)
    assert copper.raw["confirmed"] == [question]
    assert "confirmed" not in ph.raw


def test_the_method_used_last_is_filled_in() -> None:
    """The keeper of a photometer says so once; sent without the question, the last method is meant."""
    put(Reading(system="lazaret", constituent="copper", value=0.17, method="copper_photometer"), at(24, 8))
    fields = {one.name: one for one in FORMS["readings"].fields(load_household(), {"system": "lazaret"}, NOW)}
    assert fields["copper_method"].initial == "copper_photometer"
    assert (
        write_form("readings", desk(), {"system": "lazaret", "copper": "0.18"})[0].raw["method"] == "copper_photometer"
    )
    empty = {"system": "lazaret", "copper": "0.18", "copper_method": ""}
    assert "method" not in write_form("readings", desk(), empty)[0].raw


def test_the_readings_of_a_quarantine_tank_begin_with_copper_those_of_a_display_with_temperature() -> None:
    """What is commonly read in a system comes first; everything else can still be written."""
    in_lazaret = [one.name for one in FORMS["readings"].fields(load_household(), {"system": "lazaret"}, NOW)]
    in_skerry = [one.name for one in FORMS["readings"].fields(load_household(), {"system": "skerry"}, NOW)]
    assert in_lazaret[1:4:2] == ["copper", "total_ammonia"]
    assert in_skerry[1] == "temperature"
    assert set(in_lazaret) == set(in_skerry)


def test_a_household_in_fahrenheit_writes_fahrenheit() -> None:
    """The household's own unit is the one assumed."""
    put(places.Household(name="Harbour Row", zone="Europe/London", temperature_unit="°F"), at(2))
    entry = write_form("readings", desk(), {"system": "lazaret", "temperature": "77"})[0]
    assert entry.raw["value"] == pytest.approx(25.0)


def test_a_temperature_in_fahrenheit_is_doubted_and_refused_in_fahrenheit() -> None:
    """32 °F is 0 °C and 212 °F is 100 °C, by definition of the scales."""
    put(places.Household(name="Harbour Row", zone="Europe/London", temperature_unit="°F"), at(2))
    cold = problems_of("readings", {"system": "lazaret", "temperature": "25"})["temperature"]
    assert cold == (
        "25 °F is −3.9 °C, which cannot be: temperature lies between 0 and 45 °C (32 and 113 °F). Did you mean 25 °C?"
    )
    cool = doubts_of("readings", {"system": "lazaret", "temperature": "59 °F"})["temperature"].replace("\u202f", " ")
    assert cool == (
        "59 °F is 15.0 °C, which is unusual: temperature mostly lies between 18 and 32 °C (64.4 and 89.6 °F). "
        "Is it right?"
    )


def test_a_number_in_another_unit_of_the_same_size_is_said_as_it_was_written() -> None:
    """ppm is mg/L by the convention of hobby tests: nothing is converted, so nothing is explained."""
    problem = problems_of("readings", {"system": "lazaret", "copper": "20 ppm"})["copper"]
    assert problem.startswith("Copper of 20 cannot be")


@pytest.mark.parametrize("written", ["1.025", "1.020-1.025", "1.025 PSU"])
def test_a_specific_gravity_is_refused_as_a_salinity(written: str) -> None:
    """It cannot be confirmed as PSU; the sentence says what would be right."""
    problem = problems_of("readings", {"system": "lazaret", "salinity": written})["salinity"]
    assert "looks like a specific gravity" in problem
    assert "35 PSU is about 1.0264" in problem


def test_nearly_fresh_water_is_asked_about() -> None:
    """A salinity of 2 may be a freshwater dip."""
    assert "is unusual" in doubts_of("readings", {"system": "lazaret", "salinity": "2"})["salinity"]


def test_a_ph_is_as_a_hobby_meter_reads_it_unless_another_scale_is_chosen() -> None:
    """Set in ordinary buffers a meter reads NBS (common practice, no source); only pH is asked for its scale."""
    fields = {one.name: one for one in FORMS["readings"].fields(load_household(), {"system": "lazaret"}, NOW)}
    assert [one for one in fields if one.endswith("_scale")] == ["ph_scale"]
    assert fields["ph_scale"].initial == "nbs"
    assert fields["ph_scale"].options[0].words == "As a hobby meter reads it (NBS)"
    assert write_form("readings", desk(), {"system": "lazaret", "ph": "8.1"})[0].payload == Reading(
        system="lazaret", constituent="ph", value=8.1
    )
    entry = write_form("readings", desk(), {"system": "lazaret", "ph": "8.05", "ph_scale": "total scale"})[0]
    assert entry.payload == Reading(system="lazaret", constituent="ph", value=8.05, scale="total")


def test_a_scale_that_is_none_is_told_which_there_are() -> None:
    """The nearest is offered, or all of them."""
    problem = problems_of("readings", {"system": "lazaret", "ph": "8.05", "ph_scale": "seawater"})["ph_scale"]
    assert problem == "“seawater” is not a choice here; it can be nbs, total, free."


def test_a_scale_written_as_a_unit_is_told_where_it_belongs() -> None:
    """8.05 total is no number."""
    problem = problems_of("readings", {"system": "lazaret", "ph": "8.05 total"})["ph"]
    assert problem == "“total” is not a unit known here; pH is a plain number, and its scale is said beside it."


def test_a_round_without_a_number_writes_nothing() -> None:
    """An empty round is no entry."""
    assert problems_of("readings", {"system": "lazaret"}) == {"": "Write at least one number."}


def test_a_system_that_is_not_there_is_answered_with_the_nearest() -> None:
    """A slip in a name is told what was probably meant."""
    assert problems_of("readings", {"system": "lazarett", "ph": "8.1"})["system"] == (
        "There is no system called “lazarett”. Did you mean Lazaret?"
    )


def test_a_water_change_in_gallons_is_kept_in_litres() -> None:
    """5 US gallons are 18.927 L, by definition (NIST Handbook 44: 1 gal = 231 cubic inches)."""
    entry = write_form("water-change", desk(), {"system": "lazaret", "volume": "5", "volume_unit": "US gal"})[0]
    assert entry.raw["volume_l"] == pytest.approx(5 * 231 * 0.0254**3 * 1000)


def test_a_tank_is_changed_in_part_or_emptied_not_both() -> None:
    """One of the two is written."""
    both = {"system": "lazaret", "volume": "20", "emptied": "yes"}
    assert "not both" in problems_of("water-change", both)["volume"]
    assert "volume" in problems_of("water-change", {"system": "lazaret"})
    entry = write_form("water-change", desk(), {"system": "lazaret", "emptied": "on", "incoming-copper": "0.18"})[0]
    assert entry.payload == WaterChange(system="lazaret", emptied=True, incoming_mg_per_l={"copper": 0.18})


def test_more_water_than_the_tank_holds_is_asked_about() -> None:
    """It may have run through; it may be a slip."""
    assert "more than the 90" in doubts_of("water-change", {"system": "lazaret", "volume": "200"})["volume"]
    assert "more than the 90" in doubts_of("top-off", {"system": "lazaret", "volume": "200"})["volume"]


def test_new_water_with_copper_into_the_display_is_asked_about_urgently() -> None:
    """The shrimp is named, and what to do."""
    answers = {"system": "skerry", "volume": "20", "incoming-copper": "0.2"}
    question = doubts_of("water-change", answers)["incoming-copper"]
    assert question.startswith("Urgent: copper kills invertebrates, and Skerry holds Cleaner shrimp.")


def test_a_top_off_needs_an_amount_above_zero() -> None:
    """Nothing added is nothing to write."""
    assert (
        problems_of("top-off", {"system": "lazaret", "volume": "0"})["volume"] == "This must be more than 0; 0 is not."
    )
    assert write_form("top-off", desk(), {"system": "lazaret", "volume": "1,5"})[0].raw["volume_l"] == 1.5


def test_a_chart_for_another_form_of_copper_is_asked_about() -> None:
    """A course is bound to its form: a chart for total copper says nothing of the ionic copper in Lazaret."""
    band = {"target_lower": 0.15, "target_upper": 0.2, "hard_upper": 0.25}
    course = care.Course(
        key="ionic", name="Copper", system="lazaret", substance="copper_ionic", required_days=14, **band
    )
    put(course, at(24, 8))
    put(care.CourseStart(course="ionic", system="lazaret"), at(24, 9))
    answers = {"system": "lazaret", "copper": "0.2", "copper_method": "copper_total_colour_chart"}
    assert "does not read ionic copper" in doubts_of("readings", answers)["copper_method"]
