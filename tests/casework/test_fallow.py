"""A tank of the ledger without fish: since when, how warm, and who may yet be in it. The story is invented."""

import json
from datetime import date

import pytest
from tests.casework.keeping import Keeper, at
from typer.testing import CliRunner

from pratique.casework.fallow import fallow_at, water_c
from pratique.casework.fallow_kept import fallow_of, fallow_words
from pratique.casework.systems import system_sheet
from pratique.cli.main import app
from pratique.ledger.household import load_household
from pratique.ledger.kinds.animals import Arrival, Death, Loss, Move
from pratique.ledger.kinds.places import System

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret, a royal gramma in it, and the display Skerry with a chromis that came on day −40."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.write(-50, System(key="skerry", name="Skerry", role="display", gross_volume_l=400))
    keeper.write(-40, Arrival(key="chromis", name="Chromis", species="blue_green_chromis", system="skerry"))
    keeper.write(-40, Arrival(key="shrimp", name="Shrimp", species="cleaner_shrimp", system="skerry"))
    return keeper


def skerry(day: float):
    """Return what is told of Skerry."""
    return fallow_of(load_household(), "skerry", now=at(day))


def test_it_is_told_from_the_day_the_last_fish_left(keeper):
    """Out on 1 March; a shrimp is no host; the mean of the readings since then is the temperature."""
    keeper.write(0, Move(animals=("chromis",), system="lazaret"))
    for day, level in ((-1, 22.0), (3, 26.0), (9, 26.4)):
        keeper.read(day, "temperature", level, None, system="skerry")
    found = skerry(10)
    assert (found.since, found.day, found.fishes) == (date(2026, 3, 1), 10.0, 1)
    assert found.temperature_c == pytest.approx(26.2)
    white_spot = found.lines[0]
    assert found.enough_on == date(2026, 3, 1).fromordinal(date(2026, 3, 1).toordinal() + int(white_spot.enough_day))
    assert white_spot.now == white_spot.curve[10].chance
    assert found.gist.startswith("Without fish since 1 March: free of marine white spot")
    assert system_sheet(load_household(), "skerry", now=at(10)).without_fish == found.gist


def test_a_fish_put_back_begins_it_anew(keeper):
    """In again on day 20 and out on day 21: counted from there."""
    keeper.write(0, Move(animals=("chromis",), system="lazaret"))
    keeper.write(20, Move(animals=("chromis",), system="skerry"))
    assert fallow_words(load_household(), "skerry", now=at(20.5)) == ""
    assert "Chromis lives in it" in skerry(20.5).said[0]
    keeper.write(21, Move(animals=("chromis",), system="lazaret"))
    assert skerry(25).day == 4.0


def test_once_it_is_over_it_is_said_since_when(keeper):
    """Ninety days on."""
    keeper.write(0, Death(animal="chromis"))
    assert "each at least 95\u202f% likely since" in skerry(90).gist


def test_a_fish_that_was_not_found_may_still_be_in_it(keeper):
    """Lost is not gone."""
    keeper.write(0, Loss(animal="chromis"))
    assert "Chromis was not found" in " ".join(skerry(10).said)


def test_where_it_was_not_read_the_temperature_is_a_guess(keeper):
    """And a tank nobody wrote a fish into is told as if from today."""
    keeper.write(-1, System(key="haven", name="Haven", role="recovery", gross_volume_l=60))
    found = fallow_of(load_household(), "haven", now=at(0))
    assert "that is a guess" in found.said[-1]
    assert "No fish was ever written down" in found.said[0]
    assert found.since is None


def test_in_the_cold_nothing_is_told_as_gone(keeper):
    """At 12 °C every line says that it is not known, and so does the gist."""
    found = fallow_at(water_c("12"))
    assert "is not known at 12" in found.gist
    assert [one.curve for one in found.lines][:2] == [(), ()]
    with pytest.raises(ValueError, match="no water of fishes"):
        water_c("60")


def test_the_command_tells_the_same(keeper):
    """By system as JSON; a slip of the pen names what there is."""
    keeper.write(0, Move(animals=("chromis",), system="lazaret"))
    told = CliRunner().invoke(app, ["passage", "fallow", "--system", "skerry", "--json"])
    assert told.exit_code == 0, told.output
    assert json.loads(told.stdout)["system"]["key"] == "skerry"
    wrong = CliRunner().invoke(app, ["passage", "fallow", "--system", "skery"])
    assert wrong.exit_code == 1
    assert "There are: lazaret, skerry" in wrong.stderr
    both = CliRunner().invoke(app, ["passage", "fallow"])
    assert "one of the two" in both.stderr
