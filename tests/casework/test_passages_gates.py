"""What stands at the gates: credited only to the animal that lived it, and only as far as it is known."""

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.clearance import cleared
from pratique.casework.copper import course_copper
from pratique.casework.courses import course_sheet
from pratique.casework.facts import Facts
from pratique.casework.health import health_of
from pratique.casework.passage_facts import facts_for_gate
from pratique.casework.passages import passage_sheet
from pratique.casework.sheets import CriterionLine
from pratique.knowledge import figure
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, care, places
from pratique.science.passage.gates import PassageFacts

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret and Haven, and batch B with a chromis in Lazaret since day -2."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.write(-20, places.System(key="haven", name="Haven", role="recovery", gross_volume_l=110, net_volume_l=100))
    keeper.write(-2, animals.Batch(key="b", name="B", protocol="copper_ionic_14_move"))
    arrive(keeper, -2, "chromis")
    return keeper


def arrive(keeper: Keeper, day: float, key: str) -> None:
    """Let one animal of the batch arrive in Lazaret."""
    keeper.write(
        day, animals.Arrival(key=key, name=key.title(), species="blue_green_chromis", system="lazaret", batch="b")
    )


def course(keeper: Keeper, *, substance: str = "copper_ionic") -> None:
    """Plan and begin the batch's course in Lazaret on day 0."""
    keeper.write(
        -0.1,
        care.Course(
            key="copper",
            name="Copper",
            system="lazaret",
            substance=substance,
            target_lower=0.15,
            target_upper=0.20,
            hard_upper=0.25,
            required_days=14,
            batch="b",
        ),
    )
    keeper.write(0, care.CourseStart(course="copper", system="lazaret"))


def hold(keeper: Keeper, *, until: int) -> None:
    """Read the water as free of copper, dose to 0.20 mg/L and read it every noon."""
    keeper.read(0.05, "copper", 0.0, "copper_photometer")
    keeper.dose(0.1, 16.0)
    for day in range(1, until + 1):
        keeper.read(day, "copper", 0.20, "copper_photometer")


def known(day: float, key: str = "chromis") -> PassageFacts:
    """Return what is known of an animal for its gate."""
    household = load_household()
    facts = Facts(household, at(day))
    return facts_for_gate(facts, household.batches["b"], household.animals[key], health_of(facts).get(key))


def days_held(day: float, key: str = "chromis") -> int:
    """Return the whole days an animal was held at target with 95 %."""
    found = known(day, key).at_target
    assert found is not None
    return int(found.days)


def gate_lines(day: float) -> list[CriterionLine]:
    """Return the lines of the chromis' gate."""
    sheet = passage_sheet(load_household(), "b", now=at(day))
    return [line for leg in sheet.legs for each in leg.gates for line in each.criteria]


def see(keeper: Keeper, day: float, **seen: object) -> None:
    """Write an observation of the chromis."""
    keeper.write(day, animals.Observation(animal="chromis", **seen))


def test_days_at_target_are_the_animals_own(keeper):
    """One that came on day 13 of the course has held the copper for three days on day 16, not for fifteen."""
    course(keeper)
    hold(keeper, until=16)
    arrive(keeper, 13, "goby")
    assert days_held(16.2) == 16
    assert days_held(16.2, "goby") == 3


def test_an_animal_that_left_early_keeps_only_what_it_had(keeper):
    """Ten days in the medicine, then Haven; the others' course goes on without it."""
    course(keeper)
    hold(keeper, until=16)
    keeper.write(10.2, animals.Move(animals=("chromis",), system="haven"))
    assert days_held(16.2) == 10


def test_an_animal_that_was_out_for_a_day_begins_anew(keeper):
    """A day in clean water is a dip for the one that was there."""
    course(keeper)
    hold(keeper, until=16)
    keeper.write(10, animals.Move(animals=("chromis",), system="haven"))
    keeper.write(11, animals.Move(animals=("chromis",), system="lazaret"))
    assert days_held(16.2) == 5


def test_a_box_in_the_same_water_breaks_nothing(keeper):
    """It is the same copper on both sides of the wall."""
    keeper.write(-20, places.Compartment(key="pen", name="Pen", system="lazaret", form="box"))
    course(keeper)
    hold(keeper, until=16)
    keeper.write(10, animals.Move(animals=("chromis",), system="lazaret", compartment="pen"))
    assert days_held(16.2) == 16


def test_credit_ends_where_the_readings_end(keeper):
    """Read on day 1, then never: a day and a half later nobody knows. A reading speaks for 36 hours, no source."""
    course(keeper)
    hold(keeper, until=1)
    assert days_held(20) == 2


def test_days_not_surely_held_open_no_gate(keeper):
    """Sixteen days read at 0.16, a hair over the band: some of those days were likely under it, and nobody knows."""
    keeper.write(-0.2, animals.Leg(batch="b", leg="treat"))
    course(keeper)
    keeper.read(0.05, "copper", 0.0, "copper_photometer")
    keeper.dose(0.1, 12.8)
    for day in range(1, 17):
        keeper.read(day, "copper", 0.16, "copper_photometer")
        keeper.dose(day + 0.01, 0.4)
    found = known(16.2).at_target
    assert found is not None
    assert 0.0 < found.reached[14].probability < figure("gate.held_probability").value
    line = next(line for line in gate_lines(16.2) if line.title == "Days at target without a dip")
    assert line.status == "not met"
    assert "95\u202f% needed" in line.words


def test_days_surely_held_open_it(keeper):
    """Sixteen days read at 0.20: fourteen of them were held, and the line says with which chance."""
    keeper.write(-0.2, animals.Leg(batch="b", leg="treat"))
    course(keeper)
    hold(keeper, until=16)
    line = next(line for line in gate_lines(16.2) if line.title == "Days at target without a dip")
    assert line.status == "met"
    assert "14 reached with over 99\u202f%" in line.words
    assert "guess" in line.reason.words


def test_days_told_by_readings_that_contradict_each_other_open_no_gate(keeper):
    """Read at 0.3, 3 and 20 in turn with nothing dosed: all above the band, yet hardly any course of a level fits."""
    keeper.write(-0.2, animals.Leg(batch="b", leg="treat"))
    course(keeper)
    keeper.read(0.05, "copper", 0.3, "copper_photometer")
    for day in range(1, 17):
        keeper.read(day, "copper", (0.3, 3.0, 20.0)[day % 3], "copper_photometer")
    held = course_copper(Facts(load_household(), at(16.2)), load_household().courses["copper"]).exposure
    assert held is not None
    assert held.held is not None
    assert held.held.value > figure("gate.held_probability").value
    assert held.effective_sample < figure("reckoning.least_effective_sample").value
    line = next(line for line in gate_lines(16.2) if line.title == "Days at target without a dip")
    assert line.status == "not known"
    sheet = course_sheet(load_household(), "copper", now=at(16.2))
    assert "no day is sure" in sheet.heading
    assert "look for a wrong reading" in sheet.gist
    assert "surely never" not in " ".join(sheet.said)
    assert sheet.days_credited == 0


def test_no_other_medicine_is_days_at_target(keeper):
    """Whatever copper was read meanwhile."""
    course(keeper, substance="praziquantel")
    hold(keeper, until=16)
    assert known(16.2).at_target is None


def test_days_without_medicine_count_from_when_it_is_gone(keeper):
    """Not known while the stopped course's water was not read; none while it was; then from the clear reading."""
    course(keeper)
    hold(keeper, until=14)
    keeper.write(14.1, care.CourseStop(course="copper", system="lazaret"))
    assert known(20).days_since_medicine is None
    keeper.read(21, "copper", 0.18, "copper_photometer")
    assert known(22).days_since_medicine == 0.0
    keeper.read(23, "copper", 0.0, "copper_photometer")
    assert known(30).days_since_medicine == pytest.approx(7.0)


def test_a_clean_tank_is_one_without_copper(keeper):
    """Haven dosed to 0.20 mg/L is not clean; read as gone it is again."""
    keeper.write(1, animals.Move(animals=("chromis",), system="haven"))
    assert known(2).in_clean_tank is True
    keeper.dose(3, 20.0, system="haven")
    assert known(4).in_clean_tank is False
    assert known(4).days_since_medicine == 0.0
    keeper.read(5, "copper", 0.02, "copper_photometer", system="haven")
    assert known(6).in_clean_tank is True
    keeper.read(7, "copper", 0.20, "copper_photometer", system="haven")
    assert known(8).in_clean_tank is False


def test_a_tank_whose_course_was_stopped_is_not_known_to_be_clean(keeper):
    """Not known without a reading, and the gate says how to know it."""
    keeper.write(1, animals.Move(animals=("chromis",), system="haven"))
    keeper.write(
        2,
        care.Course(
            key="old",
            name="Old copper",
            system="haven",
            substance="copper_ionic",
            target_lower=0.15,
            target_upper=0.20,
            hard_upper=0.25,
            required_days=14,
        ),
    )
    keeper.write(2.1, care.CourseStart(course="old", system="haven"))
    assert known(3).in_clean_tank is False
    keeper.write(16, care.CourseStop(course="old", system="haven"))
    assert known(17).in_clean_tank is None
    keeper.read(18, "copper", 0.0, "copper_photometer", system="haven")
    assert known(19).in_clean_tank is True
    assert known(200).in_clean_tank is True


def test_any_open_course_makes_a_tank_unclean(keeper):
    """Not only copper is medicine."""
    keeper.write(1, animals.Move(animals=("chromis",), system="haven"))
    keeper.write(
        2,
        care.Course(
            key="flukes",
            name="Against flukes",
            system="haven",
            substance="praziquantel",
            target_lower=2.0,
            target_upper=2.5,
            hard_upper=3.0,
            required_days=5,
        ),
    )
    keeper.write(2.1, care.CourseStart(course="flukes", system="haven"))
    assert known(3).in_clean_tank is False


def test_days_without_signs_need_looks(keeper):
    """Two counts of its breathing two weeks apart are no look at its skin."""
    for day in (0, 14):
        see(keeper, day, beats_per_min=80)
    assert known(14.1).days_without_signs is None


def test_days_without_signs_count_from_the_first_clean_look(keeper):
    """Seen scratching on day 0, clean every second day from day 2."""
    see(keeper, 0, signs=("scratching",))
    assert known(1).days_without_signs == 0.0
    for day in range(2, 17, 2):
        see(keeper, day, signs=("no signs",))
    assert known(16.5).days_without_signs == pytest.approx(14.0)


def test_an_old_look_says_nothing_of_today(keeper):
    """The last look two weeks ago, after two weeks of them."""
    for day in range(0, 15, 2):
        see(keeper, day, signs=("no signs",))
    assert known(14.5).days_without_signs == pytest.approx(14.0)
    assert known(28).days_without_signs is None


def test_a_gap_between_looks_begins_the_count_anew(keeper):
    """In ten days nobody looked a sign may have come and gone."""
    for day in (0, 2, 12, 14, 16):
        see(keeper, day, spots=0)
    assert known(16.5).days_without_signs == pytest.approx(4.0)


def test_darting_is_a_sign_at_the_gate_too(keeper):
    """The rounds act on it at once; the gate cannot call it quiet."""
    for day in range(0, 15, 2):
        see(keeper, day, signs=("no signs",))
    see(keeper, 14.2, signs=("darting",))
    assert known(14.5).days_without_signs == 0.0


def test_a_hesitant_animal_has_no_days_of_eating(keeper):
    """A good meal in every three for three weeks keeps the gate shut."""
    for day in range(21):
        keeper.write(day, animals.Feeding(system="lazaret", fed={"chromis": 0 if day % 3 else 4}))
    assert known(20.2).days_eating == 0.0


def test_a_protocol_that_is_not_known_keeps_its_gate_shut(keeper):
    """A ledger restored from a newer version may name one."""
    keeper.write(1, animals.Batch(key="new", name="New", protocol="of_tomorrow"))
    keeper.write(1, animals.Arrival(key="fish", name="Fish", species="royal_gramma", system="haven", batch="new"))
    sheet = passage_sheet(load_household(), "new", now=at(2))
    (line,) = [one for leg in sheet.legs for each in leg.gates for one in each.criteria]
    assert line.status == "not known"
    assert line.how_to_know


def test_in_the_cold_it_is_not_known_what_still_sleeps(keeper):
    """Read at 14 °C throughout: whether white spot and velvet are gone is told as not known, and why."""
    for day in range(-2, 12):
        keeper.read(day + 0.3, "temperature", 14.0, None)
    household = load_household()
    facts = Facts(household, at(12))
    found = cleared(facts, household.animals["chromis"], health_of(facts))
    assert set(found.chances) == {"flukes"}
    assert "may live on" in found.said[1]
