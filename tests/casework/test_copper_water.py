"""Copper in a system's water, whether a course is under way there or not."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from tests.casework.keeping import Keeper, at

from pratique.casework.rounds import rounds
from pratique.casework.sheets import Concern
from pratique.casework.writing.dangers import has_copper
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, care, places, water

pytestmark = pytest.mark.django_db


def concerns(day: float) -> dict[str, Concern]:
    """Return the concerns at a moment, by key."""
    return {one.key: one for one in rounds(load_household(), now=at(day)).concerns}


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret and a royal gramma in it, and no course."""
    keeper = Keeper()
    keeper.quarantine()
    return keeper


@pytest.fixture
def display(keeper: Keeper) -> Keeper:
    """The same with Skerry, where corals live."""
    skerry = places.System(
        key="skerry", name="Skerry", role="display", gross_volume_l=480, net_volume_l=400, keeps_invertebrates=True
    )
    keeper.write(-20, skerry)
    return keeper


def test_copper_too_high_is_said_without_a_course(keeper):
    """0.30 mg/L of ionic copper where a fish lives, and nobody treats: above 0.25, the hard upper limit."""
    reading = keeper.read(0, "copper", 0.30, "copper_photometer")
    found = concerns(0.1)["copper-high.lazaret"]
    assert found.weight == "now"
    assert found.evidence[0].entry == reading
    assert found.cautions


def test_copper_too_high_is_said_in_water_of_unknown_volume():
    """No level is reckoned there; the reading speaks."""
    keeper = Keeper()
    keeper.quarantine(net_volume_l=None)
    keeper.course()
    keeper.read(0.1, "copper", 0.35, "copper_photometer")
    assert "copper-high.copper" in concerns(0.2)


def test_a_change_that_brought_the_level_down_ends_the_concern(keeper):
    """Half of 80 L changed: 0.15 mg/L by mass balance."""
    keeper.read(0, "copper", 0.30, "copper_photometer")
    keeper.write(0.1, water.WaterChange(system="lazaret", volume_l=40))
    assert "copper-high.lazaret" not in concerns(0.2)


def test_copper_too_high_in_an_empty_tank_troubles_nobody(keeper):
    """Nobody lives there any more."""
    keeper.read(0, "copper", 0.30, "copper_photometer")
    keeper.write(0.1, animals.Death(animal="gramma"))
    assert "copper-high.lazaret" not in concerns(0.2)


def test_a_finished_chelated_course_still_says_which_limit_counts(keeper):
    """2.0 mg/L after a chelated course is within its band; 3.5 is above its hard upper limit of 3.0 (our own)."""
    keeper.course(substance="copper_chelated", stock=None, band=(1.5, 2.5, 3.0))
    keeper.read(1, "copper", 2.0, "copper_total_colour_chart")
    keeper.write(2, care.CourseStop(course="copper", system="lazaret"))
    assert not any(key.startswith("copper-high") for key in concerns(2.1))
    keeper.write(3, water.Dose(system="lazaret", substance="copper_chelated", amount_mg=120.0))
    assert any(key.startswith("copper-high") for key in concerns(3.1))


def test_a_shrimp_in_a_tank_not_said_to_keep_any_is_thought_of(keeper):
    """Who lives there counts, not only what was ticked when the tank was set up."""
    keeper.write(-1, animals.Arrival(key="shrimp", name="Cleaner shrimp", species="cleaner_shrimp", system="lazaret"))
    keeper.dose(0, 4.0)
    found = concerns(0.1)["copper-invertebrates.lazaret"]
    assert found.weight == "now"
    assert any("Cleaner shrimp shares this water" in said for said in found.said)


def test_a_reading_that_may_be_copper_is_said_today(display):
    """0.03 ± 0.03 is three times what harms invertebrates, and may be nothing: harm from 0.01 (Trenfield et al.)."""
    display.read(0, "copper", 0.03, "copper_photometer", system="skerry")
    assert concerns(0.1)["copper-invertebrates.skerry"].weight == "today"


def test_a_clear_reading_is_no_concern(display):
    """Below what the photometer can read: nothing was seen."""
    under = water.Reading(system="skerry", constituent="copper", below=0.02, method="copper_photometer")
    display.write(0, under)
    assert "copper-invertebrates.skerry" not in concerns(0.1)


def test_copper_over_a_reef_is_not_forgotten_because_nobody_reads_again(display):
    """0.20 three weeks ago: not known any more, and still on the rounds until a clear reading."""
    display.read(0, "copper", 0.20, "copper_photometer", system="skerry")
    found = concerns(21)["copper-invertebrates.skerry"]
    assert any("not known any more since" in said for said in found.said)
    display.write(21.1, water.Reading(system="skerry", constituent="copper", below=0.02, method="copper_photometer"))
    assert "copper-invertebrates.skerry" not in concerns(21.2)


def test_a_clear_reading_after_a_dose_leaves_it_to_be_watched(display):
    """Tests do not read as little as harms them."""
    display.dose(0, 2.0, system="skerry")
    under = water.Reading(system="skerry", constituent="copper", below=0.02, method="copper_photometer")
    display.write(1, under)
    found = concerns(1.1)["copper-invertebrates.skerry"]
    assert found.weight == "watch"
    assert any("does not prove" in said for said in found.said)


def test_two_forms_without_a_course_are_mixed_too(keeper):
    """Ionic on Monday, chelated on Tuesday, never emptied."""
    keeper.dose(0, 4.0)
    keeper.write(1, water.Dose(system="lazaret", substance="copper_chelated", amount_mg=80.0))
    assert concerns(1.1)["copper-mixed.lazaret"].weight == "now"
    keeper.write(2, water.WaterChange(system="lazaret", emptied=True))
    assert "copper-mixed.lazaret" not in concerns(2.1)


def test_a_binder_where_no_copper_is_says_nothing(keeper):
    """It binds ammonia, as it should."""
    keeper.write(0, water.Dose(system="lazaret", substance="ammonia_binder", amount_ml=5.0))
    assert "copper-binder.lazaret" not in concerns(0.1)


def test_carbon_over_a_reef_without_copper_says_nothing(keeper):
    """Carbon hangs in many displays; a clear reading before it stays a clear one, for carbon adds no copper."""
    keeper.read(0, "copper", 0.0, "copper_photometer")
    keeper.write(1, water.Dose(system="lazaret", substance="activated_carbon", amount_g=100.0))
    household = load_household()
    assert not has_copper(household, household.systems["lazaret"], at(1.1))
    assert not [key for key in concerns(1.1) if key.startswith("copper")]


@pytest.mark.parametrize("day", [20, 50, 70, 400])
def test_days_alone_take_no_copper_out(keeper, day):
    """Read at 0.20, the course stopped, never read again: what a guessed loss left of it lets no shrimp in."""
    keeper.course()
    keeper.dose(0.1, 16.0)
    keeper.read(1, "copper", 0.20, "copper_photometer")
    keeper.write(15, care.CourseStop(course="copper", system="lazaret"))
    household = load_household()
    assert has_copper(household, household.systems["lazaret"], at(day))


def test_a_small_dose_after_a_clear_reading_is_copper_until_it_is_read(keeper):
    """1 mg in 80 L is 0.0125 mg/L: under what most tests read, and anemones are harmed at 0.0088 (Trenfield et al.)."""
    keeper.read(0, "copper", 0.0, "copper_photometer")
    keeper.dose(1, 1.0)
    household = load_household()
    assert has_copper(household, household.systems["lazaret"], at(1.1))


def test_water_holds_copper_until_a_reading_says_otherwise(keeper):
    """Whoever lets a shrimp in is asked where copper went in, is read, or is meant to be."""

    def holds(day: float) -> bool:
        household = load_household()
        return has_copper(household, household.systems["lazaret"], at(day))

    assert not holds(0)
    keeper.write(1, water.Dose(system="lazaret", substance="copper_ionic", amount_ml=0.5))
    assert holds(1.1)
    keeper.write(2, water.Reading(system="lazaret", constituent="copper", below=0.02, method="copper_photometer"))
    assert not holds(2.1)
    keeper.read(3, "copper", 0.10, "copper_photometer")
    assert holds(3.1)
    keeper.write(4, water.WaterChange(system="lazaret", emptied=True))
    assert not holds(4.1)
    keeper.course()
    assert holds(5)


def test_one_look_reads_the_copper_of_a_system_once(keeper):
    """The course, its water and its surprises share one reading of the ledger, and the reckoning has its own."""
    keeper.course()
    keeper.dose(0.1, 14.4)
    for day in (0.5, 1.0, 2.0):
        keeper.read(day, "copper", 0.18, "copper_photometer")
    household = load_household()
    with CaptureQueriesContext(connection) as asked:
        rounds(household, now=at(2.1))
    assert sum("activated_carbon" in one["sql"] for one in asked.captured_queries) == 2
