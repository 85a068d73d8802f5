"""Stock solutions: published recipes, the keeper's own with its error, and when a dose is too small to weigh."""

import pytest

from pratique.science.chemistry.dilution import stock_ml
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.doses import grams_with_error, rise_with_error, stock_ml_with_error
from pratique.science.chemistry.reagents import salt
from pratique.science.chemistry.stock_solutions import (
    can_be_weighed,
    citrated_copper_strength_mg_per_ml,
    grams_for_stock,
    stock_for,
    stock_made,
    weighing_plus_minus_g,
)
from pratique.science.chemistry.uncertainty import Uncertain

COPPER = salt("CuSO4·5H2O")


def test_a_copper_stock_takes_3_93_g_a_litre():
    """1 mg of copper in a mL: 3.93 g of the pentahydrate in a litre (atomic masses; Noga from memory)."""
    assert grams_for_stock(COPPER, "Cu", strength_mg_per_ml=1.0, volume_ml=1000.0) == pytest.approx(3.93, abs=0.005)


def test_the_citrated_stock_is_a_little_above_one():
    """3 g in 750 mL with citric acid: 1.018 mg/mL, printed as 1 (Noga from memory, recomputed)."""
    assert citrated_copper_strength_mg_per_ml(COPPER) == pytest.approx(1.018, abs=0.0005)


def test_a_stock_as_it_was_made_knows_its_error():
    """3.9 ± 0.1 g in 1000 ± 20 mL: 0.993 mg/mL; 2.6 % and 2 % make 3.2 % (JCGM 100:2008, by hand)."""
    made = stock_made(COPPER, "Cu", salt_g=Uncertain(3.9, 0.1), volume_ml=Uncertain(1000.0, 20.0))
    assert made.value == pytest.approx(0.9926, abs=5e-4)
    assert made.plus_minus / made.value == pytest.approx(0.0325, abs=2e-4)
    assert made.dominated_by == "salt_g"


def test_an_old_powder_can_dominate_a_stock():
    """A purity of 90 ± 10 % is worse than any kitchen balance."""
    made = stock_made(
        COPPER, "Cu", salt_g=Uncertain(3.9, 0.1), volume_ml=Uncertain(1000.0, 20.0), purity=Uncertain(0.9, 0.1)
    )
    assert made.dominated_by == "purity"


def test_a_balance_of_a_tenth_is_off_by_eight_hundredths():
    """Two roundings to 0.1 g: 1.96 · 0.1 · √(2/12) = 0.080 g (JCGM 100:2008, 4.3.7)."""
    assert weighing_plus_minus_g(0.1) == pytest.approx(0.0800, abs=1e-4)


def test_a_copper_dose_is_too_small_for_a_kitchen_balance():
    """78.6 mg cannot be weighed in tenths of a gram, and not well in hundredths; milligrams can."""
    assert [can_be_weighed(0.0786, balance_step_g=step) for step in (0.1, 0.01, 0.001)] == [False, False, True]


@pytest.mark.parametrize("dose_mg", [0.05, 1.0, 13.1, 78.6, 900.0])
@pytest.mark.parametrize("step_g", [0.001, 0.01, 0.1, 1.0])
def test_a_stock_is_offered_that_carries_the_dose(dose_mg, step_g):
    """What is weighed can be weighed, what is measured can be measured, and together they are the dose."""
    offer = stock_for(dose_mg, balance_step_g=step_g)
    assert can_be_weighed(offer.salt_g, balance_step_g=step_g)
    assert offer.dose_ml >= 1.0 - 1e-9
    last_mg_per_ml = offer.salt_g * 1000 / offer.bottle_ml / 10**offer.dilutions
    assert offer.dose_ml * last_mg_per_ml == pytest.approx(dose_mg)


def test_the_stock_for_a_hundred_litres_of_copper():
    """With tenths of a gram: 2 g in 100 mL hold 20 mg of the salt a mL, and 3.93 mL carry 78.6 mg (by hand)."""
    offer = stock_for(78.6, balance_step_g=0.1)
    assert (offer.salt_g, offer.bottle_ml, offer.dilutions) == (pytest.approx(2.0), 100.0, 0)
    assert offer.dose_ml == pytest.approx(3.93)


def test_a_trace_is_reached_by_diluting_the_stock_again():
    """0.05 mg from a balance that shows whole grams: a tenth, again and again, until a mL can be measured."""
    offer = stock_for(0.05, balance_step_g=1.0)
    assert offer.dilutions == 3
    assert offer.dose_ml == pytest.approx(2.5)


def test_a_dose_carries_the_error_of_the_net_volume():
    """0.20 mg/L into 100 ± 10 L: 78.6 ± 7.9 mg, all of it from the volume (by hand)."""
    dose = grams_with_error(COPPER, "Cu", raise_by=Uncertain(0.20), volume_l=Uncertain(100.0, 10.0))
    assert 1000 * dose.value == pytest.approx(78.6, abs=0.05)
    assert 1000 * dose.plus_minus == pytest.approx(7.86, abs=0.05)
    assert dose.dominated_by == "volume_l"


def test_a_weighed_dose_raises_more_in_less_water():
    """78.6 ± 5 mg into 100 ± 10 L: 0.200 ± 0.024 mg/L; 6.4 % and 10 % make 11.9 % (by hand)."""
    rise = rise_with_error(COPPER, "Cu", grams=Uncertain(0.0786, 0.005), volume_l=Uncertain(100.0, 10.0))
    assert rise.value == pytest.approx(0.2000, abs=1e-4)
    assert rise.plus_minus == pytest.approx(0.0238, abs=2e-4)


def test_a_dose_of_stock_carries_the_error_of_the_stock():
    """0.20 mg/L into 100 L of a 1.00 ± 0.05 mg/mL stock: 20 ± 1 mL (by hand)."""
    dose = stock_ml_with_error(Uncertain(0.20), volume_l=Uncertain(100.0), strength_mg_per_ml=Uncertain(1.0, 0.05))
    assert (dose.value, dose.plus_minus) == (pytest.approx(20.0), pytest.approx(1.0, rel=1e-4))
    assert dose.value == stock_ml(0.20 * 100.0, 1.0)


def test_nonsense_is_refused():
    """No strength, mass, volume or dose below zero."""
    with pytest.raises(DomainError, match="The strength must be at least 0"):
        grams_for_stock(COPPER, "Cu", strength_mg_per_ml=-1.0, volume_ml=1000.0)
    with pytest.raises(DomainError, match="Purity must lie above 0"):
        grams_for_stock(COPPER, "Cu", strength_mg_per_ml=1.0, volume_ml=1000.0, purity=0.0)
    with pytest.raises(DomainError, match="A stock needs a volume above 0"):
        stock_made(COPPER, "Cu", salt_g=Uncertain(1.0), volume_ml=Uncertain(0.0))
    with pytest.raises(DomainError, match="above zero"):
        stock_for(0.0, balance_step_g=0.1)
    with pytest.raises(DomainError, match="The step of a balance must be at least 0"):
        weighing_plus_minus_g(-0.1)
