"""Passages that went another way than the plan: said, explained, and counted on the cautious side."""

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.facts import Facts
from pratique.casework.gates import gate_of
from pratique.casework.health import health_of
from pratique.casework.passages import passage_sheet
from pratique.casework.rounds import rounds
from pratique.casework.sheets import AnimalGate
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, care, gates, places, water

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Keeper:
    """Lazaret and Haven, and batch B with a chromis in Lazaret since day 0; nobody was there before."""
    keeper = Keeper()
    for key, role in (("lazaret", "quarantine"), ("haven", "recovery"), ("skerry", "display")):
        system = places.System(key=key, name=key.title(), role=role, gross_volume_l=110, net_volume_l=100)
        keeper.write(-20, system)
    keeper.write(-20, places.Compartment(key="creel", name="Creel", system="skerry", form="box"))
    keeper.write(-1, animals.Batch(key="b", name="B", protocol="copper_ionic_14_move"))
    arrive(keeper, 0, "chromis")
    return keeper


def arrive(keeper: Keeper, day: float, key: str, *, system: str = "lazaret", batch: str = "b") -> None:
    """Let one animal arrive."""
    arrival = animals.Arrival(key=key, name=key.title(), species="blue_green_chromis", system=system, batch=batch)
    keeper.write(day, arrival)


def younger(keeper: Keeper, day: float, *, system: str = "lazaret") -> None:
    """Let batch C arrive."""
    keeper.write(day - 0.1, animals.Batch(key="c", name="C", protocol="observation"))
    arrive(keeper, day, "grunt", system=system, batch="c")


def troubles(day: float, batch: str = "b") -> str:
    """Return what the passage's page says went another way."""
    found = passage_sheet(load_household(), batch, now=at(day)).troubles
    return " ".join(f"{one.words} {one.follows}" for one in found)


def gate_on(day: float, key: str = "chromis") -> AnimalGate:
    """Return an animal's gate on the page."""
    sheet = passage_sheet(load_household(), "b", now=at(day))
    return next(each for leg in sheet.legs for each in leg.gates if each.about.key == key)


def chance(day: float, parasite: str = "white_spot") -> float:
    """Return how likely the chromis is free, at the gate it is on."""
    household = load_household()
    facts = Facts(household, at(day))
    found = gate_of(facts, household.batches["b"], household.animals["chromis"], health_of(facts))
    return found.cleared.chances[parasite].probability


def recovering(keeper: Keeper, day: float) -> None:
    """Let the batch be on its way in clean water, where the disease is asked for."""
    keeper.write(day, animals.Leg(batch="b", leg="recover", words="For the test."))
    keeper.write(day, animals.Move(animals=("chromis",), system="haven"))


def test_a_passage_as_planned_has_nothing_to_tell(keeper):
    """No line of what went another way."""
    assert troubles(3) == ""


def test_the_younger_batch_resets_the_older_ones_disease_clock_and_says_so(keeper):
    """C comes into B's water on day 9: both pages and the rounds say from when on the clock counts."""
    younger(keeper, 9)
    said = troubles(10)
    assert "in one water with C in Lazaret" in said
    assert "the disease clock of all of them counts from 10 March" in said
    found = next(one for one in rounds(load_household(), now=at(10)).concerns if one.key == "mixed.b.lazaret")
    assert found.title == "B came together with C"
    assert found.evidence
    assert troubles(10, "c") == ""


def test_mixing_makes_it_less_likely_to_be_free(keeper):
    """The same animal after the same days, with and without company that came late."""
    recovering(keeper, 8)
    alone = chance(12)
    younger(keeper, 11, system="haven")
    assert chance(12) < alone


def test_water_another_batch_left_behind_is_company_until_it_is_emptied(keeper):
    """C was in Haven and left it; nobody emptied it before B came. Emptied in between, it is clean."""
    younger(keeper, 2, system="haven")
    keeper.write(5, animals.Move(animals=("grunt",), system="lazaret"))
    recovering(keeper, 8)
    assert "came into Haven" in troubles(9)
    assert "nobody had emptied it since" in troubles(9)
    keeper.write(6, water.WaterChange(system="haven", emptied=True))
    assert "came into Haven" not in troubles(9)


def test_an_animal_moved_outside_its_passage_is_named(keeper):
    """Into the box while its batch has only arrived: judged there, and its water is the display's since."""
    keeper.write(3, animals.Move(animals=("chromis",), system="skerry", compartment="creel"))
    said = troubles(4)
    assert "Chromis is in Creel in Skerry since" in said
    assert "outside the leg its batch is on" in said
    assert "with all that live in it" in said
    assert any(line.title.startswith("No living white spot") for line in gate_on(4).criteria)


def test_a_course_stopped_early_says_by_how_much(keeper):
    """Three of fourteen days: what it held stays credited, and what can be done is said."""
    course = care.Course(
        key="copper",
        name="Copper",
        system="lazaret",
        substance="copper_ionic",
        target_lower=0.15,
        target_upper=0.20,
        hard_upper=0.25,
        required_days=14,
        batch="b",
    )
    keeper.write(1, course)
    keeper.write(1.1, care.CourseStart(course="copper", system="lazaret"))
    keeper.write(4.5, care.CourseStop(course="copper", system="lazaret"))
    said = troubles(5)
    assert "after 3 days of the 14 days it needs" in said
    assert "begins its days anew" in said


def test_a_death_closes_its_gate_and_stays_in_the_count(keeper):
    """The page says what the death means for the others; the dead one has no gate."""
    arrive(keeper, 0.01, "goby")
    keeper.write(5, animals.Death(animal="goby"))
    assert "Goby died" in troubles(6)
    assert "may be in the water with the others" in troubles(6)
    sheet = passage_sheet(load_household(), "b", now=at(6))
    assert [one.about.key for leg in sheet.legs for one in leg.gates] == ["chromis"]


def test_a_missing_animal_still_counts_as_company(keeper):
    """Nobody knows where it is."""
    arrive(keeper, 0.01, "goby")
    keeper.write(5, animals.Loss(animal="goby"))
    assert "has not been found since" in troubles(6)


def test_an_override_counts_for_its_criterion_alone_and_keeps_its_words(keeper):
    """The line stays not met, says who let it count and why, and the others keep the gate shut."""
    shown = gates.ShownCriterion(key="days_eating", title="Eats surely since", status="not known", words="Not known.")
    words = "It was seen eating at the shop every day."
    before = gate_on(2)
    assert [one.override_step is not None for one in before.criteria] == [True, True]
    keeper.write(2, gates.Override(animal="chromis", batch="b", leg="receive", shown=shown, words=words))
    after = gate_on(2.1)
    line = next(one for one in after.criteria if one.title == "Eats surely since")
    assert line.status == "not known"
    assert words in line.override
    assert line.override_step is None
    assert not after.is_open


def test_an_override_of_another_leg_does_not_count(keeper):
    """What was let count on arrival says nothing of eating after recovery."""
    shown = gates.ShownCriterion(key="days_eating", title="Eats surely since", status="not known", words="Not known.")
    keeper.write(2, gates.Override(animal="chromis", batch="b", leg="receive", shown=shown, words="Seen at the shop."))
    recovering(keeper, 3)
    assert all(not line.override for line in gate_on(4).criteria)


def test_a_dip_shows_at_the_disease_gate(keeper):
    """Two weeks of copper with two days of clean water in them: what that did is said in numbers."""
    course = care.Course(
        key="copper",
        name="Copper",
        system="lazaret",
        substance="copper_ionic",
        target_lower=0.15,
        target_upper=0.20,
        hard_upper=0.25,
        required_days=14,
        batch="b",
    )
    keeper.write(0.9, course)
    keeper.write(1, care.CourseStart(course="copper", system="lazaret"))
    keeper.read(1.01, "copper", 0.0, "copper_photometer")
    keeper.dose(1.02, 20.0)
    for day in range(2, 18):
        keeper.read(day, "copper", 0.05 if 8 <= day < 10 else 0.20, "copper_photometer")
        if day == 7:
            keeper.write(7.5, water.WaterChange(system="lazaret", volume_l=75))
        if day == 9:
            keeper.dose(9.5, 15.0)
    keeper.write(18, care.CourseStop(course="copper", system="lazaret"))
    recovering(keeper, 18.1)
    line = next(one for one in gate_on(20).criteria if "white spot" in one.title)
    assert any(one.startswith("What the dip of Copper did:") for one in line.details)


def test_every_disease_line_shows_its_guesses_with_their_effect(keeper):
    """How sure it came along, what that would do, and what moves the number most; the figure is a guess."""
    recovering(keeper, 8)
    lines = [one for one in gate_on(9).criteria if one.title.startswith("No living")]
    assert len(lines) == 3
    for line in lines:
        assert line.reason.status == "guess"
        assert any("came along" in one and "the chance of being free would be" in one for one in line.details)
        assert any("guesses" in one for one in line.details)
        assert line.earliest


def test_an_animal_that_came_long_ago_is_not_followed_any_more(keeper):
    """Half a year later nothing of its arrival can be reckoned: not known, never met."""
    recovering(keeper, 8)
    lines = [one for one in gate_on(200).criteria if one.title.startswith("No living")]
    assert {one.status for one in lines} == {"not known"}
