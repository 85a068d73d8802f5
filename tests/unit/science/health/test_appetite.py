"""How an animal feeds."""

import pytest

from pratique.science.health.appetite import AppetiteRule, Fed, appetite

RULE = AppetiteRule(spell_feeds=3, stale_days=3, window_days=60)


def feeds(*steps, first_day=0.0, every=1.0):
    """Feeds one after the other; None is a feeding at which the animal was not seen."""
    return [Fed(first_day + i * every, step, f"feed {first_day + i * every:g}") for i, step in enumerate(steps)]


def look(series, now=None):
    """The appetite half a day after the last feeding."""
    return appetite(series, now=series[-1].at_day + 0.5 if now is None else now, rule=RULE)


def test_steady_meals_are_eating():
    """Seven certain meals, the run is six days long."""
    found = look(feeds(3, 4, 3, 4, 4, 3, 4))
    assert (found.state, found.good_meals, found.seen_meals, found.eating_days_run) == ("eating", 7, 7, 6.0)
    assert found.refusal_began is None
    assert found.days_since_certain_meal == pytest.approx(0.5)


def test_three_refused_feeds_are_a_refusal_from_the_first_of_them():
    """The day it began is the day of the first refused feed, and the last certain meal is named."""
    found = look(feeds(4, 4, 3, 1, 0, 1))
    assert found.state == "refusing"
    assert found.refusal_began.entry == "feed 3"
    assert found.refusal_ended is None
    assert found.last_certain_meal.entry == found.last_certain_before_refusal.entry == "feed 2"


def test_a_goby_that_eats_less_then_refuses_then_eats_and_hesitates_again():
    """Eating less from day 16, refusing from day 18 to 24, hesitant again from day 29."""
    steps = [4] * 16 + [2, 2] + [1, 0, 0, 1, 0, 1] + [3, 3, 3, 4, 3] + [2, 1, 2, 2]
    found = look(feeds(*steps))
    assert found.state == "hesitant"
    assert (found.eating_less_since.at_day, found.refusal_began.at_day, found.refusal_ended.at_day) == (16, 18, 24)
    assert found.last_certain_before_refusal.at_day == 15
    assert (found.hesitant_since.at_day, found.last_certain_meal.at_day) == (29, 28)
    assert found.eating_days_run == 0.0


def test_one_odd_feed_begins_no_refusal():
    """A single spat-out meal among good ones is an odd day."""
    found = look(feeds(4, 4, 0, 4, 4))
    assert (found.state, found.refusal_began) == ("eating", None)


def test_one_odd_meal_ends_no_refusal():
    """One good meal among refused ones does not end the spell."""
    found = look(feeds(4, 0, 0, 0, 3, 0, 0))
    assert (found.state, found.refusal_began.at_day, found.refusal_ended) == ("refusing", 1, None)


def test_two_meals_above_end_a_refusal_at_the_first_of_them():
    """The spell ends with the first of two in a row."""
    assert look(feeds(0, 0, 0, 2, 3, 3)).refusal_ended.at_day == 3


def test_not_seen_is_not_refused():
    """Feedings at which the animal was not seen count neither way."""
    found = look(feeds(4, None, None, None, 4))
    assert (found.state, found.seen_meals, found.refusal_began) == ("eating", 2, None)


def test_an_animal_not_seen_for_days_is_unknown():
    """Four days without a seen feed say nothing of today."""
    found = look(feeds(4, 4, 4), now=6.5)
    assert found.state == "unknown"
    assert found.days_since_certain_meal == pytest.approx(4.5)


def test_without_feeds_nothing_is_known():
    """No feed, no state, no meal."""
    found = appetite([], now=3.0, rule=RULE)
    assert (found.state, found.last_certain_meal, found.days_since_certain_meal) == ("unknown", None, None)


def test_two_refused_feeds_after_arrival_are_hesitant():
    """Too few for a refusal, and no certain meal either."""
    assert look(feeds(1, 0)).state == "hesitant"


def test_feeds_of_tomorrow_do_not_count():
    """What has not happened by now is left out."""
    assert look(feeds(4, 4, 4, 0, 0, 0), now=2.5).state == "eating"


def test_the_run_of_eating_starts_where_the_last_poor_spell_ended():
    """Days eating are counted from the first certain meal after it."""
    assert look(feeds(4, 4, 1, 1, 1, 3, 3, 4, 4)).eating_days_run == 3.0


def test_a_hesitant_animal_has_no_days_of_eating():
    """One good meal in three for three weeks is no run: the days count only while it eats."""
    found = look(feeds(*[4, 0, 0] * 7))
    assert (found.state, found.eating_days_run) == ("hesitant", 0.0)


def test_a_poor_stretch_that_is_no_spell_breaks_the_run():
    """4, 0, 0, 4, 0, 0 and then steady: never three poor feeds in a row, yet the days count only from the last poor."""
    found = look(feeds(4, 4, 4, 0, 0, 4, 0, 0, 4, 4, 3, 4))
    assert (found.state, found.refusal_began, found.eating_days_run) == ("eating", None, 3.0)


def test_days_without_a_seen_feed_break_the_run():
    """Two meals ten days apart are two meals, not ten days of eating."""
    assert look([*feeds(4), *feeds(4, first_day=10.0)]).eating_days_run == 0.0
    assert look([*feeds(4, 4, 4), *feeds(4, 4, 4, first_day=6.0)]).eating_days_run == 2.0


def test_one_odd_feed_does_not_break_the_run():
    """A single spat-out meal among good ones is an odd day here too."""
    assert look(feeds(4, 4, 0, 4, 4)).eating_days_run == 4.0


def test_the_shipped_rule_comes_from_the_figures():
    """The rule used when none is given is the one in knowledge."""
    series = feeds(4, 4, 1, 0, 0)
    assert appetite(series, now=4.5) == appetite(series, now=4.5, rule=AppetiteRule.shipped())
