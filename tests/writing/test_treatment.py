"""Courses: planning refuses what could kill; what has begun or ended is written down, and asked about."""

import pytest
from tests.writing.conftest import NOW, at, desk, doubts_of, problems_of, put

from pratique.casework.writing.forms import FORMS, write_form
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, care, places, water

pytestmark = pytest.mark.usefixtures("harbour_row")
PLAN = {"system": "lazaret", "batch": "b1", "stock": "blue-bottle"}


def _as_asked(form: str, answers: dict[str, str]) -> frozenset[str]:
    return frozenset(doubts_of(form, answers).values())


def test_a_course_of_ionic_copper_comes_with_its_band_and_days() -> None:
    """Ionic copper is held at 0.15 to 0.20 mg/L, never above 0.25, for the 30 days of the protocol."""
    course = write_form("course", desk(), PLAN)[0].payload
    assert isinstance(course, care.Course)
    assert (course.target_lower, course.target_upper, course.hard_upper) == (0.15, 0.20, 0.25)
    assert (course.required_days, course.name, course.substance) == (30, "B1 copper", "copper_ionic")
    assert load_household().courses["b1-copper"].standing == "planned"


def test_the_band_follows_the_form_of_copper() -> None:
    """Chelated copper has a band of its own."""
    fields = {one.name: one for one in FORMS["course"].fields(load_household(), {"substance": "copper_chelated"}, NOW)}
    assert fields["target-lower"].initial == "1.5"


def test_copper_is_not_planned_where_invertebrates_share_the_water() -> None:
    """The display's shrimp is named."""
    problem = problems_of("course", {"system": "skerry", "stock": "blue-bottle"})["system"]
    assert problem.startswith("Copper kills invertebrates, and Skerry holds Cleaner shrimp.")


def test_copper_is_not_planned_beside_a_box_with_a_shrimp() -> None:
    """A compartment shares its system's water."""
    put(places.Compartment(key="niche", name="Niche", system="lazaret", form="box"), at(1))
    put(animals.Move(animals=("cleaner-shrimp",), system="lazaret", compartment="niche"), at(2))
    assert "Cleaner shrimp in Niche" in problems_of("course", PLAN)["system"]


def test_copper_is_not_planned_in_a_system_said_to_keep_invertebrates() -> None:
    """Live rock and corals need not be written down one by one."""
    put(animals.Move(animals=("cleaner-shrimp",), system="haven"), at(2))
    assert "Skerry holds invertebrates" in problems_of("course", {"system": "skerry", "stock": "blue-bottle"})["system"]


def test_a_course_needs_a_known_net_volume() -> None:
    """The sentence says how to come to one."""
    problem = problems_of("course", {"system": "haven", "stock": "blue-bottle"})["system"]
    assert problem.startswith("Haven's net volume is not known, so no dose can be reckoned.")
    assert "measured bucket" in problem


def test_a_stock_of_another_form_is_refused() -> None:
    """A course is bound to its form of copper."""
    answers = PLAN | {"substance": "copper_amine"}
    assert "Forms of copper never share a stock or a band." in problems_of("course", answers)["stock"]


def test_the_band_of_one_form_is_refused_for_another() -> None:
    """0.15 to 0.20 mg/L of chelated copper would cure nothing."""
    answers = {"system": "lazaret", "substance": "copper_chelated"}
    ionic = {"target-lower": "0.15", "target-upper": "0.20", "hard-upper": "0.25", "required-days": "30"}
    assert "lies wholly below it" in problems_of("course", answers | ionic)["target-upper"]


@pytest.mark.parametrize(
    ("band", "field"),
    [
        ({"target-lower": "0.20", "target-upper": "0.15"}, "target-upper"),
        ({"target-upper": "0.24", "hard-upper": "0.22"}, "hard-upper"),
    ],
)
def test_a_band_goes_upwards(band: dict[str, str], field: str) -> None:
    """Lower, upper and hard upper, in this order."""
    assert field in problems_of("course", PLAN | band)


def test_a_level_above_the_safe_one_needs_words_the_ledger_keeps() -> None:
    """0.35 mg/L of ionic copper lies above the hard upper limit: refused, or overridden in words and asked once."""
    high = PLAN | {"target-upper": "0.30", "hard-upper": "0.35"}
    assert problems_of("course", high)["hard-upper"].startswith(
        "Ionic copper (copper sulfate) is not planned above 0.25 mg/L."
    )
    assert "hard-upper" in problems_of("course", high | {"override": "because"})
    words = "The veterinarian asked for it after two failed courses."
    overridden = high | {"override": words}
    course = write_form("course", desk(*_as_asked("course", overridden)), overridden)[0].raw
    assert words in course["words"]
    assert any("where animals die" in question for question in course["confirmed"])


@pytest.mark.usefixtures("ionic_course")
def test_a_second_course_beside_an_open_one_is_refused() -> None:
    """One water, one course."""
    assert problems_of("course", PLAN)["system"] == (
        "B1 copper is under way in Lazaret. Stop it before another one is planned."
    )


def test_an_angelfish_that_takes_copper_badly_is_named() -> None:
    """The doubt names the animal and its caution."""
    angelfish = animals.Arrival(
        key="angelfish", name="Angelfish", species="two_spined_angelfish", system="lazaret", batch="b1"
    )
    put(angelfish, at(1))
    question = doubts_of("course", PLAN)["substance"]
    assert question.startswith("Angelfish: ")
    assert "copper" in question


def test_animals_that_came_three_days_ago_are_named_with_the_day_they_are_rested() -> None:
    """Eight days after a move is the planning default (trout calm on day 8: Barton, Peter & Paulencu 1980)."""
    put(animals.Arrival(key="gramma", name="Gramma", species="royal_gramma", system="lazaret"), at(22))
    question = doubts_of("course", PLAN)["batch"]
    assert question == "Gramma: arrived on 22 November, and counts as rested from 30 November. Plan it all the same?"


@pytest.mark.usefixtures("ionic_course")
def test_animals_fresh_from_medicine_are_named() -> None:
    """A course that ended yesterday is an exposure: the copper was read as gone when it was stopped."""
    put(care.CourseStop(course="b1-copper", system="lazaret"), at(24, 9))
    put(water.Reading(system="lazaret", constituent="copper", value=0.0, method="copper_photometer"), at(24, 9))
    question = doubts_of("course", PLAN)["batch"]
    assert "until yesterday 09:00" in question
    assert "count as rested from 1 December" in question


@pytest.mark.usefixtures("ionic_course")
def test_animals_whose_medicine_was_not_read_as_gone_are_named() -> None:
    """The stop takes no copper out of the water: until a reading says so, they are in it still."""
    put(care.CourseStop(course="b1-copper", system="lazaret"), at(24, 9))
    question = doubts_of("course", PLAN)["batch"]
    assert "not read as gone since the course was stopped" in question


def test_a_course_begins_and_ends() -> None:
    """The day it began and the day it ended shape its state."""
    write_form("course", desk(), PLAN)
    write_form("course-start", desk(), {"course": "B1 copper", "moment": "2026-11-25T08:00"})
    course = load_household().courses["b1-copper"]
    assert (course.standing, course.started) == ("open", at(25, 8))
    assert "began on 25 November" in problems_of("course-start", {"course": "b1-copper"})["course"]


def test_a_course_not_begun_cannot_end() -> None:
    """Its beginning comes first."""
    write_form("course", desk(), PLAN)
    assert "has not begun" in problems_of("course-stop", {"course": "b1-copper"})["course"]


@pytest.mark.usefixtures("ionic_course")
def test_a_course_that_ends_early_is_asked_about() -> None:
    """12 of 30 days: it may be broken off, and that is asked once."""
    answers = {"course": "b1-copper", "moment": "2026-11-01T09:00"}
    question = doubts_of("course-stop", answers)["course"]
    assert question == "12 days have passed of the 30 days that B1 copper needs. Does it end all the same?"
    write_form("course-stop", desk(question), answers)
    assert load_household().courses["b1-copper"].standing == "finished"


@pytest.mark.usefixtures("ionic_course")
def test_a_course_that_was_not_surely_held_is_asked_about_at_its_end() -> None:
    """Long enough by the calendar, and read once at 0.10: the thirty days were not held, and that is asked once."""
    for day in (23, 24):
        put(water.Reading(system="lazaret", constituent="copper", value=0.10, method="copper_photometer"), at(day, 9))
    answers = {"course": "b1-copper", "moment": "2026-11-25T09:30"}
    question = doubts_of("course-stop", answers)["course"]
    assert "were held with a chance of under 1\u202f%. Does it end all the same?" in question
    write_form("course-stop", desk(question), answers)
    assert load_household().courses["b1-copper"].standing == "finished"


def test_a_course_nobody_read_is_asked_about_at_its_end() -> None:
    """Thirty days by the calendar and no reading in them: whether they were held is not known, which is not "yes"."""
    plan = care.Course(
        key="unread",
        name="Unread",
        system="lazaret",
        substance="copper_chelated",
        target_lower=1.5,
        target_upper=2.0,
        hard_upper=2.5,
        required_days=14,
    )
    put(care.CourseStop(course="b1-copper", system="lazaret"), at(1))
    put(plan, at(2))
    put(care.CourseStart(course="unread", system="lazaret"), at(2, 9))
    answers = {"course": "unread", "moment": "2026-11-25T09:30"}
    question = doubts_of("course-stop", answers)["course"]
    assert "does not tell whether these were held. Does it end all the same?" in question
    write_form("course-stop", desk(question), answers)
    assert load_household().courses["unread"].standing == "finished"


def test_a_course_of_another_medicine_ends_without_a_question_about_days_held() -> None:
    """Only copper is reckoned, so nothing is asked of what cannot be known."""
    plan = care.Course(
        key="worms",
        name="Worms",
        system="haven",
        substance="praziquantel",
        target_lower=2.0,
        target_upper=2.5,
        hard_upper=3.0,
        required_days=7,
    )
    put(plan, at(2))
    put(care.CourseStart(course="worms", system="haven"), at(2, 9))
    write_form("course-stop", desk(), {"course": "worms", "moment": "2026-11-25T09:30"})
    assert load_household().courses["worms"].standing == "finished"


def test_a_course_that_began_among_shrimps_is_written_and_asked_about_urgently() -> None:
    """It has happened: recording is never refused."""
    put(
        care.Course(
            key="rash",
            name="Rash",
            system="skerry",
            substance="copper_ionic",
            target_lower=0.15,
            target_upper=0.2,
            hard_upper=0.25,
            required_days=30,
        ),
        at(24),
    )
    question = doubts_of("course-start", {"course": "rash"})["course"]
    assert question.startswith("Urgent: copper kills invertebrates")
    assert write_form("course-start", desk(question), {"course": "rash"})[0].kind == "course-start"
