"""Gates between the legs of a passage."""

import pytest

from pratique.knowledge import figure, protocol, protocol_or_unknown, protocols
from pratique.science.passage.gates import AtTarget, Criterion, PassageFacts, Reached, criteria_of, gate, judge

AT_TARGET = Criterion("days_at_target", "Days at target", 30, "days")


def held(days: float, probability: float, *, error: float = 0.0, required: float = 30) -> AtTarget:
    """An animal held for some days with 95 %, and for those required with a probability."""
    return AtTarget(days, {required: Reached(probability, error)})


def test_days_surely_held_are_met_with_the_number_the_chance_and_the_entries():
    """Thirty of thirty, how sure that is, and what lies behind it."""
    facts = PassageFacts(at_target=held(30.4, 0.97), entries={"at_target": ("dose 1", "reading 9")})
    found = judge(AT_TARGET, facts)
    assert (found.status, found.value, found.entries) == ("met", 30.4, ("dose 1", "reading 9"))
    assert found.words == ("Days at target: 30\u202fdays with 95\u202f%; 30 reached with 97\u202f%, 95\u202f% needed.")


@pytest.mark.parametrize(
    ("probability", "status"), [(0.95, "met"), (0.949, "not met"), (0.5, "not met"), (0, "not met")]
)
def test_a_gate_opens_only_on_days_that_were_surely_held(probability, status):
    """Probably is not enough: a probability of 0.95 counts as met (our own figure, a guess)."""
    assert figure("gate.held_probability").value == 0.95
    assert judge(AT_TARGET, PassageFacts(at_target=held(29, probability))).status == status


def test_what_the_drawing_adds_is_said_beside_the_chance():
    """A standard error of 1.1 % is 2 points at 95 %; none worth saying is not said."""
    assert "82\u202f% ± 2 (drawn)" in judge(AT_TARGET, PassageFacts(at_target=held(20, 0.82, error=0.011))).words
    assert "drawn" not in judge(AT_TARGET, PassageFacts(at_target=held(20, 0.82, error=0.0001))).words


def test_nearly_enough_is_not_shown_as_enough():
    """29.9 days read as 29, and a probability is never shown as certainty."""
    words = judge(AT_TARGET, PassageFacts(at_target=held(29.9, 1.0))).words
    assert "29\u202fdays" in words
    assert "over 99\u202f%" in words


def test_a_probability_just_short_is_not_shown_as_enough():
    """94.9 % reads as 94."""
    assert "reached with 94\u202f%" in judge(AT_TARGET, PassageFacts(at_target=held(29, 0.949))).words


def test_days_nobody_asked_of_the_reckoning_are_not_known():
    """A protocol changed since: what was reckoned for 14 days does not answer for 30."""
    assert judge(AT_TARGET, PassageFacts(at_target=held(20, 1.0, required=14))).status == "not known"


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
    assert gate(criteria, PassageFacts(at_target=held(31, 0.99), days_eating=8)).is_open
    assert not gate(criteria, PassageFacts(at_target=held(31, 0.99), days_eating=2)).is_open
    assert not gate(criteria, PassageFacts(at_target=held(31, 0.99))).is_open


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
    found = gate(criteria_of(leg), PassageFacts(at_target=held(99, 1.0)))
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
