"""Appetite as its feeds together tell it, beside the run of the last ones. The feeds are invented."""

from datetime import date

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.animals import animal_sheet
from pratique.casework.appetites import Appetites
from pratique.casework.facts import Facts
from pratique.casework.health import health_of
from pratique.casework.people import appetite_words
from pratique.casework.rounds import rounds
from pratique.casework.sheets import Concern
from pratique.ledger.household import load_household
from pratique.ledger.kinds.animals import Arrival, Feeding, FoodGiven
from pratique.science.health.appetite_states import STATES
from pratique.units import THIN_SPACE

pytestmark = pytest.mark.django_db

MYSIS = "frozen_mysis"


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret and a royal gramma that came ten days before day 0, and no copper in the water."""
    keeper = Keeper()
    keeper.quarantine()
    return keeper


def feed(keeper: Keeper, first: float, *steps: int | None, food: str | None = None, animal: str = "gramma") -> None:
    """Write one feed a day from a day on; None where the animal was not seen."""
    for day, step in enumerate(steps):
        fed = {} if step is None else {animal: step}
        foods = (FoodGiven(food=food),) if food else ()
        keeper.write(first + day, Feeding(system="lazaret", foods=foods, offered_to=(animal,), fed=fed))


def appetites(day: float) -> Appetites:
    """Return the appetites at a moment."""
    return health_of(Facts(load_household(), at(day)))["gramma"].appetites


def likely(day: float, state: str = "eating") -> float:
    """Return how likely the gramma is in a state at a moment."""
    found = appetites(day).chances("gramma")
    assert found is not None
    return float(found[STATES.index(state)])


def concern(day: float) -> Concern | None:
    """Return the concern about the gramma's appetite, if there is one."""
    found = rounds(load_household(), now=at(day)).concerns
    return next((one for one in found if one.key == "appetite.gramma"), None)


def test_an_animal_that_eats_is_told_with_its_chance(keeper):
    """Eager for eight days: eats, over 99 % likely."""
    feed(keeper, -8, *[4] * 8)
    words = appetite_words(health_of(Facts(load_household(), at(-0.9)))["gramma"])
    assert words.startswith(f"eats, over 99{THIN_SPACE}% likely; last certain meal")


def test_days_unseen_make_it_less_sure(keeper):
    """Nothing seen for two days: still likely, but no longer as likely."""
    feed(keeper, -8, *[4] * 8)
    assert 0.8 < likely(1.1) < likely(-0.9)


def test_an_animal_never_seen_at_food_has_no_chance_told(keeper):
    """What was assumed of it is not passed off as seen."""
    feed(keeper, -8, None, None, None)
    assert appetites(-5.5).chances("gramma") is None
    assert "likely" not in animal_sheet(load_household(), "gramma", now=at(-5.5)).appetite_words


def test_two_feeds_passed_over_raise_an_early_alarm(keeper):
    """The run of three that names a refusal is not there yet; the alarm says how often it is false."""
    feed(keeper, -9, 4, 4, 3, 4, 4, 4, 3, 0, 0)
    found = concern(-0.9)
    assert (found.title, found.weight) == ("Royal gramma may have stopped eating", "watch")
    assert "of 100 animals that go on eating, about 10 raise one in 30 days" in found.said[-1]
    assert any("say that it refuses" in words for words in found.said)
    assert found.since == date(2026, 2, 27)


def test_one_odd_feed_raises_none(keeper):
    """Passed over once among good days."""
    feed(keeper, -9, 4, 4, 3, 4, 4, 4, 0, 4, 4)
    assert concern(-0.9) is None


def test_a_newcomer_that_does_not_eat_at_once_raises_none(keeper):
    """Two feeds passed over in its first two days are expected."""
    keeper.write(-3, Arrival(key="chromis", name="Chromis", species="blue_green_chromis", system="lazaret"))
    feed(keeper, -2, 0, 0, animal="chromis")
    found = rounds(load_household(), now=at(-0.9)).concerns
    assert "appetite.chromis" not in {one.key for one in found}


def test_the_day_of_the_change_is_told_with_its_range(keeper):
    """Eager to 24 February, nothing from the 25th: the concern of the run names the likeliest day."""
    feed(keeper, -9, 4, 4, 4, 4, 4, 0, 0, 0, 0)
    change = appetites(-0.9).change("gramma")
    assert change.likeliest == date(2026, 2, 25)
    assert change.earliest <= change.likeliest <= change.latest
    assert any("most likely turned from its food on 25 February" in words for words in concern(-0.9).said)
    assert appetites(-0.9).last_sure_meal("gramma") == date(2026, 2, 24)


def test_a_spell_older_than_the_first_feed_has_no_day(keeper):
    """It never ate since it came: when it stopped cannot be told."""
    feed(keeper, -9, *[0] * 9)
    assert appetites(-0.9).change("gramma") is None


def test_another_food_refused_says_less_than_the_usual_one(keeper):
    """The same two feeds passed over, once of mysis as ever, once of a flake never offered before."""
    feed(keeper, -9, *[4] * 7, food=MYSIS)
    feed(keeper, -2, 0, food="flake")
    other = likely(-1.9, "refusing")
    feed(keeper, -2, 0, food=MYSIS)
    assert other < 0.2
    assert likely(-1.9, "refusing") > other + 0.2


def test_feeds_of_unnamed_food_count_as_the_usual_one(keeper):
    """Nothing is taken off where the keeper did not name the food."""
    feed(keeper, -9, *[4] * 7)
    feed(keeper, -2, 0)
    named = likely(-1.9, "refusing")
    assert named > 0.2


def test_where_the_run_and_the_whole_disagree_it_is_said(keeper):
    """Looks and spits for three feeds, after much hesitation: a run of refusing, while the whole speaks for less."""
    feed(keeper, -9, 2, 1, 2, 2, 2, 2, 1, 1, 1)
    found = concern(-0.9)
    assert found.title == "Royal gramma refuses food"
    assert any("All its feeds together rather say that it hesitates" in words for words in found.said)


def test_many_are_filtered_as_one_is(keeper):
    """The chance today is the last row of what the details say, also among animals fed for fewer days."""
    keeper.write(-5, Arrival(key="chromis", name="Chromis", species="blue_green_chromis", system="lazaret"))
    feed(keeper, -9, 4, 4, 2, 0, 1, 3, 4)
    feed(keeper, -4.5, 2, 0, 1, animal="chromis")
    found = appetites(-0.9)
    for key in ("gramma", "chromis"):
        assert found.chances(key) == pytest.approx(found.states(key).filtered[-1], abs=1e-12)


def test_a_good_meal_amid_a_refusal_is_told_as_in_doubt(keeper):
    """One bite on a day among refusals: the last day it surely ate lies before them."""
    feed(keeper, -9, 4, 4, 4, 4, 0, 0, 3, 0, 0)
    words = animal_sheet(load_household(), "gramma", now=at(-0.9)).appetite_words
    assert "that meal is in doubt; it last surely ate on 23 February" in words
    feed(keeper, 0, 4, 4, 4, 4)
    assert "in doubt" not in animal_sheet(load_household(), "gramma", now=at(3.1)).appetite_words
