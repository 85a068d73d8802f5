"""Food goes on in the days ahead: a fed tank without a filter is not drawn as if its ammonia went away by itself."""

from itertools import pairwise

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.facts import Facts
from pratique.casework.going_on import food_going_on
from pratique.casework.ribbons import reckoned_in, ribbon_chart
from pratique.casework.sheets import Chart
from pratique.casework.what_if import what_if_sheet
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals

pytestmark = pytest.mark.django_db

FOOD = "food is taken to go on as in the last week"


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret, 80 L net."""
    keeper = Keeper()
    keeper.quarantine()
    return keeper


@pytest.fixture
def fed(keeper) -> Keeper:
    """Half a gram of flake twice a day from day 5 on, and ammonia read as it climbs by what the food gives off.

    1000 mg × 0.46 protein × 0.092 is 42 mg of N a day, 0.53 mg/L in 80 L.
    """
    keeper.read(4.9, "total_ammonia", 0.0, "ammonia_photometer")
    for half in range(10, 16):
        flake = animals.FoodGiven(food="flake", amount_g=0.5)
        keeper.write(half / 2 + 0.1, animals.Feeding(system="lazaret", foods=(flake,)))
    for day in (6, 7, 8):
        keeper.read(day, "total_ammonia", round(0.53 * (day - 5), 2), "ammonia_photometer")
    return keeper


def drawn(now: float) -> Chart:
    """Return the chart of ammonia on Lazaret's page."""
    household = load_household()
    found = ribbon_chart(Facts(household, at(now)), household.systems["lazaret"], "total_ammonia")
    assert found is not None
    return found


def level_at(chart: Chart, day: float) -> float:
    """Return the median drawn last before a moment."""
    return next(point.value for point in reversed(chart.line) if point.at <= at(day))


@pytest.mark.usefixtures("fed")
def test_ammonia_of_a_fed_tank_climbs_on():
    """Three days on it stands higher by most of 1.6 mg/L, and the picture says what that rests on."""
    chart = drawn(8.02)
    assert 0.7 < level_at(chart, 11) - level_at(chart, 8.01) < 1.7
    assert FOOD in chart.note


@pytest.mark.usefixtures("fed")
def test_the_page_of_what_is_tried_expects_the_same():
    """The week ahead is drawn with the food, and says so, before anything is typed."""
    tried = what_if_sheet(load_household(), "lazaret", "total_ammonia", {}, now=at(8.02))
    assert tried.chart is not None
    assert level_at(tried.chart, 11) == pytest.approx(level_at(drawn(8.02), 11), abs=0.02)
    assert FOOD in tried.chart.note


@pytest.mark.usefixtures("fed")
def test_a_tank_fed_for_three_days_is_not_taken_to_fast_for_four():
    """What began within the week comes again day after day: twelve feedings in six days."""
    household = load_household()
    found = reckoned_in(Facts(household, at(8.02)), household.systems["lazaret"], "total_ammonia")
    assert found is not None
    assert found.running is not None
    food = food_going_on(found, until_day=found.running.day + 6.0)
    assert len(food) == 12
    assert all(later.day - one.day == pytest.approx(0.5) for one, later in pairwise(food))


def test_without_food_none_is_made_up(keeper):
    """Where nobody feeds, the picture does not speak of food."""
    for day in range(4):
        keeper.read(day, "total_ammonia", 0.2, "ammonia_photometer")
    assert FOOD not in drawn(3.1).note
