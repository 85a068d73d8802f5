"""Stock solutions: published recipes, the keeper's own with its error, and when a dose is too small to weigh."""

import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.reagents import salt
from pratique.science.chemistry.stock_solutions import (
    can_be_weighed,
    grams_for_stock,
    solubility_g_per_l,
    stock_for,
    stock_strength_per_ml,
    weighing_plus_minus_g,
)

COPPER = salt("CuSO4·5H2O")


def test_a_copper_stock_takes_3_93_g_a_litre():
    """1 mg of copper in a mL: 3.93 g of the pentahydrate in a litre (atomic masses; Noga from memory)."""
    assert grams_for_stock(COPPER, "Cu", strength_mg_per_ml=1.0, volume_ml=1000.0) == pytest.approx(3.93, abs=0.005)


def test_a_stock_as_it_was_made():
    """3.9 g in 1000 mL hold 0.9926 mg of copper a mL, 0.893 of a powder of 90 % (atomic masses, by hand)."""
    assert stock_strength_per_ml(COPPER, "Cu", salt_g=3.9, volume_ml=1000.0) == pytest.approx(0.9926, abs=5e-4)
    assert stock_strength_per_ml(COPPER, "Cu", salt_g=3.9, volume_ml=1000.0, purity=0.9) == pytest.approx(
        0.893, abs=1e-3
    )


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


def test_a_stock_is_no_stronger_than_dissolves():
    """Bicarbonate: 96 g/L (recalled from handbooks). 20 g go into 250 mL, not into the 100 mL that would serve."""
    soda = salt("NaHCO3")
    assert stock_for(900.0, balance_step_g=1.0).bottle_ml == 100.0
    assert stock_for(900.0, balance_step_g=1.0, dissolves_g_per_l=solubility_g_per_l(soda)).bottle_ml == 250.0


def test_what_does_not_dissolve_is_no_stock():
    """Limewater holds about 1.5 g/L (recalled): 20 g in a litre would be mud."""
    with pytest.raises(DomainError, match="do not dissolve in a litre"):
        stock_for(900.0, balance_step_g=1.0, dissolves_g_per_l=solubility_g_per_l(salt("Ca(OH)2")))


def test_water_in_a_salt_counts_with_what_dissolves():
    """200 g of copper sulphate without water are 313 g of the pentahydrate: 249.68 over 159.60 (atomic masses)."""
    assert solubility_g_per_l(COPPER) == pytest.approx(312.9, abs=0.3)
    assert solubility_g_per_l(salt("FeCl3.6H2O")) is None


def test_nonsense_is_refused():
    """No strength, mass, volume or dose below zero."""
    with pytest.raises(DomainError, match="The strength must be at least 0"):
        grams_for_stock(COPPER, "Cu", strength_mg_per_ml=-1.0, volume_ml=1000.0)
    with pytest.raises(DomainError, match="Purity must lie above 0"):
        grams_for_stock(COPPER, "Cu", strength_mg_per_ml=1.0, volume_ml=1000.0, purity=0.0)
    with pytest.raises(DomainError, match="A stock needs a volume above 0"):
        stock_strength_per_ml(COPPER, "Cu", salt_g=1.0, volume_ml=0.0)
    with pytest.raises(DomainError, match="above zero"):
        stock_for(0.0, balance_step_g=0.1)
    with pytest.raises(DomainError, match="The step of a balance must be at least 0"):
        weighing_plus_minus_g(-0.1)
