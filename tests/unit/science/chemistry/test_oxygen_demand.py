"""What takes oxygen, and how long it lasts."""

import math

import pytest

from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.nitrification import alkalinity_per_nitrogen_meq_per_mg
from pratique.science.chemistry.oxygen_demand import (
    Breath,
    demand_of_fishes,
    formalin_demand_mg_per_l,
    resting_demand_clarke1999_mg_per_h,
)


@pytest.mark.parametrize(("temperature_c", "per_kg"), [(20, 154), (24, 194), (26, 217), (28, 243)])
def test_a_fifty_gram_fish_takes_more_in_warmer_water(temperature_c, per_kg):
    """Clarke & Johnston 1999: ln R = 15.7 - 5.02 / (T / 1000), in mg per kg and hour (equation published, computed)."""
    assert 20 * resting_demand_clarke1999_mg_per_h(50.0, temperature_c) == pytest.approx(per_kg, abs=0.6)


@pytest.mark.parametrize(("mass_g", "per_kg"), [(5, 333), (20, 249), (200, 153)])
def test_small_fish_take_more_for_their_weight(mass_g, per_kg):
    """Scaled by mass to the 0.79 at 25 °C (exponent published, computed)."""
    assert 1000 / mass_g * resting_demand_clarke1999_mg_per_h(mass_g, 25.0) == pytest.approx(per_kg, abs=0.6)


def test_the_mean_temperature_response_of_the_paper_is_met():
    """Clarke & Johnston 1999 give a mean Q10 of 1.83; their line for 50 g fish gives about that."""
    warm, cool = (resting_demand_clarke1999_mg_per_h(50.0, one) for one in (25.0, 15.0))
    assert warm / cool == pytest.approx(1.83, rel=0.03)


def test_several_fishes_add_up_and_say_how_sure_that_is():
    """Two of 50 g take 20.5 mg/h at rest; reef scaling is the same at 50 g, and fed fish take up to four times that."""
    demand = demand_of_fishes([50.0, 50.0], 25.0)
    assert demand.resting == pytest.approx(20.5, abs=0.05)
    assert demand.lower == pytest.approx(demand.resting)
    assert demand.upper == pytest.approx(4 * demand.resting)


def test_for_a_small_reef_fish_the_two_scalings_part():
    """At 2 g the exponent for reef fishes (0.633, Nilsson et al. 2007) gives (2/50)^-0.157 = 1.66 times as much."""
    demand = demand_of_fishes([2.0], 28.0)
    assert demand.upper / 4 / demand.resting == pytest.approx((2 / 50) ** -0.157, rel=1e-6)
    assert demand.lower == demand.resting


def test_for_a_large_fish_the_least_is_what_reef_fishes_take():
    """At 500 g the reef exponent (0.633, Nilsson et al. 2007) gives (500/50)^-0.157 = 0.70 of the other (by hand)."""
    demand = demand_of_fishes([500.0], 25.0)
    assert demand.lower / demand.resting == pytest.approx(0.6966, abs=5e-4)


def test_no_fish_take_nothing():
    """An empty tank has no demand."""
    assert demand_of_fishes([], 25.0).upper == 0.0


@pytest.mark.parametrize(("formalin", "taken"), [(25.0, 5.0), (150.0, 30.0), (0.0, 0.0)])
def test_five_of_formalin_take_one_of_oxygen(formalin, taken):
    """Francis-Floyd (published): 5 mg/L of formalin remove 1 mg/L of oxygen."""
    assert formalin_demand_mg_per_l(formalin) == pytest.approx(taken)


def test_water_without_flow_loses_oxygen_along_a_curve():
    """6.66 mg/L full, taking 0.5 an hour at KLa 0.1: 5.01 after 4 hours (worked example, closed form)."""
    still = Breath(6.66, 0.5, 0.1)
    assert still.level_after(4.0, start_mg_per_l=6.66) == pytest.approx(5.01, abs=0.005)
    assert still.hours_to(5.01, start_mg_per_l=6.66) == pytest.approx(4.0, abs=0.02)


def test_with_good_transfer_the_limit_is_never_reached():
    """0.5 mg/L an hour at KLa 2 settles 0.25 below saturation (worked example), well above 5."""
    running = Breath(6.66, 0.5, 2.0)
    assert running.hours_to(5.0, start_mg_per_l=6.66) is None
    assert running.level_after(1000.0, start_mg_per_l=6.66) == pytest.approx(6.41)


def test_a_sealed_tank_falls_in_a_straight_line():
    """Without any transfer: 1.66 mg/L at 0.5 an hour last 3.32 hours, and the level ends at nothing, not below."""
    sealed = Breath(6.66, 0.5, 0.0)
    assert sealed.hours_to(5.0, start_mg_per_l=6.66) == pytest.approx(3.32)
    assert sealed.level_after(100.0, start_mg_per_l=6.66) == 0.0
    assert Breath(6.66, 0.0, 0.0).hours_to(5.0, start_mg_per_l=6.66) is None


@pytest.mark.parametrize("kla_per_h", [1e-320, 1e-300, 1e-17, 1e-12])
def test_next_to_no_transfer_is_as_good_as_none(kla_per_h):
    """3 mg/L at 1 an hour last 3 hours, however little the air gives (a straight line, by hand)."""
    nearly_sealed = Breath(6.5, 1.0, kla_per_h)
    assert nearly_sealed.hours_to(3.0, start_mg_per_l=6.0) == pytest.approx(3.0, rel=1e-3)
    assert nearly_sealed.level_after(3.0, start_mg_per_l=6.0) == pytest.approx(3.0, rel=1e-3)


def test_water_already_under_the_limit_has_no_hours_left():
    """Nothing remains to wait for."""
    assert Breath(6.66, 0.5, 0.1).hours_to(5.0, start_mg_per_l=4.5) == 0.0


def test_half_the_deficit_is_made_up_in_the_half_time():
    """Half-recovery time is ln 2 / KLa."""
    assert Breath(6.0, 0.0, 2.0).level_after(math.log(2) / 2, start_mg_per_l=4.0) == pytest.approx(5.0)


def test_a_milligram_of_nitrogen_takes_a_seventh_of_a_milliequivalent():
    """Two protons for each nitrogen: 142.8 meq per g (stoichiometry)."""
    assert 1000 * alkalinity_per_nitrogen_meq_per_mg() == pytest.approx(142.8, abs=0.05)


def test_nonsense_is_refused():
    """Negative demands, formalin and fish are refused in words."""
    with pytest.raises(DomainError, match="mass of a fish must lie within"):
        resting_demand_clarke1999_mg_per_h(-5.0, 25.0)
    with pytest.raises(DomainError, match="Temperature must lie within"):
        resting_demand_clarke1999_mg_per_h(5.0, 70.0)
    with pytest.raises(DomainError, match="Formalin must be at least 0"):
        formalin_demand_mg_per_l(-1.0)
    with pytest.raises(DomainError, match="Demand must be at least 0"):
        Breath(6.66, -0.5, 0.1)
    with pytest.raises(DomainError, match="Hours must be at least 0"):
        Breath(6.66, 0.5, 0.1).level_after(-1.0, start_mg_per_l=6.0)
