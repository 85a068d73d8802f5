"""The rounds on the demo household. What is true there is known: the simulator made it (see pratique.demo.truth)."""

from datetime import date, timedelta

import pytest
from tests.casework.conftest import NOW

from pratique.casework.copper import course_copper
from pratique.casework.facts import Facts
from pratique.casework.sheets import WEIGHT_ORDER
from pratique.demo.chance import SEED
from pratique.demo.story.feeding import meals
from pratique.demo.story.lazaret import COURSE_START, lazaret_trace
from pratique.ledger.queries import entries_by_id

pytestmark = pytest.mark.django_db

ARRIVED = date(2026, 2, 1)


def day(number: int) -> date:
    """Return the date of a day of B1's passage."""
    return ARRIVED + timedelta(days=number)


def test_the_wrasse_eats_yet_grows_thin(concern):
    """Flukes are the hidden truth: it feeds well and loses depth, and the rounds say so with both photos."""
    found = concern("condition.six-line-wrasse")
    assert found.title == "Six-line wrasse eats, yet grows thin"
    assert found.weight == "now"
    assert "0.31 to 0.27" in found.said[0]
    kinds = [one.kind for one in entries_by_id(one.entry for one in found.evidence).values()]
    assert len(kinds) >= 2
    assert set(kinds) == {"observation"}


def test_the_goby_refused_from_day_18_with_its_last_certain_meal_named(concern):
    """It ate less from day 16, refused from day 18, and is hesitant again since day 29."""
    found = concern("appetite.maiden-goby")
    assert found.since == day(18)
    words = " ".join(found.said)
    assert "(day 16)" in words
    assert "Refused food from" in words
    assert "(day 18)" in words
    assert "(day 29)" in words
    meal = next(one for one in found.evidence if one.words == "last certain meal before it refused")
    assert day(14) <= meal.happened_at.date() <= day(17)


def test_the_copper_dip_is_named_with_the_days_it_cost(concern):
    """A large change on day 11 without its make-up dose: the clock restarted, and the days before are lost."""
    found = concern("copper-dip.b1-copper")
    assert found.since == day(11)
    words = " ".join(found.said)
    assert "days 10 to 11 of the course: under" in words
    assert "passage" not in words
    assert "6 days before the dip are lost" in words
    assert any("no make-up dose" in one.words for one in found.just_before)
    assert {"water-change", "reading"} & {
        one.kind for one in entries_by_id(one.entry for one in found.evidence).values()
    }


def test_the_dip_is_told_with_how_sure_it_is(concern):
    """When, how sure, how low, and what went just before."""
    said = concern("copper-dip.b1-copper").said[0]
    assert "with a chance of over 99\u202f%" in said
    assert "; at its lowest 0.13, between 0.1" in said


def test_the_true_copper_lies_inside_the_ribbon_of_the_page(harbour_row):
    """At least nine in ten hours of the course have it inside the 95 % range the page draws."""
    copper = course_copper(Facts(harbour_row, NOW), harbour_row.courses["b1-copper"])
    assert copper.reckoned is not None
    assert copper.course.started is not None
    trace = lazaret_trace(meals(SEED))
    midnight = copper.course.started - timedelta(minutes=COURSE_START)
    inside = [
        level.low <= trace.at(int((moment - midnight).total_seconds() / 60) + 1).copper_mg_per_l <= level.high
        for moment, level in copper.reckoned.ribbon(copper.course.started, copper.end)
    ]
    assert len(inside) > 24 * 28
    assert sum(inside) >= 0.9 * len(inside)


def test_the_days_after_the_dip_were_surely_enough(harbour_row):
    """Fourteen unbroken days were asked for; after the dip the level was held for eighteen, and it is sure of that."""
    held = course_copper(Facts(harbour_row, NOW), harbour_row.courses["b1-copper"]).exposure
    assert held is not None
    assert held.held is not None
    assert held.held.value >= 0.95
    assert 18.0 <= held.credited_days.quantiles[1] < 19.0


def test_ammonia_is_climbing_in_lazaret_now(concern):
    """B2 is fed in a tank without a filter; the newest values rise one after another."""
    found = concern("ammonia.lazaret")
    assert found.title == "Lazaret: ammonia is climbing"
    assert found.weight == "now"
    assert sum(one.words == "total ammonia" for one in found.evidence) >= 3


def test_the_angelfish_is_named_sensitive_before_its_course_is_begun(concern):
    """B2's course is planned, not begun, and one of its animals takes copper badly."""
    found = concern("sensitive.b2-copper.two-spined-angelfish")
    assert found.about.key == "two-spined-angelfish"
    assert "planned and not begun" in found.said[0]
    assert found.cautions, "no dose is spoken of without its cautions"


def test_nothing_is_to_be_added_to_skerry_while_the_bristletooth_sits_in_the_creel(concern):
    """The box shares the display's water, and the animal in it is fresh from medicine and a move."""
    found = concern("add-nothing.skerry")
    assert found.weight_words == "not before 18 Mar"
    assert "Tomini bristletooth in Creel in Skerry shares this water" in found.said[0]
    assert "ionic copper" in found.said[0]


def test_every_concern_has_evidence_a_next_step_and_a_weight_in_words(walked):
    """No conclusion without the entries behind it."""
    for one in walked.concerns:
        assert one.evidence, one.key
        assert one.next_steps, one.key
        assert one.weight_words, one.key
        assert len(entries_by_id(each.entry for each in one.evidence)) == len({each.entry for each in one.evidence})


def test_the_worst_comes_first(walked):
    """Concerns are in the order of their weight."""
    weights = [WEIGHT_ORDER[one.weight] for one in walked.concerns]
    assert weights == sorted(weights)
    assert weights[0] == 0


def test_what_is_due_names_the_places_with_animals(walked):
    """Feeding is due wherever animals live."""
    words = [one.words for one in walked.due]
    assert any(one.startswith("Lazaret: feed") for one in words)
    assert any(one.startswith("Haven: feed") for one in words)


def test_animals_tired_of_the_same_share_a_sentence(concern):
    """B2's three came together and sat in the same ammonia: one sentence, and the guess said once."""
    said = concern("not-rested.b2-copper").said
    assert said[0].startswith("Royal gramma") or said[0].startswith("Banggai pair")
    assert " and " in said[0]
    assert "rest are owed in all" in said[0]
    assert sum("our own guess" in one for one in said) == 1
    assert len(said) == 3
