"""The ribbons on the page of a system: one for each constituent that is read, leaping where something was done."""

from datetime import timedelta
from itertools import pairwise

import pytest
from tests.casework.conftest import NOW
from tests.casework.keeping import Keeper, at

from pratique.casework.facts import Facts
from pratique.casework.ribbons import ribbon_chart, with_leaps
from pratique.casework.sheets import Chart, ChartMark, ChartPoint
from pratique.casework.systems import system_sheet
from pratique.ledger.household import load_household

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret, 80 L net, and a copper course begun at noon of 1 March."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.course()
    return keeper


def drawn(constituent: str, *, now: float) -> Chart:
    """Return the chart of a constituent in Lazaret."""
    household = load_household()
    found = ribbon_chart(Facts(household, at(now)), household.systems["lazaret"], constituent)
    assert found is not None
    return found


def test_every_constituent_that_is_read_has_a_ribbon_and_a_way_to_its_page(harbour_row):
    """On Skerry's page stand temperature, salinity, pH and what its corals take up, each with its own page."""
    charts = [one for one in system_sheet(harbour_row, "skerry", now=NOW).charts if one.leads_to]
    assert {one.leads_to[1] for one in charts} >= {"temperature", "salinity", "ph", "alkalinity", "nitrate"}
    for chart in charts:
        assert chart.line, chart.title
        assert all(point.inner_low is not None for point in chart.line), chart.title
        assert chart.expected_from is not None, chart.title
        assert chart.line[-1].at > NOW, chart.title


def test_half_of_the_belief_lies_within_the_other(harbour_row):
    """2.5, 25, 50, 75 and 97.5 % stand in this order at every point of every ribbon, and none is below zero."""
    for chart in system_sheet(harbour_row, "lazaret", now=NOW).charts:
        for point in chart.line:
            row = (point.low, point.inner_low, point.value, point.inner_high, point.high)
            assert list(row) == sorted(row), chart.title
            assert point.low >= 0.0, chart.title


def test_the_ribbon_leaps_at_the_dose(keeper):
    """4 mg in 80 L lift the level by 0.05 mg/L at the moment they go in, by the conservation of mass."""
    keeper.read(0.5, "copper", 0.10, "copper_photometer")
    keeper.dose(1.51, 4.0)
    keeper.read(2.5, "copper", 0.15, "copper_photometer")
    chart = drawn("copper", now=2.6)
    leaps = [(before, after) for before, after in pairwise(chart.line) if after.jump and after.at == at(1.51)]
    ((before, after),) = leaps
    assert before.at == after.at
    assert after.value - before.value == pytest.approx(4.0 / 80.0, abs=0.003)


def test_the_doubt_grows_after_the_last_reading(keeper):
    """Nobody has read it since: the days to be expected are wider than the moment of the reading."""
    for day in (0.5, 1.5, 2.5):
        keeper.read(day, "copper", 0.17, "copper_photometer")
    chart = drawn("copper", now=2.6)
    ahead = [point for point in chart.line if point.at > chart.expected_from]
    widths = [point.high - point.low for point in ahead]
    assert widths == sorted(widths)
    assert ahead[-1].at >= at(2.6) + timedelta(days=3)


def test_the_target_of_an_open_course_is_the_band(keeper):
    """A course keeps to its own band."""
    keeper.read(0.5, "copper", 0.17, "copper_photometer")
    chart = drawn("copper", now=0.6)
    assert (chart.band, chart.hard_upper) == ((0.15, 0.20), 0.25)


def test_what_is_guessed_is_said_under_the_picture(keeper):
    """The loss of a day is believed before anything is read; the page does not hide it."""
    keeper.read(0.5, "copper", 0.17, "copper_photometer")
    assert "guess" in drawn("copper", now=0.6).note


def test_a_ribbon_without_deeds_has_no_leap():
    """Points are left as they are."""
    points = [ChartPoint(at(day), 0.1, 0.2, 0.3) for day in range(4)]
    assert with_leaps(points, ()) == tuple(points)


def test_two_deeds_between_two_points_are_one_leap():
    """The grid tells the level before both and after both, and no more."""
    points = [ChartPoint(at(0), 0.1, 0.2, 0.3), ChartPoint(at(1), 0.2, 0.3, 0.4)]
    deeds = [ChartMark(at(day), "dose", "1 mL", None) for day in (0.25, 0.5)]
    found = with_leaps(points, deeds)
    assert [(point.at, point.value, point.jump) for point in found] == [
        (at(0), 0.2, False),
        (at(0.5), 0.2, False),
        (at(0.5), 0.3, True),
        (at(1), 0.3, False),
    ]
