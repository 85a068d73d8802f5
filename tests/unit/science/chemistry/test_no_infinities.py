"""Numbers that are none: missing, infinite, or so small that they make infinite answers. All are refused in words."""

import math

import pytest

from pratique.science.chemistry import dilution, ions, level_over_time, mixing
from pratique.science.chemistry.ammonia_species import TotalAsN
from pratique.science.chemistry.domain import DomainError, require_above_zero, require_at_least, require_finite
from pratique.science.chemistry.oxygen_demand import Breath
from pratique.science.chemistry.reagents import grams_to_raise, salt

BALANCE = {
    "calcium_mg_per_l": 420.0,
    "magnesium_mg_per_l": 1300.0,
    "alkalinity_meq_per_l": 2.8,
    "salinity_psu": 35.0,
    "temperature_c": 25.0,
}


def test_an_infinite_number_is_no_number():
    """Neither where there is only a lower limit, nor where there is none."""
    require_at_least("A volume", 0.0, lower=0.0)
    with pytest.raises(DomainError, match="A volume is too large to reckon with; check it and its unit"):
        require_at_least("A volume", math.inf, lower=0.0)
    for bad in (math.nan, math.inf, -math.inf):
        with pytest.raises(DomainError, match="A level must be a number"):
            require_finite("A level", bad)
    for bad in (math.nan, math.inf, 0.0, -1.0):
        with pytest.raises(DomainError, match="A volume must be above 0"):
            require_above_zero("A volume", bad, unit="L")


@pytest.mark.parametrize(
    "changed",
    [
        {"calcium_mg_per_l": math.inf},
        {"magnesium_mg_per_l": math.nan},
        {"alkalinity_meq_per_l": -3.0},
        {"calcium_mg_per_l": 0.0},
    ],
)
def test_a_balance_of_nonsense_is_refused(changed):
    """Infinite calcium, unread magnesium and negative alkalinity stand nowhere."""
    with pytest.raises(DomainError):
        ions.ion_balance(**BALANCE | changed)


@pytest.mark.parametrize(
    "reckon",
    [
        lambda: ions.consumption_ratio(calcium_used_mg_per_l=math.nan, alkalinity_used_meq_per_l=1.0),
        lambda: ions.consumption_ratio(calcium_used_mg_per_l=20.0, alkalinity_used_meq_per_l=math.inf),
        lambda: grams_to_raise(salt("NaHCO3"), "alkalinity", raise_by=math.inf, volume_l=100.0),
        lambda: mixing.evaporated_l(35.0, math.inf, volume_l=100.0),
        lambda: mixing.evaporated_l(35.0, 36.0, volume_l=math.inf),
        lambda: mixing.Water(math.inf, 35.0),
        lambda: mixing.blended_level(math.nan, 1.0, 2.0, 1.0),
        lambda: TotalAsN(math.inf),
        lambda: Breath(math.inf, 1.0, 1.0),
        lambda: level_over_time.sawtooth(math.inf, 0.2),
        lambda: level_over_time.sawtooth(1.0, 1e-320),
        lambda: level_over_time.Routine(production=math.inf),
        lambda: level_over_time.Routine(exchange=0.1, incoming=math.nan),
        lambda: level_over_time.Routine(uptake=math.inf),
        lambda: level_over_time.Routine(production=1.0).level_after(1.0, start=math.nan),
        lambda: dilution.after_change(math.inf, 0.2),
        lambda: dilution.after_n_changes(math.nan, 0.2, changes=3),
        lambda: dilution.changes_between(40.0, 10.0, fraction=1e-320),
        lambda: dilution.changes_to_fall_below(40.0, 1e-320, limit=10.0),
        lambda: dilution.changes_to_fall_below(math.inf, 0.2, limit=10.0),
        lambda: dilution.after_flow(math.nan, 1.0),
        lambda: dilution.volumes_to_reach(math.inf, 1.0),
        lambda: dilution.change_fraction_to_reach(math.nan, 1.0),
        lambda: dilution.stock_ml(math.inf, 1.0),
        lambda: dilution.stock_ml(1.0, math.inf),
    ],
)
def test_nothing_infinite_is_answered(reckon):
    """A sentence instead."""
    with pytest.raises(DomainError):
        reckon()


def test_a_change_too_small_for_a_digit_still_counts():
    """A part in 10¹⁷ changed: ln 4 of it over and over, 1.386 times 10¹⁷ changes (by hand)."""
    assert dilution.changes_between(40.0, 10.0, fraction=1e-17) == pytest.approx(math.log(4.0) * 1e17)


def test_a_routine_that_hardly_holds_a_level_lets_it_rise():
    """1 a day for ten days on 1 makes 11, where next to nothing is exchanged (by hand)."""
    for exchange in (1e-320, 1e-18, 0.0):
        routine = level_over_time.Routine(production=1.0, exchange=exchange)
        assert routine.level_after(10.0, start=1.0) == pytest.approx(11.0, rel=1e-3)
    assert level_over_time.Routine(production=1.0, exchange=1e-320).settles_at() is None
