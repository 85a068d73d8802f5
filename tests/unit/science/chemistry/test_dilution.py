"""What dilution refuses."""

import pytest

from pratique.science.chemistry.dilution import (
    after_change,
    after_n_changes,
    change_fraction_to_reach,
    changes_to_fall_below,
    dose_mg_to_reach,
    make_up_mg,
    stock_ml,
)
from pratique.science.chemistry.domain import DomainError


@pytest.mark.parametrize("fraction", [-0.1, 1.1])
def test_a_fraction_lies_between_nothing_and_all(fraction):
    """More than all cannot be changed at once."""
    with pytest.raises(DomainError, match="must lie within 0 to 1"):
        after_change(0.2, fraction)


def test_dirty_water_never_brings_a_level_down():
    """Changing with water at the limit itself is refused with a sentence."""
    with pytest.raises(DomainError, match="No number of changes"):
        changes_to_fall_below(0.2, 0.3, limit=0.01, incoming=0.01)


def test_a_level_already_low_needs_no_change():
    """Under the limit is under the limit."""
    assert changes_to_fall_below(0.005, 0.3, limit=0.01) == 0


def test_a_whole_change_is_enough():
    """All the water out, all the copper out."""
    assert changes_to_fall_below(0.2, 1.0, limit=0.01) == 1


def test_landing_exactly_on_the_limit_is_not_under_it():
    """Two halves bring 0.20 to 0.05; to be under 0.05 takes a third."""
    assert changes_to_fall_below(0.20, 0.5, limit=0.05) == 3


def test_a_target_beyond_the_new_water_is_refused():
    """Fresh water cannot raise salinity."""
    with pytest.raises(DomainError, match="cannot bring"):
        change_fraction_to_reach(33, 35, incoming=0)


def test_equal_water_changes_nothing():
    """Water like the tank's cannot move it."""
    with pytest.raises(DomainError, match="cannot change its level"):
        change_fraction_to_reach(35, 34, incoming=35)
    assert change_fraction_to_reach(35, 35, incoming=35) == 0.0


def test_a_dose_never_lowers_a_level():
    """A target under the level is a matter for a water change."""
    with pytest.raises(DomainError, match="target must be at least"):
        dose_mg_to_reach(0.20, 0.15, net_volume_l=90)


def test_negative_amounts_and_empty_stocks_are_refused():
    """Each says which number is wrong."""
    with pytest.raises(DomainError, match="volume"):
        make_up_mg(0.2, -10)
    with pytest.raises(DomainError, match="strength"):
        stock_ml(10, 0)
    with pytest.raises(DomainError, match="number of changes"):
        after_n_changes(0.2, 0.3, changes=-1)


@pytest.mark.parametrize(
    ("fraction", "changes", "start"), [(0.25, 1, 1 / 0.75), (0.2, 3, 1 / 0.8**3), (0.1, 4, 1 / 0.9**4)]
)
def test_a_level_that_comes_to_the_limit_itself_is_not_under_it(fraction, changes, start):
    """So many changes bring it exactly to 1 (by hand), whatever the rounding of a logarithm; one more is needed."""
    assert changes_to_fall_below(start, fraction, limit=1.0) == changes + 1
