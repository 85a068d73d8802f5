"""Water that was bad when it was last read, and was not read again."""

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.rounds import rounds
from pratique.casework.sheets import Concern
from pratique.ledger.household import load_household

pytestmark = pytest.mark.django_db


def water_concern(day: float, constituent: str) -> Concern | None:
    """Return what the rounds say of one constituent in Lazaret, if anything."""
    found = rounds(load_household(), now=at(day)).concerns
    return next((one for one in found if one.key == f"water.lazaret.{constituent}"), None)


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret and a royal gramma in it."""
    keeper = Keeper()
    keeper.quarantine()
    return keeper


@pytest.mark.parametrize("day", [3, 20])
def test_water_that_was_too_warm_and_not_read_again_is_not_forgotten(keeper, day):
    """31 °C grows too old to speak for today after 36 hours; that does not make the water cool."""
    keeper.read(0, "temperature", 31.0, "thermometer")
    found = water_concern(day, "temperature")
    assert found is not None
    assert found.title == "Lazaret: temperature is not known any more"
    assert found.weight == "today"
    assert "last seen" in found.said[0]
    assert "31.0 ± 0.6" in found.said[0]


def test_a_clean_reading_ends_the_worry_also_once_it_is_old(keeper):
    """The newest reading counts."""
    keeper.read(0, "temperature", 31.0, "thermometer")
    keeper.read(1, "temperature", 25.0, "thermometer")
    assert water_concern(6, "temperature") is None


def test_a_small_departure_is_let_go_once_the_reading_is_old(keeper):
    """27.5 °C is only above what is aimed at; what is due says when to read again."""
    keeper.read(0, "temperature", 27.5, "thermometer")
    found = water_concern(0.1, "temperature")
    assert found is not None
    assert found.weight == "watch"
    assert water_concern(3, "temperature") is None


@pytest.mark.parametrize(
    ("constituent", "value", "method", "words"),
    [
        ("ph", 7.9, "ph_meter", "pH is a little low"),
        ("oxygen", 5.2, "oxygen_meter", "oxygen is a little low"),
    ],
)
def test_a_reading_between_good_and_low_is_watched(keeper, constituent, value, method, words):
    """pH 8.0 and 5.5 mg/L of oxygen are what is aimed at: common practice, no source."""
    keeper.read(0, constituent, value, method)
    found = water_concern(0.1, constituent)
    assert found is not None
    assert (found.title, found.weight) == (f"Lazaret: {words}", "watch")
