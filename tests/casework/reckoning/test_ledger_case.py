"""A case out of the ledger: where it starts and ends, and what each entry becomes in it."""

from datetime import timedelta

import pytest
from tests.casework.keeping import NOON, Keeper, at
from tests.casework.reckoning.asking import found, told

from pratique.casework.facts import Facts
from pratique.casework.reckoning.memory import content_of
from pratique.casework.reckoning.reckoned import reckoned
from pratique.knowledge import CopperForm
from pratique.ledger.household import load_household
from pratique.ledger.kinds import places, water
from pratique.science.estimation.case import Change, Dose, Refill, Unlogged
from pratique.science.estimation.forecast import ahead_of
from pratique.science.estimation.reading import Observed

pytestmark = pytest.mark.django_db

METER, CHART = "copper_photometer", "copper_colour_chart"


@pytest.fixture
def keeper() -> Keeper:
    """Harbour Row with Lazaret, 80 L net ± 4."""
    keeper = Keeper()
    keeper.quarantine()
    return keeper


def change(keeper: Keeper, day: float, litres: float | None, **more) -> None:
    """Change water in Lazaret, or empty it."""
    keeper.write(day, water.WaterChange(system="lazaret", volume_l=litres, emptied=litres is None, **more))


def test_nothing_told_is_no_case(keeper):
    """A water change alone tells of no copper and of no alkalinity."""
    change(keeper, 0, 10.0)
    assert found(1) is None
    assert found(1, "alkalinity") is None


def test_a_case_starts_at_the_last_emptying_with_what_the_new_water_holds(keeper):
    """What was there before counts no more; clean water holds next to none."""
    keeper.dose(-3, 16.0)
    keeper.read(-2, "copper", 0.2, METER)
    change(keeper, -1, None)
    keeper.dose(0.5, 16.0)
    case = told(2, since=0)
    assert case.start == at(-1)
    assert (case.case.initial.mean, case.case.initial.sd) == (0.0, 0.005)
    assert [type(one) for one in case.case.events] == [Refill, Dose]


def test_else_it_starts_just_before_the_last_reading_knowing_nothing(keeper):
    """The reading tells the level then; before it anything may have been there."""
    keeper.read(-5, "copper", 0.1, METER)
    keeper.read(-2, "copper", 0.2, METER)
    keeper.read(1, "copper", 0.2, METER)
    case = told(2, since=0)
    assert timedelta(0) < at(-2) - case.start <= timedelta(hours=2)
    assert len(case.case.readings) == 2
    assert case.case.initial.sd > 0.25, "wider than the band it is held in"


def test_else_a_day_before_the_first_thing_told(keeper):
    """A dose into water nobody read."""
    keeper.dose(0, 16.0)
    assert timedelta(days=1) <= NOON - told(1).start <= timedelta(days=1, hours=1)


def test_an_emptying_in_the_middle_is_a_refill(keeper):
    """Without a moment to start at, what came before the emptying still teaches the volume."""
    keeper.dose(0, 16.0)
    keeper.read(1, "copper", 0.2, METER)
    change(keeper, 2, None, incoming_mg_per_l={"copper": 0.1})
    case = told(3).case
    assert [type(one) for one in case.events] == [Dose, Refill]
    assert case.events[1].source.sd_per_day < case.source.sd_per_day
    assert case.events[1].level == 0.1


@pytest.mark.parametrize("since", [None, 0.5, 8.0])
def test_an_emptied_tank_nobody_doses_stays_clean_from_wherever_it_is_looked_at(keeper, since):
    """A week after, and three, it is not told as rising to the 0.15 of a treatment, nor to half of that."""
    keeper.dose(-3, 16.0)
    keeper.read(-2, "copper", 0.2, METER)
    change(keeper, 0, None)
    week, three = found(8, since=since), found(21, since=since)
    assert week is not None
    assert three is not None
    assert week.now.high < 0.025
    assert three.now.high < 0.075


@pytest.mark.parametrize("since", [None, 0.5])
def test_the_days_ahead_of_an_emptied_tank_nobody_doses_are_as_clean(keeper, since):
    """What opens the volume for what may be added is no dose: a week on, it is no nearer a treatment."""
    change(keeper, 0, None)
    one = found(1, since=since)
    assert one is not None
    ahead = ahead_of(one.running, until_day=8.0)
    assert ahead.quantiles()[-1, -1] < 0.03
    assert len(set(one.running.volumes)) > 1


def test_a_change_of_more_than_the_tank_holds_is_a_refill_too(keeper):
    """Whoever runs 90 L through 80 L has replaced all of it; 20 L stay a change."""
    keeper.dose(0, 16.0)
    change(keeper, 1, 90.0)
    change(keeper, 2, 20.0)
    assert [type(one) for one in told(3).case.events] == [Dose, Refill, Change]


def test_pages_of_one_hour_share_one_reckoning(keeper):
    """The case ends on the full hour: what it says at 12:05 and at 12:55 is the same, at 13:05 another."""
    keeper.read(-0.9, "copper", 0.2, METER)
    early, late, later = (told((60 * 24 + minute) / (60 * 24)) for minute in (5, 55, 65))
    assert content_of(early.case) == content_of(late.case) != content_of(later.case)


def test_what_was_written_this_hour_counts_at_once(keeper):
    """A reading of 12:20 stands in the case of 12:30."""
    keeper.read(-1, "copper", 0.2, METER)
    keeper.read(20 / 1440, "copper", 0.3, METER)
    case = told(30 / 1440)
    assert (len(case.case.readings), case.end) == (2, at(20 / 1440))


def test_days_and_moments_turn_into_each_other(keeper):
    """A moment comes back as it was, to the microsecond."""
    keeper.read(0, "copper", 0.2, METER)
    case = told(3)
    assert case.moment_of(case.day_of(at(1.25))) == at(1.25)


def test_a_colour_between_marks_is_an_interval(keeper):
    """0.2 on a chart of 0.1, 0.2 and 0.3 lies nearest to 0.15 up to 0.25; two marks named are taken as they are."""
    keeper.read(0, "copper", 0.2, CHART)
    keeper.write(1, water.Reading(system="lazaret", constituent="copper", low=0.1, high=0.2, method=CHART))
    first, second = (one.observed for one in told(2).case.readings)
    assert (first.low, first.high) == pytest.approx((0.15, 0.25))
    assert second == Observed(low=0.1, high=0.2)


def test_a_reading_under_the_limit_lies_between_none_and_the_limit(keeper):
    """Whether written as below 0.02 or as the 0.01 the meter showed; above its reach it is only a bound."""
    keeper.write(0, water.Reading(system="lazaret", constituent="copper", below=0.02, method=METER))
    keeper.read(1, "copper", 0.01, METER)
    keeper.write(2, water.Reading(system="lazaret", constituent="copper", above=5.0, method=METER))
    low, shown, high = (one.observed for one in told(3).case.readings)
    assert low == shown == Observed(low=0.0, high=0.02)
    assert high == Observed(above=5.0)


def test_a_reading_without_a_method_takes_the_crudest_usual_error_and_says_so(keeper):
    """Nothing looks surer than it is."""
    keeper.read(0, "copper", 0.2, METER)
    assert not any("crudest" in one for one in told(1).assumed)
    keeper.read(0.5, "copper", 0.2, None)
    case = told(1)
    assert case.case.methods["method not named"].absolute_sd > case.case.methods[METER].absolute_sd
    assert any("crudest usual error for copper" in one for one in case.assumed)


def test_a_method_of_ones_own_without_any_error_is_not_taken_at_its_word(keeper):
    """It has no error model; the assumed one stands in, and that is said."""
    keeper.write(-1, places.Method(key="by-eye", name="by eye", constituents=("copper",)))
    keeper.read(0, "copper", 0.2, "by-eye")
    case = told(1)
    assert [method.absolute_sd > 0.0 for method in case.case.methods.values()] == [True]
    assert any("crudest" in one for one in case.assumed)


def test_an_unknown_volume_is_wide_and_says_so(keeper):
    """Something about the gross 90 L less sand and rock; the level is reckoned from its readings all the same."""
    keeper.write(-1, places.System(key="lazaret", name="Lazaret", role="quarantine", gross_volume_l=90))
    keeper.read(0, "copper", 0.2, METER)
    one = found(0.5)
    assert one is not None
    assert one.ledger.case.volume.is_lognormal
    assert 60.0 < one.ledger.case.volume.mean_l < 90.0
    assert (one.ledger.is_volume_known, one.now is not None) == (False, True)
    assert any("net volume is not known" in words for words in one.ledger.assumed)


@pytest.mark.parametrize(
    ("substance", "more"), [("copper_ionic", {"amount_ml": 5.0}), ("ammonia_binder", {"amount_ml": 5.0})]
)
def test_what_moves_copper_by_nobody_knows_how_much_opens_the_level(keeper, substance, more):
    """A dose of unknown amount, or of what binds copper: the level may be far off until it is read again."""
    keeper.read(0, "copper", 0.2, METER)
    keeper.write(1, water.Dose(system="lazaret", substance=substance, **more))
    assert [type(one) for one in told(1.5).case.events] == [Unlogged]
    before, after = found(0.9), found(1.5)
    assert before is not None
    assert after is not None
    assert after.now.sd > 5.0 * before.now.sd


def test_after_another_form_nothing_is_known(keeper):
    """Chelated copper put into ionic: no reading tells the two apart, so the case ends there and says why."""
    keeper.read(0, "copper", 0.2, METER)
    keeper.write(1, water.Dose(system="lazaret", substance="copper_chelated", amount_mg=80.0))
    keeper.read(2, "copper", 0.9, METER)
    one = found(3)
    assert one is not None
    assert (one.ledger.end, one.now) == (at(1), None)
    assert "another form of copper" in one.ledger.ends_early
    assert len(one.ledger.left_out) == 2
    assert one.level_at(at(0.5)) is not None


def test_once_emptied_it_is_known_again(keeper):
    """Readings in the mixed water stay out, with the reason; those in the new water count."""
    keeper.read(0, "copper", 0.2, METER)
    keeper.write(1, water.Dose(system="lazaret", substance="copper_chelated", amount_mg=80.0))
    mixed = keeper.read(2, "copper", 0.9, METER)
    change(keeper, 3, None)
    keeper.read(4, "copper", 0.02, METER)
    one = found(5)
    assert one is not None
    assert [left.entry.id for left in one.ledger.left_out] == [mixed]
    assert one.now.high < 0.1


def test_a_method_that_cannot_read_the_form_is_left_out(keeper):
    """A photometer for free copper says nothing of a chelated course; the chart for total copper does."""
    keeper.read(0, "copper", 2.0, "copper_total_colour_chart")
    keeper.read(0.1, "copper", 0.2, METER)
    case = told(1, form=CopperForm.CHELATED)
    assert len(case.case.readings) == 1
    assert "does not read chelated copper" in case.left_out[0].why


def test_an_entry_left_out_on_purpose_never_was(keeper):
    """What would be without one dose is asked before it is judged."""
    keeper.read(0, "copper", 0.2, METER)
    dose = keeper.dose(0.1, 16.0)
    facts = Facts(load_household(), at(1))
    without = reckoned(facts, facts.household.systems["lazaret"], "copper", without={dose})
    assert without is not None
    assert without.ledger.case.events == ()
