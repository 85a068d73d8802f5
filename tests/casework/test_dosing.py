"""Advice on doses: arithmetic a keeper can check by hand, and every reason to give none."""

import pytest
from tests.casework.keeping import Keeper, at

from pratique.casework.courses import course_sheet
from pratique.ledger.household import load_household
from pratique.ledger.kinds import places, water

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


def test_the_dose_brings_the_level_to_the_middle_of_the_band(keeper):
    """80 L at 0.15 mg/L to 0.175 mg/L takes 2.0 mg, which is 2.0 mL of a 1 mg/mL stock: mass balance."""
    keeper.dose(0.1, 12.0)
    keeper.read(2, "copper", 0.15, "copper_photometer")
    found = advice(2.1)
    assert found.title == "Add 2.0\u2009mL of copper stock"
    assert found.step is not None
    assert ("amount", "2.0") in found.step.answers
    assert found.cautions


def test_a_ramp_never_takes_more_than_the_daily_step(keeper):
    """From nothing, 0.05 mg/L a day in 80 L is 4.0 mL: the step is common practice, no source."""
    keeper.read(0.05, "copper", 0.0, "copper_photometer")
    assert advice(0.1).title == "Add 4.0\u2009mL of copper stock"


def test_inside_the_band_nothing_is_added(keeper):
    """At 0.18 mg/L the middle of the band is already passed."""
    keeper.dose(0.1, 14.4)
    keeper.read(2, "copper", 0.18, "copper_photometer")
    assert advice(2.1).title == "Add no copper now"


def test_above_the_hard_upper_limit_no_dose_is_advised_but_a_change(keeper):
    """0.30 mg/L: advice turns to water."""
    keeper.dose(0.1, 24.0)
    keeper.read(2, "copper", 0.30, "copper_photometer")
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


def test_rounding_to_the_syringe_never_overshoots(keeper):
    """0.151 mg/L to 0.175 in 80 L is 1.92 mL: a syringe read to 0.1 mL gives 1.9."""
    keeper.dose(0.1, 12.08)
    keeper.write(2, water.Reading(system="lazaret", constituent="copper", value=0.151, method="copper_photometer"))
    assert advice(2.1).title == "Add 1.9\u2009mL of copper stock"


def test_a_method_that_cannot_read_this_form_withholds_the_dose(keeper):
    """A chart for total copper says nothing of free ionic copper."""
    keeper.dose(0.1, 12.0)
    keeper.read(2, "copper", 0.25, "copper_total_colour_chart")
    found = advice(2.1)
    assert found.is_withheld
    assert "does not read ionic copper" in found.words
