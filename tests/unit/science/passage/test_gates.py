"""Gates between the legs of a passage."""

import pytest

from pratique.knowledge import figure, protocol, protocol_or_unknown, protocols
from pratique.science.passage.gates import Criterion, PassageFacts, criteria_of, gate, judge

AT_TARGET = Criterion("days_at_target", "Days at target", 30, "days")


def test_enough_days_are_met_with_the_number_and_the_entries():
    """Thirty of thirty, and what lies behind it."""
    facts = PassageFacts(days_at_target=30, entries={"days_at_target": ("dose 1", "reading 9")})
    found = judge(AT_TARGET, facts)
    assert (found.status, found.value, found.entries) == ("met", 30, ("dose 1", "reading 9"))
    assert "30\u202fdays, 30 needed" in found.words


def test_nearly_enough_is_not_met_and_not_shown_as_enough():
    """29.9 days read as 29."""
    found = judge(AT_TARGET, PassageFacts(days_at_target=29.9))
    assert found.status == "not met"
    assert "29\u202fdays, 30 needed" in found.words


def test_what_is_not_known_says_how_to_know_it():
    """Not known is neither met nor failed."""
    found = judge(AT_TARGET, PassageFacts())
    assert (found.status, found.value) == ("not known", None)
    assert "reading every day" in found.how_to_know


@pytest.mark.parametrize(
    ("state", "status"),
    [("normal", "met"), ("raised", "not met"), ("distress", "not met"), ("unknown", "not known"), (None, "not known")],
)
def test_breathing_is_judged_by_its_state(state, status):
    """Unknown breathing keeps a gate shut."""
    criterion = Criterion("breathing_normal", "Breathes as at rest", 1, "yes")
    assert judge(criterion, PassageFacts(breathing_state=state)).status == status


@pytest.mark.parametrize(("value", "status"), [(True, "met"), (False, "not met"), (None, "not known")])
def test_the_clean_move_is_done_or_not(value, status):
    """Into a tank that never held the parasite."""
    criterion = Criterion("clean_move", "Moved to a clean tank", 1, "yes")
    assert judge(criterion, PassageFacts(in_clean_tank=value)).status == status


@pytest.mark.parametrize(
    ("probability", "status", "shown"),
    [
        (0.30, "met", "30\u202f%"),
        (0.97, "not met", "97\u202f%"),
        (0.9999, "not met", "over 99\u202f%"),
        (0.0001, "met", "under 1\u202f%"),
        (None, "not known", "not known"),
    ],
)
def test_a_body_that_surely_falls_does_not_hold(probability, status, shown):
    """From the required probability on, and never shown as a false certainty."""
    criterion = Criterion("condition_holding", "Body holds its shape", 0.75, "probability")
    found = judge(criterion, PassageFacts(condition_probability_falling=probability))
    assert found.status == status
    assert shown in found.words


def test_a_body_that_probably_falls_does_not_hold():
    """A gate asks for less doubt than an alarm: 94 % likely to grow thin is no alarm yet, and no sound body either."""
    asked = [
        criterion
        for shipped in protocols()
        for leg in shipped.legs
        for criterion in criteria_of(leg)
        if criterion.key == "condition_holding"
    ]
    assert asked
    for criterion in asked:
        assert criterion.required < figure("condition.fall_probability").value
        assert judge(criterion, PassageFacts(condition_probability_falling=0.94)).status == "not met"
        assert judge(criterion, PassageFacts(condition_probability_falling=0.50)).status == "met"


def test_a_gate_opens_only_when_all_stands():
    """One not met or not known keeps it shut."""
    criteria = (AT_TARGET, Criterion("days_eating", "Eats surely since", 7, "days"))
    assert gate(criteria, PassageFacts(days_at_target=30, days_eating=8)).is_open
    assert not gate(criteria, PassageFacts(days_at_target=30, days_eating=2)).is_open
    assert not gate(criteria, PassageFacts(days_at_target=30)).is_open


def test_every_criterion_of_every_shipped_protocol_can_be_judged():
    """No protocol asks what no fact answers, and each tells how to make it known."""
    for shipped in protocols():
        for leg in shipped.legs:
            for finding in gate(criteria_of(leg), PassageFacts()).findings:
                assert finding.status == "not known"
                assert finding.how_to_know


def test_a_protocol_of_a_newer_version_keeps_its_gate_shut():
    """What it asks for is not known here, so nothing can meet it."""
    (leg,) = protocol_or_unknown("of_tomorrow").legs
    found = gate(criteria_of(leg), PassageFacts(days_at_target=99))
    assert not found.is_open
    assert found.findings[0].how_to_know


def test_a_key_without_a_fact_is_refused():
    """A misspelt criterion must not pass silently."""
    with pytest.raises(ValueError, match="No fact answers"):
        judge(Criterion("days_of_luck", "Luck", 3, "days"), PassageFacts())


def test_days_in_the_box_and_without_chasing_open_the_display():
    """The gate at the end of the introduction."""
    leg = next(leg for leg in protocol("copper_ionic_30").legs if leg.key == "introduce")
    calm = PassageFacts(days_in_box=3, days_without_chasing=1, days_eating=2)
    assert gate(criteria_of(leg), calm).is_open
    assert not gate(criteria_of(leg), PassageFacts(days_in_box=1, days_without_chasing=1, days_eating=2)).is_open
