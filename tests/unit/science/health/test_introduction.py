"""Whom a newcomer has to fear, and how it is let in.

Directions: Poulos & McCormick 2014 (order of entry), McCormick & Weaver 2012 (size, similar need), Buston 2003
(anemonefishes), custom of the trade. The sizes of the odds are guesses and are not tested.
"""

from dataclasses import replace

import pytest

from pratique.science.health.introduction import Fish, Resident, plan_of

FLAME = Fish("the newcomer", "flame_angelfish", "Centropyge", "Pomacanthidae", 7.0)
CORAL_BEAUTY = Fish("the coral beauty", "coral_beauty", "Centropyge", "Pomacanthidae", 8.0)
GRAMMA = Fish("the gramma", "royal_gramma", "Gramma", "Grammatidae", 7.0)
WRASSE = Fish("the wrasse", "fairy_wrasse", "Cirrhilabrus", "Labridae", 8.0)


def risk(newcomer: Fish, resident: Fish, *, days: float = 100.0, in_view: float = 0.0, tank_l: float | None = 500.0):
    """What one resident of 100 days in 500 L is to be feared for, unless said."""
    return plan_of(newcomer, [Resident(resident, days, in_view)], tank_l=tank_l).risks[0]


def test_the_nearest_of_kind_is_feared_most():
    """Same species before same genus before same family before a stranger."""
    same = replace(CORAL_BEAUTY, species=FLAME.species)
    family = replace(CORAL_BEAUTY, genus="Genicanthus", species="bellus")
    chances = [risk(FLAME, one).chance for one in (same, CORAL_BEAUTY, family, GRAMMA)]
    assert chances == sorted(chances, reverse=True)
    assert len(set(chances)) == 4


def test_an_early_resident_is_feared_more_than_one_that_came_along():
    """Where it holds a territory; a placid one is not feared for its days."""
    assert risk(FLAME, CORAL_BEAUTY, days=100.0).chance > risk(FLAME, CORAL_BEAUTY, days=0.0).chance
    assert risk(FLAME, GRAMMA, days=100.0).chance == risk(FLAME, GRAMMA, days=0.0).chance


def test_equal_size_is_worse_than_a_newcomer_clearly_larger():
    """A quarter longer than the resident, as neighbouring ranks are apart (Buston & Cant 2006, recalled)."""
    larger = replace(FLAME, length_cm=10.1)
    assert risk(larger, CORAL_BEAUTY).chance < risk(FLAME, CORAL_BEAUTY).chance


def test_days_in_view_help_from_the_third_on():
    """A box hung inside the display counts; two days do not."""
    assert risk(FLAME, CORAL_BEAUTY, in_view=5.0).chance < risk(FLAME, CORAL_BEAUTY).chance
    assert risk(FLAME, CORAL_BEAUTY, in_view=2.0).chance == risk(FLAME, CORAL_BEAUTY).chance


@pytest.mark.parametrize(("tank_l", "is_told"), [(300.0, True), (None, True), (500.0, False)])
def test_two_pygmy_angelfishes_are_advised_against_in_less_than_400_litres(tank_l, is_told):
    """And where nobody knows how much the tank holds."""
    assert (risk(FLAME, CORAL_BEAUTY, tank_l=tank_l).never is not None) == is_told


def test_anemonefishes_of_one_species_are_not_advised_against_but_of_two_are():
    """A pair is of one species."""
    clown = Fish("the clown", "ocellaris", "Amphiprion", "Pomacentridae", 6.0)
    maroon = Fish("the maroon", "maroon", "Premnas", "Pomacentridae", 12.0)
    assert risk(clown, clown).never is None
    assert risk(clown, maroon).never is not None


def test_the_box_is_longer_the_more_is_feared():
    """Three days among strangers, more for a rival; and the rock is moved for a rival only."""
    calm = plan_of(FLAME, [Resident(GRAMMA, 100.0)], tank_l=500.0)
    rival = plan_of(FLAME, [Resident(GRAMMA, 100.0), Resident(CORAL_BEAUTY, 100.0)], tank_l=500.0)
    assert calm.box.days < rival.box.days <= 7.0
    assert rival.risks[0].resident == CORAL_BEAUTY
    assert len(rival.steps) > len(calm.steps)


def test_an_empty_tank_has_nobody_to_fear():
    """Still the steps and what to watch are told."""
    plan = plan_of(WRASSE, [], tank_l=None)
    assert plan.risks == ()
    assert plan.steps
    assert plan.watch


def test_a_length_nobody_measured_is_named_and_taken_from_the_species():
    """The middle of its adult range."""
    unmeasured = replace(CORAL_BEAUTY, length_cm=None, adult_length_cm=(7.0, 10.0))
    found = risk(FLAME, unmeasured)
    assert found.not_known == ("the length of the coral beauty",)
    assert "about the same length" in [reason.words for reason in found.reasons]
    bare = risk(FLAME, replace(unmeasured, adult_length_cm=None))
    assert "about the same length" not in [reason.words for reason in bare.reasons]
