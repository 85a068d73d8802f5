"""The days of a plan against worked examples of the literature; the source stands beside each."""

import pytest

from pratique.science.health.parasites.limits import (
    covers_extreme,
    fallow_days,
    limits_of,
    second_dose_window,
    transfer_days,
    transfers_needed,
    worst_chain_days,
)

WARM = limits_of("white_spot", 25.0)


def test_four_transfers_three_days_apart_break_the_cycle():
    """Colorni 1985, Dis. Aquat. Org. 1:19-22: on the fish 3 to 7 days, first hatching after 3."""
    assert transfers_needed(WARM) == 4
    assert transfer_days(WARM) == (0.0, 3.0, 6.0, 9.0)


def test_the_worst_chain_takes_37_days_and_thirty_days_of_copper_do_not_cover_it():
    """7 + 28 + 2 days: Colorni 1985."""
    assert worst_chain_days(WARM) == 37.0
    assert not covers_extreme(WARM, 30.0)
    assert covers_extreme(WARM, 37.0)


def test_a_display_stays_without_fish_for_74_days():
    """72 + 2 days: Colorni & Burgess 1997 (recalled)."""
    assert fallow_days(WARM) == 74.0


def test_the_second_dose_against_flukes_falls_between_day_8_and_day_15():
    """Bondad-Reantaso et al. 1995 at 25 °C: eggs hatch from day 5, mature 10 days later; day 8 holds a guess of two."""
    assert second_dose_window(limits_of("flukes", 25.0)) == (8.0, 15.0)


def test_six_weeks_without_fish_starve_velvet_in_warm_water():
    """Common practice, no source."""
    assert fallow_days(limits_of("velvet", 25.0)) == 42.0


@pytest.mark.parametrize("temperature_c", [7.0, 37.0])
def test_white_spot_does_not_develop_at_either_end(temperature_c: float):
    """Cheung, Nigrelli & Ruggieri 1979, J. Fish Dis. 2:93-97."""
    assert not limits_of("white_spot", temperature_c).develops
