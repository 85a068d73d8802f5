"""The earliest day on which a gate can open: plain counting of days, recomputed by hand beside each case."""

import pytest

from pratique.knowledge import figure, protocol
from pratique.science.passage.calendar_ahead import Ahead, ahead, all_ahead, least_days
from pratique.science.passage.clear import ClearChance
from pratique.science.passage.gates import AtTarget, Criterion, PassageFacts, Reached, gate, judge

FREE = Criterion("free_of_white_spot", "No living white spot", 0.95, "probability")
EATING = Criterion("days_eating", "Eats surely since", 7, "days")


def clear(probability: float, *, days: float | None = None) -> ClearChance:
    """A chance of being free, and when it is enough."""
    return ClearChance(
        probability=probability,
        low=0.2,
        high=0.99,
        unlooked=probability,
        carried_in=0.9,
        if_carried=0.5,
        reached_in_days=days,
    )


def when(criterion: Criterion, facts: PassageFacts) -> Ahead:
    """Return when a criterion can be met."""
    return ahead(criterion, judge(criterion, facts), facts)


@pytest.mark.parametrize(("eaten", "days"), [(8.0, 0.0), (2.5, 4.5), (0.0, 7.0), (None, 7.0)])
def test_days_that_run_on_are_those_still_wanting(eaten, days):
    """Seven days of eating asked: what has been eaten counts, and what nobody saw begins today."""
    assert when(EATING, PassageFacts(days_eating=eaten)).days == days


def test_days_at_target_count_on_only_while_the_course_is_held():
    """Thirty asked, twelve stand at its end: eighteen more. Over, none can be told."""
    criterion, reached = Criterion("days_at_target", "Days at target", 30, "days"), {30.0: Reached(0.0)}
    assert when(criterion, PassageFacts(at_target=AtTarget(15.0, reached, 12.0))).days == 18.0
    assert when(criterion, PassageFacts(at_target=AtTarget(15.0, reached))).days is None
    assert when(criterion, PassageFacts()).days is None


def test_a_body_that_thins_waits_for_another_picture():
    """The day of the picture, and what it must say."""
    found = when(Criterion("condition_holding", "Holds", 0.75, ""), PassageFacts(condition_probability_falling=0.99))
    assert found.days == figure("clearance.pictures_apart_days").value
    assert "next picture" in found.words


def test_a_parasite_no_treatment_reaches_has_no_day():
    """What is said instead of a day names what would help."""
    found = when(FREE, PassageFacts(clear={"white_spot": clear(0.4)}))
    assert found.days is None
    assert "treatment" in found.words
    assert when(FREE, PassageFacts(clear={"white_spot": clear(0.4, days=11.0)})).days == 11.0


def test_a_gate_opens_with_the_last_of_what_it_asks():
    """Three days and five days: five. One without a day: none."""
    assert all_ahead([Ahead(3.0), Ahead(5.0, "so")]) == Ahead(5.0, "so")
    assert all_ahead([Ahead(3.0), Ahead(None, "not known")]) == Ahead(None, "not known")
    assert all_ahead([]).days == 0.0


def test_a_leg_takes_the_days_its_gate_asks_for():
    """The watch in clean water of the shipped 14-day protocol: its gate asks for fourteen days."""
    leg = next(one for one in protocol("copper_ionic_14_move").legs if one.key == "recover")
    assert least_days(leg) >= 14.0


@pytest.mark.parametrize(("probability", "status"), [(0.95, "met"), (0.949, "not met"), (0.1, "not met")])
def test_free_of_a_parasite_is_met_by_a_figure(probability, status):
    """0.95 counts as met: our own figure, a guess. 94.9 % reads as 94."""
    assert figure("gate.clear_probability").value == 0.95
    found = judge(FREE, PassageFacts(clear={"white_spot": clear(probability)}))
    assert found.status == status
    assert "95\u202f% needed" in found.words
    assert probability != 0.949 or "94\u202f% likely" in found.words


def test_a_parasite_nobody_followed_is_not_known():
    """Never met for want of evidence; it says how to make it known."""
    found = judge(FREE, PassageFacts())
    assert found.status == "not known"
    assert found.how_to_know
    assert not gate([FREE], PassageFacts()).is_open


def test_words_open_a_gate_only_for_what_they_were_written_about():
    """The finding stays what it is; another criterion keeps the gate shut."""
    facts = PassageFacts(days_eating=1.0)
    assert gate([EATING], facts, overridden={"days_eating"}).is_open
    both = gate([EATING, FREE], facts, overridden={"days_eating"})
    assert not both.is_open
    assert both.findings[0].status == "not met"
    assert both.overridden == {"days_eating"}


def test_what_is_met_needs_no_words():
    """An override of a criterion that is met by now is no longer one."""
    assert gate([EATING], PassageFacts(days_eating=9.0), overridden={"days_eating"}).overridden == frozenset()
