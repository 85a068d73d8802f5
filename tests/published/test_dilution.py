"""Copper and dilution arithmetic against worked examples; each is pure mass balance and needs no other source."""

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


def test_a_hundred_litres_to_target_take_twenty_millilitres():
    """100 L, 0 to 0.20 mg/L with 1 mg/mL: 20.0 mL; to 0.15: 15.0 mL."""
    assert stock_ml(dose_mg_to_reach(0.0, 0.20, net_volume_l=100), 1.0) == pytest.approx(20.0)
    assert stock_ml(dose_mg_to_reach(0.0, 0.15, net_volume_l=100), 1.0) == pytest.approx(15.0)


def test_a_top_up_doses_the_difference_only():
    """150 L reads 0.12, target 0.20: 12.0 mL of 1 mg/mL."""
    assert stock_ml(dose_mg_to_reach(0.12, 0.20, net_volume_l=150), 1.0) == pytest.approx(12.0)


def test_a_thirty_percent_change_and_its_make_up():
    """100 L at 0.20, 30 % changed with clean water: 0.14 mg/L; make-up 6.0 mL of 1 mg/mL."""
    assert after_change(0.20, 0.30) == pytest.approx(0.14)
    assert stock_ml(make_up_mg(0.20, 30), 1.0) == pytest.approx(6.0)


@pytest.mark.parametrize(("limit", "changes"), [(0.015, 4), (0.0088, 5)])
def test_half_changes_until_invertebrates_are_safe(limit, changes):
    """0.20 mg/L, halves: 0.025 after three; under the urchin's 0.015 (Wynne 2015) in 4, the anemone's 0.0088 in 5."""
    assert after_n_changes(0.20, 0.5, changes=3) == pytest.approx(0.025)
    assert changes_to_fall_below(0.20, 0.5, limit=limit) == changes


def test_nine_changes_of_thirty_percent():
    """0.20 to under 0.010 by 30 % changes: ln(0.05)/ln(0.7) = 8.4, so 9."""
    assert changes_to_fall_below(0.20, 0.30, limit=0.010) == 9


@pytest.mark.parametrize(("level", "fraction", "incoming", "expected"), [(40, 0.2, 0, 32), (40, 0.25, 5, 31.25)])
def test_one_change_mixes_old_and_new(level, fraction, incoming, expected):
    """C1 = Cin + (C0 - Cin)(1 - f)."""
    assert after_change(level, fraction, incoming) == pytest.approx(expected)


def test_five_small_changes_do_less_than_one_large():
    """Five times 10 % leave 0.59049; once 50 % leaves 0.5."""
    assert after_n_changes(1.0, 0.1, changes=5) == pytest.approx(0.59049)
    assert after_change(1.0, 0.5) == pytest.approx(0.5)


def test_forty_to_ten_by_fifths_takes_seven():
    """ln(0.25)/ln(0.8) = 6.21, so 7."""
    assert changes_to_fall_below(40, 0.2, limit=10) == 7


@pytest.mark.parametrize(("start", "target", "incoming", "fraction"), [(36.5, 35, 0, 0.0411), (33, 35, 40, 0.2857)])
def test_a_swap_for_salinity(start, target, incoming, fraction):
    """Fraction = (S1 - S0)/(Sin - S0)."""
    assert change_fraction_to_reach(start, target, incoming=incoming) == pytest.approx(fraction, abs=5e-5)


def test_full_seawater_to_fourteen_replaces_sixty_litres_of_a_hundred():
    """100 L at 35 to 14 with fresh water: 60.0 L."""
    assert 100 * change_fraction_to_reach(35, 14) == pytest.approx(60.0)
