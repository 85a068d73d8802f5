"""The animals of the demo household: what the engines find in the entries, held against the truth."""

import pytest
from tests.unit.demo.telling import counts, feeds, moments_and, standing

from pratique.demo.truth import TRUTH
from pratique.ledger.kinds.animals import Arrival, Move, Observation
from pratique.science.health.appetite import appetite
from pratique.science.health.breathing import breathing
from pratique.science.health.condition import DepthRatio, condition_trend

THIS_MORNING = 38.35


def test_the_goby_refuses_from_day_18():
    """Eating less from day 16, refusing from day 18, hesitant again from day 29; its last sure meal was on day 15."""
    found = appetite(feeds("maiden-goby"), now=THIS_MORNING)
    assert int(found.refusal_began.at_day) == TRUTH.goby_refuses_since_day
    assert int(found.eating_less_since.at_day) == TRUTH.goby_eats_less_since_day
    assert int(found.refusal_ended.at_day) == TRUTH.goby_hesitant_since_day
    assert int(found.last_certain_before_refusal.at_day) == 15
    assert found.state == "hesitant"


def test_the_wrasse_eats_well_and_yet_grows_thin():
    """Nearly every feed seen is a good one, while depth over length falls with a probability over 0.95."""
    fed = appetite(feeds("six-line-wrasse"), now=THIS_MORNING)
    assert fed.state == "eating"
    assert fed.good_meals >= 0.9 * fed.seen_meals
    seen = [(day, one, entry) for day, one, entry in moments_and(Observation) if one.animal == "six-line-wrasse"]
    points = [
        DepthRatio(day, one.depth_over_length, one.depth_over_length_plus_minus / 1.96, entry)
        for day, one, entry in seen
        if one.depth_over_length
    ]
    trend = condition_trend(points)
    assert trend.probability_falling > 0.95
    assert trend.days == pytest.approx(16, abs=1)
    assert (trend.first.depth_over_length, trend.last.depth_over_length) == pytest.approx((0.31, 0.27), abs=0.006)


def test_the_flukes_are_nowhere_in_the_entries():
    """The wrasse's parasite is the simulator's secret: no entry names it."""
    assert TRUTH.wrasse_carries == "flukes"
    assert not [entry for entry in standing() if "fluke" in entry.payload_text().lower()]


@pytest.mark.parametrize("animal", ["maiden-goby", "six-line-wrasse", "tomini-bristletooth"])
def test_breathing_follows_the_ammonia(animal):
    """Each of B1 breathes fastest at the ammonia's peak and slowest in Haven's clean water."""
    seen = counts(animal)
    peak = [one.beats_per_min for one in seen if 14 <= one.at_day < 15]
    clean = [one.beats_per_min for one in seen if one.at_day > 32]
    assert max(one.beats_per_min for one in seen) == max(peak)
    assert max(peak) > 1.15 * (sum(clean) / len(clean))


def test_the_goby_breathed_hardest_of_all():
    """At the peak it alone counts as raised against its own baseline."""
    then = {animal: breathing(counts(animal), 14.4) for animal in ("maiden-goby", "six-line-wrasse")}
    assert then["maiden-goby"].state == "raised"
    assert then["maiden-goby"].ratio > then["six-line-wrasse"].ratio


@pytest.mark.parametrize("animal", ["royal-gramma", "two-spined-angelfish", "banggai-pair"])
def test_b2_eats_decently(animal):
    """By yesterday evening every one of B2 took a certain meal."""
    assert appetite(feeds(animal), now=THIS_MORNING).last_certain_meal.at_day > 37


def test_b1_went_to_haven_and_the_bristletooth_to_the_creel_yesterday():
    """Two moves: all of B1 on day 31, and on day 37 the bristletooth alone into the box."""
    moves = [(int(day), one.animals, one.system, one.compartment) for day, one, _ in moments_and(Move)]
    assert moves == [
        (31, ("tomini-bristletooth", "maiden-goby", "six-line-wrasse"), "haven", None),
        (37, ("tomini-bristletooth",), "skerry", "creel"),
    ]


def test_the_dottyback_charges_at_the_box():
    """Both watches since the move saw charges."""
    seen = [(day, one.charges) for day, one, _ in moments_and(Observation) if one.animal == "dottyback"]
    assert [charges for day, charges in seen if day > 37] == [7, 4]


def test_everyone_arrives_where_and_when_the_story_says():
    """The residents before day 0, B1 on day 0 and B2 on day 35, both batches into Lazaret."""
    came = {one.key: (int(day // 1), one.system, one.batch) for day, one, _ in moments_and(Arrival)}
    assert {came[key] for key in ("tomini-bristletooth", "maiden-goby", "six-line-wrasse")} == {(0, "lazaret", "b1")}
    assert {came[key] for key in ("royal-gramma", "two-spined-angelfish", "banggai-pair")} == {(35, "lazaret", "b2")}
    assert came["chromis"] == came["dottyback"] == (-2, "skerry", None)
