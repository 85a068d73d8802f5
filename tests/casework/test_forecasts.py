"""What a system's page says is to come: which limit is crossed, when, how likely, and when nothing is said."""

import re

import pytest
from tests.casework.keeping import Keeper, at
from tests.casework.test_consumption import fine_drops, skerry

from pratique.casework.facts import Facts
from pratique.casework.forecasts import ForecastLine, forecast_lines
from pratique.ledger.household import load_household
from pratique.ledger.kinds import water

pytestmark = pytest.mark.django_db


def lines(day: float, *, system: str = "skerry") -> list[ForecastLine]:
    """What is said to come on a day."""
    household = load_household()
    return list(forecast_lines(Facts(household, at(day)), household.systems[system]))


@pytest.fixture
def keeper() -> Keeper:
    """A household with a display and a fine method."""
    found = Keeper()
    skerry(found)
    fine_drops(found)
    return found


def read_falling(keeper: Keeper, *, start: float, per_day: float) -> None:
    """Read an alkalinity every day for ten days."""
    for day in range(11):
        keeper.read(day, "alkalinity", round(start - per_day * day, 2), "fine_drops", system="skerry")


def test_a_fall_towards_a_limit_is_told_with_its_day_and_chance(keeper: Keeper) -> None:
    """6.5 on 11 March, falling by 0.3 a day: under 5 dKH five days on, the 16th, give or take one."""
    read_falling(keeper, start=9.5, per_day=0.3)
    (line,) = lines(10.1)
    assert line.constituent == "alkalinity"
    assert line.words.startswith("Alkalinity in Skerry will probably fall below 5.0\u202fdKH, about ")
    found = re.search(r"about (\d+) March, if nothing is added or changed \(by 25 March: ", line.words)
    assert found is not None
    assert int(found.group(1)) in (15, 16, 17)
    assert any("Usual: 5.0 to 14.0" in one.words for one in line.reasons)


def test_doses_of_the_last_week_are_taken_to_go_on(keeper: Keeper) -> None:
    """The same tank dosed with what it takes up stays where it is: no limit is named."""
    for day in range(11):
        keeper.read(day, "alkalinity", 6.5, "fine_drops", system="skerry")
        # 0.3 dKH in 200 L: 60 dKH·litres, which at 17.86 mg/L of CaCO3 to 1 dKH are 1071 mg.
        keeper.write(day + 0.02, water.Dose(system="skerry", substance="sodium_bicarbonate", amount_mg=1071.0))
    assert [one.words for one in lines(10.1) if "will" in one.words] == []


def test_a_level_that_stays_has_no_line(keeper: Keeper) -> None:
    """Steady in the middle of what is usual."""
    read_falling(keeper, start=9.0, per_day=0.0)
    assert lines(10.1) == []


def test_a_level_beyond_its_limit_already_is_no_forecast(keeper: Keeper) -> None:
    """At 4 dKH it has fallen below 5: that is told as it is, not as to come."""
    read_falling(keeper, start=5.0, per_day=0.1)
    assert lines(10.1) == []


def test_two_readings_are_too_few_for_a_forecast(keeper: Keeper) -> None:
    """What was believed beforehand would speak, not this tank."""
    keeper.read(0, "alkalinity", 7.0, "fine_drops", system="skerry")
    keeper.read(3, "alkalinity", 6.0, "fine_drops", system="skerry")
    assert lines(3.1) == []


def test_old_readings_tell_nothing_of_what_is_to_come(keeper: Keeper) -> None:
    """Alkalinity speaks for a week; ten days after the newest reading nothing is forecast."""
    read_falling(keeper, start=9.5, per_day=0.3)
    assert lines(20.1) == []


def test_a_newest_reading_that_does_not_fit_withholds_the_forecast(keeper: Keeper) -> None:
    """It is to be repeated first."""
    read_falling(keeper, start=9.5, per_day=0.3)
    keeper.read(10.5, "alkalinity", 12.0, "fine_drops", system="skerry")
    assert lines(10.6) == []


def test_copper_about_to_leave_its_target_is_told(keeper: Keeper) -> None:
    """At 0.16 and falling by 0.02 a day the target's lower end is a day away; doses are not taken to go on."""
    keeper.quarantine()
    keeper.course()
    keeper.dose(0.1, 16.0)
    for day in range(1, 5):
        keeper.read(day, "copper", round(0.22 - 0.015 * day, 2), "copper_photometer", system="lazaret")
    (line,) = lines(4.1, system="lazaret")
    assert line.constituent == "copper"
    assert "fall below 0.15\u202fmg/L" in line.words
    assert "if nothing is added or changed" in line.words


def test_the_chance_told_is_the_same_on_every_page_of_an_hour(keeper: Keeper) -> None:
    """Trajectories are drawn from a fixed seed."""
    read_falling(keeper, start=9.5, per_day=0.3)
    assert lines(10.1) == lines(10.1)
