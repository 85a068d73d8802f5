"""Regrowth times against the published growth rates of Ostreopsis cf. ovata; arithmetic recomputed."""

import pytest

from pratique.science.growths.regrowth import days_to_regain


@pytest.mark.parametrize(("rate", "days"), [(0.59, 3.90), (0.35, 6.58), (0.33, 6.98)])
def test_nine_tenths_removed_come_back_in_days(rate, days):
    """Ninety per cent removed, regrowth by division only: 3.90 d (0.59 a day), 6.58 d (0.35), 6.98 d (0.33)."""
    assert days_to_regain(10, rate) == pytest.approx(days, abs=0.005)
