"""Signs and breaths: what was seen stands until somebody looks again. Figures of days are our own, no source."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from tests.casework.keeping import Keeper, at

from pratique.casework.facts import Facts
from pratique.casework.health import health_of
from pratique.casework.rounds import rounds
from pratique.casework.sheets import Concern
from pratique.ledger.household import load_household
from pratique.ledger.kinds.animals import Arrival, Observation
from pratique.science.health.breathing import Breathing

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret and a royal gramma that came ten days before day 0."""
    keeper = Keeper()
    keeper.quarantine()
    return keeper


def concern(day: float, key: str) -> Concern | None:
    """Return a concern at a moment, if it is there."""
    return next((one for one in rounds(load_household(), now=at(day)).concerns if one.key == key), None)


def see(keeper: Keeper, day: float, *signs: str) -> None:
    """Write signs seen on the gramma."""
    keeper.write(day, Observation(animal="gramma", signs=signs))


def count(keeper: Keeper, day: float, beats: float) -> None:
    """Write a count of the gramma's breathing."""
    keeper.write(day, Observation(animal="gramma", beats_per_min=beats, counted_s=30))


def breathing(day: float) -> Breathing:
    """Return how the gramma breathes at a moment."""
    return health_of(Facts(load_household(), at(day)))["gramma"].breathing


def test_a_sign_of_today_is_to_act_on(keeper):
    """Gasping this morning."""
    see(keeper, 0, "gasping")
    found = concern(0.2, "signs.gramma")
    assert (found.weight, found.title) == ("now", "Royal gramma: gasping")


@pytest.mark.parametrize("day", [4.0, 20.0, 59.0, 200.0])
def test_an_old_sign_stays_a_concern_until_somebody_looks(keeper, day):
    """Not having looked is no cure: however long ago, what was last seen is said, and that today is not known."""
    see(keeper, 0, "dust", "gasping")
    found = concern(day, "signs.gramma")
    assert found.weight == "today"
    assert found.title == "Royal gramma: dust, gasping, and not looked over since"
    assert "not known" in found.said[1]
    assert found.evidence


@pytest.mark.parametrize("day", [10.0, 200.0])
def test_a_clean_look_ends_it(keeper, day):
    """Looked over and nothing found."""
    see(keeper, 0, "gasping")
    see(keeper, 5, "no signs")
    assert concern(day, "signs.gramma") is None


def test_a_count_of_its_breathing_is_no_look(keeper):
    """Breaths are counted from across the room; dust is not seen from there."""
    see(keeper, 0, "dust")
    count(keeper, 5, 80)
    assert concern(5.1, "signs.gramma") is not None


def test_a_look_at_which_something_was_found_is_not_clean(keeper):
    """No spots counted, but scratching: one entry, and it is a bad one."""
    see(keeper, 0, "dust")
    keeper.write(5, Observation(animal="gramma", spots=0, signs=("scratching",)))
    assert "scratching" in concern(9, "signs.gramma").title


def test_darting_is_a_sign_and_hiding_is_none(keeper):
    """One list for the rounds and for the gates."""
    see(keeper, 0, "hiding", "being chased")
    assert concern(0.1, "signs.gramma") is None
    see(keeper, 1, "darting")
    assert concern(1.1, "signs.gramma").title == "Royal gramma: darting"


@pytest.mark.parametrize("day", [5.0, 100.0])
def test_fast_breathing_stays_a_concern_until_it_is_counted_again(keeper, day):
    """170 beats a minute do not become well by not being counted."""
    for early in (-8, -7, -6, -5):
        count(keeper, early, 80)
    count(keeper, 0, 170)
    found = concern(day, "breathing.gramma")
    assert found.title == "Royal gramma breathed fast, and was not counted since"
    assert found.weight == "today"
    assert any("not known" in said for said in found.said)
    assert concern(0.1, "breathing.gramma").title == "Royal gramma breathes fast"


def test_a_quiet_count_ends_it(keeper):
    """Counted again, and at rest."""
    for day, beats in ((-8, 80), (-7, 82), (-6, 78), (0, 170), (1, 80)):
        count(keeper, day, beats)
    assert concern(9, "breathing.gramma") is None


def test_the_baseline_is_the_animals_first_counts_however_long_ago(keeper):
    """A slow rise over months is measured from arrival, not from what has become usual in the last weeks."""
    for day in range(-9, 1):
        count(keeper, day, 80)
    for day in range(60, 101):
        count(keeper, day, 106)
    found = breathing(100.1)
    assert found.baseline == pytest.approx(80)
    assert found.state == "raised"


def test_earlier_days_are_read_once_for_all_animals(keeper):
    """More animals do not ask the ledger more questions."""

    def asked() -> int:
        household = load_household()
        with CaptureQueriesContext(
            connection,
        ) as context:
            rounds(household, now=at(100))
        return len(context)

    see(keeper, 0, "gasping")
    count(keeper, 0, 90)
    few = asked()
    for number in range(6):
        key = f"goby-{number}"
        keeper.write(-5, Arrival(key=key, name=f"Goby {number}", species="maiden_goby", system="lazaret"))
        keeper.write(1, Observation(animal=key, signs=("dust",), beats_per_min=100))
    assert asked() == few


def test_a_small_lasting_rise_is_watched_with_its_rate_of_false_alarms(keeper):
    """Five beats above its own rest for six counts: no count is raised, yet the run is told."""
    for day, beats in enumerate((62, 60, 64, 61, 60, 62, 61, 63, 60, 62, 66, 66, 68, 66, 68, 66)):
        count(keeper, day, beats)
    found = concern(15.1, "breathing.gramma")
    assert (found.title, found.weight) == ("Royal gramma breathes a little faster than its own rest", "watch")
    assert "Its 6 counts since 11 March" in found.said[0]
    assert "about once in 930 counts" in found.said[1]
