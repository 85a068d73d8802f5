"""What an animal went through: medicine lasts while it is in the water, and ammonia burns gills as medicine does."""

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth, health_of
from pratique.casework.rounds import rounds
from pratique.casework.timeline import days_of
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, care, places, water

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret, a royal gramma in it, and a copper course from day 0 at 0.18 mg/L."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.course()
    keeper.dose(0.1, 14.4)
    return keeper


def gramma(day: float) -> AnimalHealth:
    """Return the gramma's health at a moment."""
    return health_of(Facts(load_household(), at(day)))["gramma"]


def stop(keeper: Keeper, day: float) -> None:
    """Stop the course."""
    keeper.write(day, care.CourseStop(course="copper", system="lazaret"))


def test_a_course_that_is_open_is_medicine_now(keeper):
    """While it lasts there is no rest."""
    assert [one.words for one in gramma(5).medicated] == ["in ionic copper (copper sulfate) now"]


def test_the_end_of_a_course_takes_no_copper_out_of_the_water(keeper):
    """The stop is a line in the ledger; the fish still swims in what was dosed, until a reading says otherwise."""
    stop(keeper, 14)
    keeper.read(14.5, "copper", 0.18, "copper_photometer")
    for day in (15, 25, 120):
        found = gramma(day)
        assert found.medicated[-1].kind == "medicine"
        assert not found.rest.is_rested
    assert "not read as gone" in gramma(15).medicated[-1].words


def test_a_stop_with_nothing_read_since_leaves_it_not_known(keeper):
    """Nobody looked: it may still be there."""
    stop(keeper, 14)
    assert "not read as gone since the course was stopped" in gramma(30).medicated[-1].words


@pytest.mark.parametrize("value", [0.0, 0.03])
def test_a_reading_under_what_counts_as_absent_ends_it(keeper, value):
    """Under 0.05 mg/L the water counts as free of medicine for fishes: common practice, no source."""
    stop(keeper, 14)
    keeper.read(16, "copper", value, "copper_photometer")
    found = gramma(18)
    assert (found.medicated[-1].kind, found.medicated[-1].at_day) == ("medicine_end", pytest.approx(_day(16)))
    assert gramma(120).rest.is_rested


def test_a_tank_emptied_and_refilled_ends_it_unless_copper_came_with_the_new_water(keeper):
    """All of the water took the copper with it."""
    stop(keeper, 14)
    keeper.write(15, water.WaterChange(system="lazaret", emptied=True, incoming_mg_per_l={"copper": 0.15}))
    assert gramma(18).medicated[-1].kind == "medicine"
    keeper.write(19, water.WaterChange(system="lazaret", emptied=True))
    assert gramma(20).medicated[-1].at_day == pytest.approx(_day(19))


def test_a_move_to_clean_water_ends_it(keeper):
    """Out of the medicine, whatever the tank still holds."""
    stop(keeper, 14)
    haven(keeper)
    keeper.write(15, animals.Move(animals=("gramma",), system="haven"))
    assert gramma(18).medicated[-1].at_day == pytest.approx(_day(15))


def test_copper_dosed_without_a_course_is_medicine_too(keeper):
    """A dose is a dose, whatever it was written for."""
    haven(keeper)
    keeper.write(1, animals.Move(animals=("gramma",), system="haven"))
    keeper.dose(3, 20.0, system="haven")
    assert "not read as gone" in gramma(9).medicated[-1].words


def test_a_newcomer_is_in_the_copper_the_tank_still_holds(keeper):
    """What the last batch left behind is medicine for the next."""
    stop(keeper, 14)
    keeper.write(20, animals.Arrival(key="goby", name="Maiden goby", species="maiden_goby", system="lazaret"))
    found = health_of(Facts(load_household(), at(21)))["goby"]
    assert found.medicated[-1].kind == "medicine"


def test_ammonia_in_its_water_asks_for_rest(keeper):
    """1 mg/L at pH 8.2, 25 °C, S 34 is 0.066 mg/L un-ionised: over the figure to act at (Bower & Bidwell 1978)."""
    for constituent, value, method in (("ph", 8.2, "ph_meter"), ("temperature", 25.0, "thermometer")):
        keeper.read(-5, constituent, value, method)
    keeper.read(-5, "salinity", 34.0, "refractometer")
    keeper.read(-5, "total_ammonia", 1.0, "ammonia_photometer")
    found = gramma(-4)
    assert found.exposures[-1].kind == "ammonia"
    assert found.rest.clear_on_day == pytest.approx(_day(2))
    assert "un-ionised ammonia" in found.rest.binding.words


def test_little_ammonia_is_nothing_to_rest_from(keeper):
    """0.02 mg/L in all cannot be 0.05 un-ionised."""
    keeper.read(-5, "total_ammonia", 0.02, "ammonia_photometer")
    assert all(one.kind != "ammonia" for one in gramma(-4).exposures)


def test_ammonia_before_it_came_is_not_its_own(keeper):
    """It arrived on day -10."""
    keeper.read(-12, "total_ammonia", 4.0, "ammonia_photometer")
    assert all(one.kind != "ammonia" for one in gramma(-9).exposures)


def test_an_animal_that_refuses_under_copper_puts_the_course_in_question(keeper):
    """A warning after three days without food under copper, after five lower or stop: common practice, no source."""
    keeper.read(1, "copper", 0.18, "copper_photometer")
    for day in range(9):
        keeper.write(day + 0.3, animals.Feeding(system="lazaret", fed={"gramma": 4 if day < 2 else 0}))

    def said(day: float) -> tuple[str, str]:
        found = next(one for one in rounds(load_household(), now=at(day)).concerns if one.key == "appetite.gramma")
        assert found.cautions
        return " ".join(found.said), found.next_steps[0].words

    words, step = said(5.5)
    assert "for 3 days under copper: hold the copper at the lower end of the band" in words
    assert step.startswith("Offer")
    words, step = said(8.5)
    assert "for 6 days under copper: lower or stop the course" in words
    assert step == "Lower or stop the course"


def test_an_animal_that_refuses_in_clean_water_is_told_nothing_of_copper(keeper):
    """No course, no question."""
    haven(keeper)
    keeper.write(1, animals.Move(animals=("gramma",), system="haven"))
    for day in range(2, 9):
        keeper.write(day + 0.3, animals.Feeding(system="haven", fed={"gramma": 0}))
    found = next(one for one in rounds(load_household(), now=at(8.5)).concerns if one.key == "appetite.gramma")
    assert "copper" not in " ".join(found.said)


def haven(keeper: Keeper) -> None:
    """Set up Haven, a clean tank."""
    keeper.write(
        -20,
        places.System(key="haven", name="Haven", role="recovery", gross_volume_l=110, net_volume_l=100),
    )


def _day(day: float) -> float:
    """Return a day of this story as the days science counts in."""
    return days_of(at(day))
