"""Ammonia that no test could measure, that was not read again, or that climbed before it became unknown."""

import math

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.ammonia import AmmoniaAt, ammonia_at
from pratique.casework.facts import Facts
from pratique.casework.rounds import rounds
from pratique.casework.sheets import Concern
from pratique.casework.systems import system_sheet
from pratique.ledger.household import load_household
from pratique.ledger.kinds import water

pytestmark = pytest.mark.django_db


def ammonia(day: float) -> Concern | None:
    """Return what the rounds say of the ammonia in Lazaret, if anything."""
    found = rounds(load_household(), now=at(day)).concerns
    return next((one for one in found if one.key == "ammonia.lazaret"), None)


def words_of(concern: Concern | None) -> str:
    """Return everything a concern says, thin spaces as plain ones."""
    assert concern is not None
    return " ".join((concern.title, *concern.said)).replace("\u202f", " ")


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret and a royal gramma in it."""
    keeper = Keeper()
    keeper.quarantine()
    return keeper


def companions(keeper: Keeper, day: float, *, ph: float = 8.2) -> None:
    """Read what un-ionised ammonia is reckoned with."""
    keeper.read(day, "ph", ph, "ph_meter")
    keeper.read(day, "temperature", 25.0, "thermometer")
    keeper.read(day, "salinity", 34.0, "refractometer")


@pytest.mark.parametrize(
    "reading",
    [
        {"value": 3.5, "method": "ammonia_photometer"},
        {"above": 5.0},
        {"value": 9.0, "method": "ammonia_colour_chart"},
    ],
)
@pytest.mark.parametrize("is_all_read", [True, False])
def test_ammonia_above_a_method_s_reach_is_more_than_its_end_and_asks_for_a_diluted_sample(
    keeper, reading, is_all_read
):
    """The photometer ends at 3 mg/L, the chart at 8: how much more there is no reading can say."""
    if is_all_read:
        companions(keeper, 0)
    keeper.write(0.01, water.Reading(system="lazaret", constituent="total_ammonia", **reading))
    found = ammonia(0.1)
    words = words_of(found)
    assert found is not None
    assert found.weight == "now"
    assert "more than" in words
    assert "dilute the sample" in words
    assert "inf" not in words
    assert "Changing" not in words


def test_ammonia_above_a_method_s_reach_is_an_arrow_on_the_chart(keeper):
    """No bar is drawn without an end."""
    companions(keeper, 0)
    for day, value in ((0.1, 2.0), (0.2, 3.5)):
        keeper.read(day, "total_ammonia", value, "ammonia_photometer")
    sheet = system_sheet(load_household(), "lazaret", now=at(0.3))
    readings = [one for chart in sheet.charts if "Un-ionised" in chart.title for one in chart.readings]
    assert [one.shape for one in readings] == ["bar", "above"]
    assert all(math.isfinite(edge) for one in readings for edge in (one.low, one.centre, one.high))
    assert all("inf" not in one.words for one in readings)
    assert all("inf" not in one.words + one.judgement for one in sheet.levels)


def test_a_ph_above_its_chart_makes_ammonia_not_known_and_never_infinite(keeper):
    """A colour chart for pH ends at 8.8; what lies above it is not a number with an error."""
    companions(keeper, 0)
    keeper.read(0.01, "ph", 9.0, "ph_colour_chart")
    keeper.read(0.02, "total_ammonia", 0.5, "ammonia_photometer")
    words = words_of(ammonia(0.1))
    assert "ammonia is not known" in words
    assert "pH" in words
    assert "inf" not in words


def test_a_bound_on_ammonia_is_worried_about_where_the_rest_is_missing(keeper):
    """Below 1 mg/L with no pH may be 0.13 mg/L un-ionised at pH 8.4 and 29 °C: more than nothing to speak of."""
    keeper.write(0, water.Reading(system="lazaret", constituent="total_ammonia", below=1.0))
    assert "ammonia is not known" in words_of(ammonia(0.1))


def test_a_bound_too_low_to_matter_is_not_worried_about(keeper):
    """Below 0.1 mg/L is under what is watched for at any pH a reef fish lives in."""
    keeper.write(0, water.Reading(system="lazaret", constituent="total_ammonia", below=0.1))
    assert ammonia(0.1) is None


def test_a_climb_is_told_only_where_the_newest_value_is_known(keeper):
    """Three known values rise, then the pH grows old: whether it still climbs is not known."""
    companions(keeper, 0)
    for day, value in ((0.1, 0.3), (0.5, 0.6), (1.0, 0.9)):
        keeper.read(day, "total_ammonia", value, "ammonia_photometer")
    assert "climbing" in words_of(ammonia(1.1))
    keeper.read(4.0, "total_ammonia", 0.9, "ammonia_photometer")
    words = words_of(ammonia(4.1))
    assert "climbing" not in words
    assert "a day" not in words
    assert "\u2212" not in words


@pytest.mark.parametrize("day", [3, 20])
def test_high_ammonia_that_is_not_read_again_is_not_forgotten(keeper, day):
    """After two days the reading no longer speaks for the water; that does not make the water clean."""
    companions(keeper, 0)
    keeper.read(0, "total_ammonia", 2.9, "ammonia_photometer")
    found = ammonia(day)
    assert found is not None
    assert found.title == "Lazaret: ammonia is not known any more"
    assert "last seen" in words_of(found)
    assert found.weight == "today"


def test_a_clean_reading_ends_the_worry_about_ammonia(keeper):
    """The newest reading counts, also once it has grown old."""
    companions(keeper, 0)
    keeper.read(0, "total_ammonia", 2.9, "ammonia_photometer")
    keeper.read(1, "total_ammonia", 0.02, "ammonia_photometer")
    assert ammonia(1.1) is None
    assert ammonia(6) is None


def test_a_ph_hardly_known_is_told_with_both_ends_and_judged_by_the_high_one(keeper):
    """Ammonia of 0.8 with a pH strip: by itself below what does harm, and perhaps twice as much."""
    companions(keeper, 0)
    keeper.write(0.01, water.Reading(system="lazaret", constituent="ph", low=7.6, high=8.6))
    keeper.read(0.02, "total_ammonia", 0.8, "ammonia_photometer")
    newest = newest_in_lazaret(0.1)
    assert newest.low < newest.value < newest.high == newest.cautious
    assert newest.high - newest.value > 1.25 * (newest.value - newest.low)
    assert f"({newest.low:.3f} to {newest.high:.3f})" in words_of(ammonia(0.1))


def test_cold_water_does_not_make_all_ammonia_poisonous(keeper):
    """At 3 °C and pH 8.2 about 1.2 % is un-ionised: Clegg & Whitfield 1995 reach down to -2 °C (recomputed)."""
    companions(keeper, 0)
    keeper.read(0.01, "temperature", 3.0, "thermometer")
    keeper.read(0.02, "total_ammonia", 1.0, "ammonia_photometer")
    newest = newest_in_lazaret(0.1)
    assert newest.value == pytest.approx(0.012, abs=0.004)
    assert newest.worst < 0.1


def test_cold_water_without_a_ph_is_worried_about_in_measure(keeper):
    """What was not read is taken at its worst, but not as if all of the ammonia were poisonous."""
    keeper.read(0, "temperature", 3.0, "thermometer")
    keeper.read(0, "total_ammonia", 1.0, "ammonia_photometer")
    newest = newest_in_lazaret(0.1)
    assert newest.value is None
    assert 0.0 < newest.worst < 0.1


def newest_in_lazaret(day: float) -> AmmoniaAt:
    """Return what of the newest total ammonia is un-ionised."""
    facts = Facts(load_household(), at(day))
    newest = facts.newest_reading("lazaret", "total_ammonia")
    assert newest is not None
    return ammonia_at(facts, "lazaret", facts.recent_readings, newest)
