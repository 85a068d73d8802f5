"""`/write/feeding/`: five words for each animal, in one place or everywhere at once."""

from django.test import Client
from tests.web.writing.household import body, newest, put, written_since

from pratique.ledger.entries import new_entry_id
from pratique.ledger.kinds.animals import Feeding, FoodGiven
from pratique.ledger.queries import entry_count

HAVEN = "/write/feeding/?system=haven"
EVERYONE = "/write/feeding/"


def test_untouched_means_not_seen(keeper: Client):
    """An animal without a word was offered food and not seen, which is not the same as not eating."""
    response = keeper.post(HAVEN, {"entry_id": str(new_entry_id()), "system": "haven", "fed-maiden-goby": "1"})
    assert response.status_code == 303
    raw = newest()[0].raw
    assert raw["fed"] == {"maiden-goby": 1}
    assert "six-line-wrasse" in raw["offered_to"]


def test_the_foods_given_last_are_filled_in(keeper: Client):
    """The same food again needs no typing."""
    put(Feeding(system="haven", foods=(FoodGiven(food="frozen_mysis", amount_g=2.0),)))
    shown = body(keeper.get(HAVEN))
    assert "Foods: 2\u202fg frozen mysis" in shown


def test_everyone_is_fed_on_one_page(keeper: Client):
    """Six animals in three places are sent at once and make one entry for each place."""
    before = entry_count()
    shown = body(keeper.get(EVERYONE))
    for heading in ("Lazaret", "Haven", "Creel in Skerry"):
        assert heading in shown
    response = keeper.post(
        EVERYONE,
        {
            "entry_id": str(new_entry_id()),
            "lazaret:fed-royal-gramma": "4",
            "lazaret:fed-two-spined-angelfish": "3",
            "lazaret:fed-banggai-pair": "2",
            "haven:fed-maiden-goby": "1",
            "haven:fed-six-line-wrasse": "4",
            "skerry/creel:fed-tomini-bristletooth": "3",
        },
    )
    assert response.status_code == 303
    assert written_since(before) == 3
    assert sorted(len(entry.raw["fed"]) for entry in newest(3)) == [1, 2, 3]


def test_a_place_left_untouched_is_not_written(keeper: Client):
    """Foods filled in beforehand are not taken as given where nobody tapped."""
    put(Feeding(system="lazaret", foods=(FoodGiven(food="frozen_mysis", amount_g=2.0),)))
    before = entry_count()
    keeper.post(
        EVERYONE,
        {"entry_id": str(new_entry_id()), "haven:fed-maiden-goby": "1", "lazaret:amount-frozen_mysis": "2"},
    )
    assert written_since(before) == 1
    assert newest()[0].raw["system"] == "haven"


def test_food_given_with_nobody_watching_can_be_said(keeper: Client):
    """The food counts for the water, and every animal as not seen."""
    sent = {"entry_id": str(new_entry_id()), "lazaret:fed-unseen": "yes", "lazaret:amount-frozen_mysis": "2"}
    assert keeper.post(EVERYONE, sent).status_code == 303
    raw = newest()[0].raw
    assert raw["foods"] == [{"amount_g": 2.0, "food": "frozen_mysis"}]
    assert "fed" not in raw


def test_a_double_tap_feeds_everyone_once(keeper: Client):
    """The places' entries get their ids from the page's one id."""
    sent = {"entry_id": str(new_entry_id()), "haven:fed-maiden-goby": "1", "lazaret:fed-royal-gramma": "4"}
    before = entry_count()
    assert keeper.post(EVERYONE, sent).status_code == 303
    assert keeper.post(EVERYONE, sent).status_code == 303
    assert written_since(before) == 2


def test_one_wrong_amount_keeps_all_places_out(keeper: Client):
    """Nothing is half written: the sentence stands at its food, and every tap stays."""
    before = entry_count()
    response = keeper.post(
        EVERYONE,
        {
            "entry_id": str(new_entry_id()),
            "haven:fed-maiden-goby": "1",
            "lazaret:fed-royal-gramma": "4",
            "lazaret:amount-frozen_mysis": "two",
        },
    )
    shown = body(response)
    assert response.status_code == 422
    assert written_since(before) == 0
    assert 'id="field-lazaret:amount-frozen_mysis-problem"' in shown
    assert shown.count("checked") == 2


def test_nothing_tapped_is_said_in_words(keeper: Client):
    """An empty round is no entry."""
    response = keeper.post(EVERYONE, {"entry_id": str(new_entry_id())})
    assert response.status_code == 422
    assert "Tap how at least one animal fed" in body(response)
