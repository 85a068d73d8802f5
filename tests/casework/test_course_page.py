"""The page of a course: how surely each day was held, what is lost to a dip, and what it does not know."""

import re

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.chances import chance_with_error
from pratique.casework.concerns.ammonia import ammonia_concerns
from pratique.casework.copper import course_copper
from pratique.casework.courses import course_sheet
from pratique.casework.dosing_words import make_up_words
from pratique.casework.facts import Facts
from pratique.casework.sheets import CourseSheet
from pratique.ledger.household import load_household, load_household_at
from pratique.ledger.kinds import care, water
from pratique.science.estimation.exposure import Chance

pytestmark = pytest.mark.django_db


def sheet(day: float) -> CourseSheet:
    """Return the page of the course at a moment."""
    return course_sheet(load_household_at(at(day)), "copper", now=at(day))


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret, 80 L net, and a copper course begun at noon of 1 March."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.course()
    return keeper


@pytest.fixture
def dipped(keeper) -> Keeper:
    """Seven days at 0.18 mg/L, then 30 of 80 L changed without a make-up dose, put right a day later."""
    keeper.write(-0.5, water.WaterChange(system="lazaret", emptied=True))
    keeper.dose(0.1, 14.4)
    for day in range(1, 8):
        keeper.read(day, "copper", 0.18, "copper_photometer")
        keeper.dose(day + 0.1, 0.6)
    keeper.write(7.5, water.WaterChange(system="lazaret", volume_l=30))
    keeper.read(8, "copper", 0.11, "copper_photometer")
    keeper.read(8.4, "copper", 0.11, "copper_photometer")
    keeper.dose(8.5, 5.6)
    for day in range(9, 13):
        keeper.read(day, "copper", 0.18, "copper_photometer")
        keeper.dose(day + 0.1, 0.6)
    return keeper


@pytest.mark.usefixtures("dipped")
def test_days_before_a_dip_are_shown_as_lost_and_those_after_it_count():
    """A dip restarts the clock; each cell says in words what its shape shows."""
    found = sheet(12.3)
    told = {cell.day: cell for cell in found.days}
    assert told[1].words == "not yet at the band"
    assert all(told[day].is_lost and told[day].words.endswith("it lies before a dip") for day in range(2, 8))
    assert told[8].is_dip
    assert told[9].is_dip
    assert all(told[day].words == "surely held" and not told[day].is_lost for day in (10, 11, 12))
    assert found.days_lost == 6
    assert found.days_credited == 3
    assert found.heading == "Held for 3 days so far, 14 needed"
    assert "6 days before a dip do not count any more." in found.said


@pytest.mark.usefixtures("dipped")
def test_the_page_names_the_dip_its_day_and_what_went_before_it():
    """30 of 80 L changed at midnight of day 8: 0.18 becomes 0.11, by the conservation of mass."""
    found = sheet(12.3)
    assert "dipped on 9 March, day 8 of the course" in found.gist
    (dip,) = [one for one in found.dips if one.is_likely]
    assert "at its lowest 0.11" in dip.words
    assert any(one.words.startswith("water change of 30\u202fL") for one in dip.just_before)


@pytest.mark.usefixtures("dipped")
def test_the_page_says_what_to_do_and_for_how_long(dipped):
    """Three of 14 days are sure since the dip, so eleven are left; the longest run, of 7.4 days, lay before it."""
    assert (
        "Keep copper at the band for 11 days more; then the 14 needed in a row are 95\u202f% sure." in sheet(12.3).gist
    )
    dipped.write(12.3, care.CourseStop(course="copper", system="lazaret"))
    assert "The longest run that is sure fell 7 days short of the 14 needed." in sheet(13).gist


@pytest.mark.usefixtures("dipped")
def test_the_rounds_and_the_page_count_the_same_days():
    """One dip, one way to count: the days of the course and of the calendar, and the days it cost, are told alike."""
    found, (dip,) = sheet(12.3), [one for one in sheet(12.3).dips if one.is_likely]
    (told,) = [one for one in found.concerns if one.key == "copper-dip.copper"]
    assert told.title == "Copper: the copper dipped on 9 March"
    assert re.match("(8 March to )?9 March, days? 8(?: to 9)? of the course: under 0.15", told.said[0]), told.said[0]
    assert told.said[0].partition(": ")[2] == dip.words.partition(": ")[2]
    assert told.said[1] == "3 days counted now, 14 needed; 6 days before the dip are lost."
    assert (found.days_credited, found.days_lost) == (3, 6)


@pytest.mark.usefixtures("dipped")
def test_a_day_is_lost_only_once_the_dip_is_there():
    """Looked at as of before the dip, the same days count."""
    found = sheet(7.3)
    assert found.days_lost == 0
    assert found.days_credited >= 6
    assert all(cell.words == "surely held" for cell in found.days[1:])


def test_a_long_course_is_held_with_a_chance_and_the_chance_grows_day_by_day(keeper):
    """Sixteen days at 0.18: fourteen in a row can only have been held from the fifteenth day on."""
    keeper.write(-0.5, water.WaterChange(system="lazaret", emptied=True))
    keeper.dose(0.1, 14.4)
    for day in range(1, 17):
        keeper.read(day, "copper", 0.18, "copper_photometer")
        keeper.dose(day + 0.1, 0.6)
    found = sheet(16.3)
    reached = [cell.reached or 0.0 for cell in found.days]
    assert reached == sorted(reached)
    assert reached[13] == 0.0
    assert reached[-1] == pytest.approx(found.probability)
    assert found.heading == "Held for 16 days, 14 needed"
    assert any(one.startswith("The chance that 14 days in a row were held is") for one in found.said)
    keeper.write(16.4, care.CourseStop(course="copper", system="lazaret"))
    assert sheet(30).heading == "Held for 16 days, 14 needed"
    assert "What stands is enough." in sheet(30).gist


def test_a_level_at_the_foot_of_the_band_is_not_surely_held(keeper):
    """Read at 0.15, half of what a 0.01-mg/L meter with an error of its own can mean lies below."""
    keeper.write(-0.5, water.WaterChange(system="lazaret", emptied=True))
    keeper.dose(0.1, 12.4)
    for day in range(1, 17):
        keeper.read(day, "copper", 0.15, "copper_photometer")
        keeper.dose(day + 0.1, 0.5)
    found = sheet(16.3)
    assert found.probability is not None
    assert found.probability < 0.95
    assert found.heading == "Not surely held for a day, 14 needed"
    assert all(cell.probability is not None and cell.probability < 0.95 for cell in found.days[1:])


def test_a_dip_that_is_only_possible_is_said_to_be_so(keeper):
    """Held at 0.18 for a week and sinking to 0.16: the clock still runs, and the page says where it may not."""
    keeper.write(-0.5, water.WaterChange(system="lazaret", emptied=True))
    keeper.dose(0.1, 14.4)
    for day in range(1, 7):
        keeper.read(day, "copper", 0.18, "copper_photometer")
        keeper.dose(day + 0.1, 0.6)
    keeper.read(8, "copper", 0.16, "copper_photometer")
    found = sheet(9)
    assert found.days_lost == 0
    assert re.search("but one on (9|10) March, day [0-9]+ of the course is possible", found.gist), found.gist
    assert found.dips
    assert not any(dip.is_likely for dip in found.dips)


def test_what_the_newest_reading_no_longer_tells_is_not_known(keeper):
    """Read on day 2, looked at on day 6: later than 36 hours after it nothing is credited, lost or drawn."""
    keeper.dose(0.1, 14.4)
    keeper.read(1, "copper", 0.18, "copper_photometer")
    keeper.read(2, "copper", 0.18, "copper_photometer")
    found = sheet(6)
    assert [cell.is_known for cell in found.days] == [True, True, True, False, False, False]
    assert found.days[4].probability is None
    assert found.day_words[-1] == "Days 4 to 6: not known, no reading tells the level."
    assert found.chart is not None
    assert found.chart.line[-1].at <= at(3.5)
    said = " ".join(found.said)
    assert "Standing when the level was last known without a break" in said
    assert "surely never above 0.25\u202fmg/L, as far as it is known." in said


def test_the_page_tells_the_net_volume_learned_beside_what_was_written():
    """Written 80 L, but 12 mg raise it by 0.20: the water is nearer 60 L, by the conservation of mass."""
    keeper = Keeper()
    keeper.quarantine(net_volume_l=None)
    keeper.course()
    keeper.write(-0.5, water.WaterChange(system="lazaret", emptied=True))
    keeper.dose(0.1, 12.0)
    for day in (0.2, 0.3, 0.4):
        keeper.read(day, "copper", 0.20, "copper_photometer")
    (told,) = [one for one in sheet(0.6).said if one.startswith("Your 90\u202fL tank holds")]
    litres = re.search("holds ([0-9]+) ± ([0-9]+)", told)
    assert litres is not None
    assert abs(float(litres[1]) - 60.0) <= float(litres[2])
    assert "nobody wrote its net volume" in told


def test_a_planned_change_is_told_with_the_dose_to_add_with_it(keeper):
    """20 of 80 L at 0.18 take a quarter: to 0.135. What puts back 0.18 is 3.6 mg, by the conservation of mass."""
    keeper.dose(0.1, 14.4)
    keeper.read(0.5, "copper", 0.18, "copper_photometer")
    keeper.read(1.0, "copper", 0.18, "copper_photometer")
    facts = Facts(load_household(), at(1.1))
    words = make_up_words(facts, course_copper(facts, facts.household.courses["copper"]), changed_l=20)
    told = re.fullmatch(
        "It would take copper from 0.18 to ([0-9.]+)\u202fmg/L: "
        "add ([0-9.]+)\u202fmL of copper stock with the new water, and read after an hour.",
        words,
    )
    assert told is not None, words
    assert float(told[1]) == pytest.approx(0.135, abs=0.011)
    assert float(told[2]) == pytest.approx(3.6, abs=1.2)


def test_a_change_that_takes_no_copper_worth_a_figure_says_nothing_of_copper(keeper):
    """Emptied and not dosed yet there is none to take: `from 0.00 to 0.00` would tell a tired keeper nothing."""
    keeper.write(-0.5, water.WaterChange(system="lazaret", emptied=True))
    keeper.read(0.5, "copper", 0.0, "copper_photometer")
    keeper.read(1.0, "total_ammonia", 1.5, None)
    facts = Facts(load_household(), at(1.1))
    assert make_up_words(facts, course_copper(facts, facts.household.courses["copper"]), changed_l=20) == ""
    (found,) = [one for one in ammonia_concerns(facts) if one.key == "ammonia.lazaret"]
    assert any("Changing" in one for one in found.said)
    assert not any("copper" in one.lower() or not one for one in found.said)


def test_a_guess_is_called_a_guess(keeper):
    """What nobody measured is said as such beside the days it decides."""
    keeper.dose(0.1, 14.4)
    keeper.read(0.5, "copper", 0.18, "copper_photometer")
    believed = [one for one in sheet(1).reasons if "believed to lose" in one.words]
    assert [one.status for one in believed] == ["guess"]


@pytest.mark.parametrize(
    ("value", "error", "words"),
    [
        (0.76, 0.0096, "76 ± 2\u202f%"),
        (0.5, 0.0001, "50 ± 1\u202f%"),
        (0.999, 0.001, "over 99\u202f%"),
        (0.0, 0.0, "under 1\u202f%"),
    ],
)
def test_a_chance_is_told_with_the_error_of_its_drawing(value, error, words):
    """One standard error of 0.96 points is ± 1.9 at 95 %, told in whole points and never as less than one."""
    assert chance_with_error(Chance(value, error)) == words


def test_a_view_in_the_past_says_how_far_the_course_had_come_then(keeper):
    """Stopped on day 5: on day 3 it was under way, before it began it was only planned, and now it is finished."""
    keeper.dose(0.1, 14.4)
    keeper.read(0.5, "copper", 0.18, "copper_photometer")
    keeper.write(5, care.CourseStop(course="copper", system="lazaret"))
    assert sheet(3).standing == "under way"
    assert sheet(6).standing == "finished"
    before = sheet(-0.05)
    assert before.standing == "planned, not begun"
    assert before.heading == "Copper: planned, not begun"
    assert before.advice is None
