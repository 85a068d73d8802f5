"""What pages, rounds and commands are told of a reckoned level; expected values worked by hand."""

import math
from dataclasses import replace

import pytest
from tests.casework.keeping import Keeper, at
from tests.casework.reckoning.asking import found, told

from pratique.casework.reckoning.reckoned import Reckoned
from pratique.casework.rounds import rounds
from pratique.casework.sheets import Concern
from pratique.ledger.household import load_household
from pratique.ledger.kinds import places, water

pytestmark = pytest.mark.django_db

METER = "copper_photometer"


@pytest.fixture
def keeper() -> Keeper:
    """Harbour Row with Lazaret, 80 L net ± 4, emptied and filled with clean water on day -1."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.write(-1, water.WaterChange(system="lazaret", emptied=True))
    return keeper


def steady(keeper: Keeper, days: int, *, value: float = 0.18) -> None:
    """Dose to 0.18 at noon of day 0 and read that every morning after, each loss made up."""
    keeper.dose(0, 14.4)
    for day in range(1, days + 1):
        keeper.read(day - 0.1, "copper", value, METER)
        keeper.dose(day - 0.05, 0.6)


def odd(day: float) -> Concern | None:
    """Return the concern about the newest copper reading of Lazaret."""
    walked = rounds(load_household(), now=at(day))
    return next((one for one in walked.concerns if one.key == "surprise.lazaret.copper"), None)


def test_a_dose_into_clean_water_is_mass_over_volume(keeper):
    """16 mg in 80 L are 0.20 mg/L; 4 L of ± at 95 % are 2.55 % of sd, the dose's own error is 3 %, the clean water is
    good to 0.005, and a day's gain of water nobody dosed to 0.001: all in quadrature (JCGM 100:2008).
    """
    keeper.dose(0, 16.0)
    level = found(0.01, since=0).level_at(at(0))
    assert level.mean == pytest.approx(0.200, abs=0.001)
    assert level.sd == pytest.approx(math.hypot(0.2 * 4.0 / 1.96 / 80.0, 0.2 * 0.03, 0.005, 0.001), rel=0.03)
    assert level.low < level.inner_low < level.median < level.inner_high < level.high


def test_beliefs_below_nothing_are_not_shown(keeper):
    """A level next to none reaches below 0 in the belief, not on a page."""
    keeper.read(0, "copper", 0.01, METER)
    assert found(1, since=-0.5).now.low == 0.0


def test_the_ribbon_goes_through_the_level_hour_by_hour(keeper):
    """Every step of the grid between two moments, each as `level_at` says it."""
    steady(keeper, 2)
    one = found(2, since=0)
    ribbon = one.ribbon(at(0.5), at(1.5))
    assert len(ribbon) in {24, 25}
    assert all(one.level_at(moment) == level for moment, level in ribbon)


def test_outside_the_case_nothing_is_known(keeper):
    """Before it begins and after it ends there is no level, and no exposure."""
    steady(keeper, 2)
    one = found(2, since=0)
    assert (one.level_at(at(-5)), one.level_at(at(9))) == (None, None)
    assert one.exposure(lower=0.15, upper=0.25, start=at(5), end=at(9), required_days=14) is None
    assert one.exposure(lower=0.15, upper=0.25, start=at(2), end=at(1), required_days=14) is None


def test_a_steady_course_is_held_as_long_as_it_lasted(keeper):
    """Fifteen days at 0.18 within a band from 0.15: fourteen of them are held, sixteen cannot be."""
    steady(keeper, 15)
    one = found(15, since=0)
    held = one.exposure(lower=0.15, upper=0.25, start=at(0), end=at(15), required_days=14)
    assert held.held.value > 0.9
    assert held.longest_unbroken_days.mean == pytest.approx(15.0, abs=0.6)
    asked = one.exposure(lower=0.15, upper=0.25, start=at(0), end=at(15), required_days=16)
    assert asked.held.value == 0.0


def test_fourteen_days_to_the_minute_are_fourteen_days(keeper):
    """Both ends are taken to the nearest step of the grid, so a course of whole days loses none to it."""
    steady(keeper, 16)
    one = found(16, since=0)
    start, end = at(1.31), at(15.31)
    held = one.exposure(lower=0.05, upper=0.5, start=start, end=end, required_days=14)
    assert held.held.value == pytest.approx(1.0, abs=1e-3)


def test_volume_and_loss_are_learned(keeper):
    """32 mg that read 0.38 to 0.42 in the evening: about 80 L, narrower than was told."""
    keeper.dose(0, 32.0)
    for day in (0.2, 0.3, 0.4, 0.5):
        keeper.read(day, "copper", 0.40, METER)
    one = found(1, since=0)
    assert one.volume.mean == pytest.approx(80.0, abs=3.0)
    assert one.volume.sd < 4.0 / 1.96
    assert 0.0 < one.loss.mean < 0.3


def test_a_case_that_cannot_be_reckoned_says_why_and_raises_nothing(keeper):
    """A sentence, and nothing where a number would stand."""
    steady(keeper, 2)
    ledger = told(2, since=0)
    broken = Reckoned(replace(ledger, case=replace(ledger.case, grid_hours=0.0)))
    assert broken.problem == "The step of the grid must be above 0 hours."
    assert (broken.now, broken.posterior, broken.running, broken.volume, broken.loss) == (None,) * 5
    assert (broken.surprises, broken.ribbon(at(0), at(1)), broken.effective_sample) == ((), (), 0.0)
    assert broken.exposure(lower=0.15, upper=0.25, start=at(0), end=at(1), required_days=1) is None


def test_a_reading_far_off_is_found_with_what_may_be_behind_it(keeper):
    """0.60 after four days of 0.18: expected near 0.18, three causes whose chances sum to one."""
    steady(keeper, 4)
    wrong = keeper.read(4.2, "copper", 0.60, METER)
    one = found(4.3, since=0)
    assert one.is_newest_surprising
    assert one.newest_reading.id == wrong
    surprise = one.surprises[-1]
    assert surprise.entry.id == wrong
    assert surprise.expected == pytest.approx(0.18, abs=0.02)
    assert surprise.tail < 0.005
    assert {key for key, _ in surprise.causes} == {"wrong reading", "unlogged", "wrong strength"}
    chances = [chance for _, chance in surprise.causes]
    assert chances == sorted(chances, reverse=True)
    assert sum(chances) == pytest.approx(1.0)


def test_it_is_a_concern_for_today_until_a_later_reading_agrees(keeper):
    """Read it again first: 0.18 and the 0.6 mg of the day in 80 L make 0.19. After another 0.18 nothing is left."""
    steady(keeper, 4)
    assert odd(4.1) is None
    wrong = keeper.read(4.2, "copper", 0.60, METER)
    concern = odd(4.3)
    assert concern is not None
    assert (concern.weight, concern.about.key) == ("today", "lazaret")
    assert concern.said[0].startswith("Copper 0.60 ±")
    assert "expect 0.19 ±" in concern.said[0]
    assert "a wrong reading" in concern.said[1]
    assert "a dose or change nobody wrote down" in concern.said[1]
    assert [step.words for step in concern.next_steps] == ["Read it again"]
    assert [one.entry for one in concern.evidence] == [wrong]
    keeper.read(4.4, "copper", 0.18, METER)
    assert odd(4.5) is None


def test_a_reading_grown_old_is_not_asked_about(keeper):
    """Two days on it no longer speaks for the water: that it was never read again is told elsewhere."""
    steady(keeper, 4)
    keeper.read(4.2, "copper", 0.60, METER)
    assert odd(6.5) is None


def test_an_odd_reading_of_anything_else_is_to_be_watched(keeper):
    """Alkalinity 12 after five weeks of 8."""
    for day in range(-35, 0, 7):
        keeper.read(day, "alkalinity", 8.0, "alkalinity_titration")
    keeper.read(0, "alkalinity", 13.0, "alkalinity_titration")
    walked = rounds(load_household(), now=at(0.1))
    concern = next(one for one in walked.concerns if one.key == "surprise.lazaret.alkalinity")
    assert concern.weight == "watch"


def test_a_wrong_reading_is_set_aside_once_a_later_one_agrees_with_the_rest(keeper):
    """Kept, 0.60 would lift the level for days; set aside, it is 0.18 again, and the reason stands beside the entry."""
    steady(keeper, 4)
    wrong = keeper.read(4.2, "copper", 0.60, METER)
    keeper.read(4.4, "copper", 0.18, METER)
    one = found(4.5, since=0)
    assert not one.is_newest_surprising
    assert one.now.mean == pytest.approx(0.18, abs=0.01)
    assert [left.entry.id for left in one.ledger.left_out] == [wrong]
    assert "most likely a wrong reading" in one.ledger.left_out[0].why
    assert all(entry.id != wrong for entry in one.ledger.entries)


def test_what_a_second_reading_confirms_was_something_unlogged(keeper):
    """0.30 twice after four days of 0.18: the level is 0.30, and it is said that something moved it."""
    steady(keeper, 4)
    keeper.read(4.2, "copper", 0.30, METER)
    keeper.read(4.4, "copper", 0.30, METER)
    one = found(4.5, since=0)
    assert not one.is_newest_surprising
    assert one.now.mean == pytest.approx(0.30, abs=0.02)
    assert one.ledger.left_out == ()
    assert any(
        words.startswith("Something nobody wrote down seems to have moved copper") for words in one.ledger.assumed
    )


def test_the_day_of_something_unlogged_is_the_keepers_day(keeper):
    """Read at 21:36 in Greenwich on 5 March it was the 6th already where the household lives, eleven hours on."""
    keeper.write(-0.5, places.Household(name="Harbour Row", zone="Pacific/Noumea"))
    steady(keeper, 4)
    keeper.read(4.4, "copper", 0.30, METER)
    keeper.read(4.5, "copper", 0.30, METER)
    (said,) = [one for one in found(4.6, since=0).ledger.assumed if "nobody wrote down" in one]
    assert said.endswith("before the reading of 6 March.")


def test_sound_readings_are_all_kept(keeper):
    """Readings that wander within the meter's own error settle nothing."""
    keeper.dose(0, 14.4)
    for day, value in enumerate((0.19, 0.17, 0.20, 0.16, 0.18, 0.15, 0.19, 0.17), start=1):
        keeper.read(day - 0.1, "copper", value, METER)
        keeper.dose(day - 0.05, 0.6)
    one = found(8, since=0)
    assert len(one.ledger.case.readings) == 8
    assert one.ledger.left_out == ()
    assert not any("nobody wrote down" in words for words in one.ledger.assumed)
