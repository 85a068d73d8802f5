"""Advice on doses: arithmetic a keeper can check by hand, and every reason to give none."""

import re

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.courses import course_sheet
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, places, water

pytestmark = pytest.mark.django_db


def advice(day: float):
    """Return the advice on the course page at a moment."""
    found = course_sheet(load_household(), "copper", now=at(day)).advice
    assert found is not None
    return found


@pytest.fixture
def keeper() -> Keeper:
    """A household with Lazaret, 80 L net, and a copper course begun at noon of 1 March."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.course()
    return keeper


def milligrams_in(found) -> float:
    """Return the mg of a 1 mg/mL stock that a title tells to add."""
    told = re.fullmatch("Add ([0-9.]+)\u202fmL of copper stock", found.title)
    assert told is not None, found.title
    return float(told[1])


def levels_in(found) -> tuple[float, float]:
    """Return the level before and after what is advised, mg/L."""
    told = re.search("([0-9.]+) ± [0-9.]+\u202fmg/L to ([0-9.]+) ±", found.words)
    assert told is not None, found.words
    return float(told[1]), float(told[2])


def test_the_dose_brings_the_level_into_the_target_and_no_further(keeper):
    """From 0.15 mg/L in 80 L: what is added over the water it goes into is the rise, by the conservation of mass."""
    keeper.dose(0.1, 12.0)
    keeper.read(2, "copper", 0.15, "copper_photometer")
    found = advice(2.1)
    before, after = levels_in(found)
    assert after - before == pytest.approx(milligrams_in(found) / 80.0, abs=0.011)
    assert 0.15 < after < 0.20
    assert found.step is not None
    assert ("amount", f"{milligrams_in(found):.1f}") in found.step.answers
    assert found.cautions


def test_the_advice_says_what_the_day_is_like_with_the_dose_and_without(keeper):
    """At the foot of the band, with 4 % lost a day, half the time would be under it: the dose must do better."""
    keeper.dose(0.1, 12.0)
    keeper.read(2, "copper", 0.15, "copper_photometer")
    found = advice(2.1)
    told = re.search(
        "for (over )?([0-9]+)\u202f% of the time until this hour tomorrow, ([0-9]+)\u202f% without", found.words
    )
    assert told is not None, found.words
    assert int(told[2]) > 90
    assert int(told[3]) < 60
    assert re.search("Read again (today|tomorrow) at [0-9]{2}:[0-9]{2}", found.words)
    assert any(re.search("Net volume 80 ± [0-9]\u202fL", one.words) for one in found.reasons)


def test_a_ramp_never_takes_more_than_the_daily_step(keeper):
    """From nothing, 0.05 mg/L a day in 80 L is 4.0 mL: the step is common practice, no source."""
    keeper.read(0.05, "copper", 0.0, "copper_photometer")
    assert advice(0.1).title == "Add 4.0\u202fmL of copper stock"


def test_at_the_top_of_the_target_nothing_is_added(keeper):
    """At 0.20 mg/L there is no room in the target."""
    keeper.dose(0.1, 16.0)
    keeper.read(2, "copper", 0.20, "copper_photometer")
    found = advice(2.1)
    assert found.title == "Add no copper now"
    assert not found.is_withheld


def test_above_the_hard_upper_limit_a_change_is_advised_and_no_dose(keeper):
    """0.30 mg/L: clean water thins it by the part that is changed, by the conservation of mass."""
    keeper.dose(0.1, 24.0)
    keeper.read(2, "copper", 0.30, "copper_photometer")
    found = advice(2.1)
    told = re.fullmatch("Change ([0-9]+)\u202fL of water", found.title)
    assert told is not None, found.title
    before, after = levels_in(found)
    assert after == pytest.approx(before * (1 - float(told[1]) / 80.0), abs=0.011)
    assert 0.15 <= after <= 0.20
    assert "Watch how they breathe" in found.words
    assert found.step is not None
    assert found.step.form == "water-change"
    assert ("volume", told[1]) in found.step.answers


def test_above_the_limit_without_a_fresh_reading_that_fits_only_water_is_advised(keeper):
    """The meter says 0.40 out of nothing: add nothing, change water, and read it again."""
    keeper.dose(0.1, 14.4)
    keeper.read(1, "copper", 0.18, "copper_photometer")
    keeper.read(2, "copper", 0.40, "copper_photometer")
    found = advice(2.1)
    assert found.is_withheld
    assert "add nothing, change water" in found.words


def test_an_old_reading_withholds_the_dose(keeper):
    """Two days without a reading: read again first."""
    keeper.dose(0.1, 12.0)
    keeper.read(1, "copper", 0.15, "copper_photometer")
    found = advice(3.2)
    assert found.is_withheld
    assert "old" in found.words


def test_a_surprising_reading_withholds_the_dose_until_it_is_repeated(keeper):
    """The reckoning says 0.18, the meter says 0.08: either the reading or the ledger is wrong."""
    keeper.dose(0.1, 14.4)
    keeper.read(1, "copper", 0.18, "copper_photometer")
    keeper.read(2, "copper", 0.08, "copper_photometer")
    assert "does not fit" in advice(2.1).words
    keeper.read(2.2, "copper", 0.08, "copper_photometer")
    assert not advice(2.3).is_withheld


def test_a_stock_of_another_form_withholds_the_dose(keeper):
    """Ionic, chelated and amine copper never share a band, a stock or a method."""
    keeper.write(1, places.Stock(key="stock", name="copper stock", substance="copper_chelated", strength_mg_per_ml=1.0))
    keeper.read(2, "copper", 0.15, "copper_photometer")
    found = advice(2.1)
    assert found.is_withheld
    assert "never share" in found.words


def test_an_unknown_net_volume_withholds_the_dose():
    """Recording goes on, advice does not."""
    keeper = Keeper()
    keeper.quarantine(net_volume_l=None)
    keeper.course()
    keeper.read(1, "copper", 0.15, "copper_photometer")
    found = advice(1.1)
    assert found.is_withheld
    assert "net volume is not known" in found.words


@pytest.mark.parametrize("level", [0.151, 0.157, 0.163])
def test_a_dose_is_whole_steps_of_the_syringe(keeper, level):
    """A household syringe is read to 0.1 mL (common practice); what is told is what is filled into the form."""
    keeper.dose(0.1, level * 80)
    keeper.write(2, water.Reading(system="lazaret", constituent="copper", value=level, method="copper_photometer"))
    found = advice(2.1)
    tenths = milligrams_in(found) * 10
    assert tenths == pytest.approx(round(tenths), abs=1e-9)
    assert milligrams_in(found) > 0


def test_a_method_that_cannot_read_this_form_withholds_the_dose(keeper):
    """A chart for total copper says nothing of free ionic copper."""
    keeper.dose(0.1, 12.0)
    keeper.read(2, "copper", 0.25, "copper_total_colour_chart")
    found = advice(2.1)
    assert found.is_withheld
    assert "does not read ionic copper" in found.words


def test_the_daily_step_is_spent_by_the_doses_of_the_last_day(keeper):
    """Following the page all day never takes more than 0.05 mg/L from nothing: the step is common practice."""
    keeper.read(0.05, "copper", 0.0, "copper_photometer")
    assert advice(0.06).title == "Add 4.0\u202fmL of copper stock"
    keeper.dose(0.06, 4.0)
    keeper.read(0.08, "copper", 0.05, "copper_photometer")
    found = advice(0.09)
    assert found.is_withheld
    assert found.title == "No more today"
    assert "Not before tomorrow 13:26" in found.words
    keeper.read(1.05, "copper", 0.05, "copper_photometer")
    assert milligrams_in(advice(1.07)) == pytest.approx(4.0, abs=0.11)


def test_a_part_of_the_step_that_is_left_may_be_added(keeper):
    """2.0 of 4.0 mL went in this morning: 2.0 are left."""
    keeper.read(0.05, "copper", 0.0, "copper_photometer")
    keeper.dose(0.06, 2.0)
    found = advice(0.1)
    assert milligrams_in(found) == pytest.approx(2.0, abs=0.11)
    assert "More would rise faster than the daily step allows." in found.words


def test_a_make_up_of_changed_water_does_not_spend_the_step(keeper):
    """20 of 80 L changed and 2.8 mg poured in with the new water: nothing has risen, all of 0.05 mg/L is left.

    Were the 2.8 mg counted, 0.015 mg/L would be left: 1.2 mg in 80 L.
    """
    keeper.read(0.05, "copper", 0.14, "copper_photometer")
    keeper.write(0.06, water.WaterChange(system="lazaret", volume_l=20))
    keeper.dose(0.07, 2.8)
    keeper.read(0.1, "copper", 0.14, "copper_photometer")
    assert 1.2 < milligrams_in(advice(0.2)) <= 4.0


def test_a_dose_just_before_the_course_spends_the_step_too(keeper):
    """The animals do not know when the course began."""
    keeper.read(-0.3, "copper", 0.0, "copper_photometer")
    keeper.dose(-0.2, 4.0)
    keeper.read(-0.1, "copper", 0.05, "copper_photometer")
    assert advice(0.1).title == "No more today"


def test_every_form_of_copper_has_its_own_daily_step():
    """Chelated copper from nothing: 0.5 mg/L a day in 80 L is 40 mL of a 1 mg/mL stock; the step is our own."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.write(
        -1, places.Stock(key="stock", name="copper stock", substance="copper_chelated", strength_mg_per_ml=1.0)
    )
    keeper.course(substance="copper_chelated", band=(1.5, 2.5, 3.0))
    keeper.read(0.05, "copper", 0.0, "copper_total_colour_chart")
    found = advice(0.1)
    assert found.title == "Add 40.0\u202fmL of copper stock"
    assert any("0.5 mg/L a day" in one.words for one in found.reasons)


def test_a_stock_too_strong_for_the_syringe_is_to_be_thinned(keeper):
    """4 mg out of 100 mg/mL are 0.04 mL: less than a household syringe can measure (common practice)."""
    keeper.write(0, places.Stock(key="stock", name="copper stock", substance="copper_ionic", strength_mg_per_ml=100.0))
    keeper.read(0.05, "copper", 0.0, "copper_photometer")
    found = advice(0.1)
    assert found.is_withheld
    assert "thin the stock" in found.words


def test_an_uncounted_dose_withholds_the_next(keeper):
    """3 mL of a bottle nobody named: how much copper that was is not known, today and until it is read."""
    keeper.read(0.5, "copper", 0.10, "copper_photometer")
    keeper.write(0.6, water.Dose(system="lazaret", substance="copper_ionic", amount_ml=3.0))
    assert "is not known" in advice(0.7).words
    keeper.read(0.8, "copper", 0.12, "copper_photometer")
    assert advice(0.9).is_withheld
    keeper.read(1.7, "copper", 0.12, "copper_photometer")
    assert not advice(1.8).is_withheld


def test_a_binder_withholds_the_dose_until_copper_is_read(keeper):
    """What a binder left of the copper, only a reading tells: common practice, no source."""
    keeper.read(0.5, "copper", 0.15, "copper_photometer")
    keeper.write(0.6, water.Dose(system="lazaret", substance="ammonia_binder", amount_ml=3.0))
    assert "may bind copper" in advice(0.7).words
    keeper.read(0.8, "copper", 0.15, "copper_photometer")
    assert not advice(0.9).is_withheld


def test_another_form_in_the_water_withholds_every_dose(keeper):
    """Chelated copper counts for nothing in an ionic course, and no reading after it does."""
    keeper.read(0.5, "copper", 0.10, "copper_photometer")
    keeper.write(0.6, water.Dose(system="lazaret", substance="copper_chelated", amount_mg=80.0))
    keeper.read(0.8, "copper", 0.12, "copper_photometer")
    assert "two forms of copper are mixed" in advice(0.9).words
    keeper.write(1, water.WaterChange(system="lazaret", emptied=True))
    keeper.read(1.1, "copper", 0.0, "copper_photometer")
    assert not advice(1.2).is_withheld


def test_a_shrimp_in_the_water_withholds_the_dose(keeper):
    """Copper kills it: Yanong (recalled), Wynne, LaDouceur & Ryan 2015."""
    keeper.read(0.5, "copper", 0.10, "copper_photometer")
    assert not advice(0.6).is_withheld
    keeper.write(0.7, animals.Arrival(key="shrimp", name="Cleaner shrimp", species="cleaner_shrimp", system="lazaret"))
    found = advice(0.8)
    assert found.is_withheld
    assert "holds Cleaner shrimp" in found.words


def test_a_course_of_something_else_is_not_reckoned():
    """Praziquantel with copper read below 0.02: no millilitre of anything is advised."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.write(-1, places.Stock(key="stock", name="worm stock", substance="praziquantel", strength_mg_per_ml=10.0))
    keeper.course(substance="praziquantel", band=(2.0, 2.5, 3.0))
    keeper.write(0.1, water.Reading(system="lazaret", constituent="copper", below=0.02, method="copper_photometer"))
    sheet = course_sheet(load_household(), "copper", now=at(0.2))
    assert sheet.heading == "Copper: not reckoned"
    assert (sheet.chart, sheet.days, sheet.days_credited) == (None, (), 0)
    assert sheet.advice is not None
    assert sheet.advice.is_withheld
    assert "Only copper is reckoned here, not praziquantel" in sheet.advice.words
    assert sheet.advice.cautions
