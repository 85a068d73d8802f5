"""Un-ionised ammonia against values from outside the project.

Source of the table: Bower & Bidwell 1978, J. Fish. Res. Board Can. 35:1012, salinity 34, read as an instrument manual
reproduces it (status: published, second-hand). That table most likely derives from the same work as the relation, so
the grouper and Clegg & Whitfield rows stand beside it.
"""

import csv
from pathlib import Path

import pytest

from pratique.science.chemistry.ammonia import un_ionised_ammonia_mg_n_per_l, un_ionised_fraction_khoo1977

with (Path(__file__).parent / "bower_bidwell_1978.csv").open(encoding="utf-8") as file:
    CELLS = [tuple(float(cell) for cell in row.values()) for row in csv.DictReader(file)]


def test_the_table_is_whole():
    """All 44 cells of the printed table are checked."""
    assert len(CELLS) == 44


@pytest.mark.parametrize(("ph", "temperature_c", "salinity", "percent"), CELLS)
def test_every_cell_of_the_seawater_table_agrees_within_three_percent(ph, temperature_c, salinity, percent):
    """The simple relation reproduces Bower & Bidwell 1978 within 3 % of each value."""
    fraction = un_ionised_fraction_khoo1977(ph, temperature_c, salinity)
    assert 100 * fraction == pytest.approx(percent, rel=0.03)


@pytest.mark.parametrize(
    ("salinity", "temperature_c", "rigorous_percent"),
    [(30, 25, 6.21), (33, 25, 6.18), (35, 20, 4.33), (35, 25, 6.16), (35, 26, 6.60), (35, 28, 7.56), (35, 30, 8.63)],
)
def test_it_errs_on_the_safe_side_of_the_rigorous_path(salinity, temperature_c, rigorous_percent):
    """At NBS pH 8.2 it reads 4 to 12 % above Clegg & Whitfield 1995 on the total scale (computed with PyCO2SYS)."""
    percent = 100 * un_ionised_fraction_khoo1977(8.2, temperature_c, salinity)
    assert 1.04 < percent / rigorous_percent < 1.12


@pytest.mark.parametrize(("total", "published"), [(2.68, 0.11), (51.4, 2.12)])
def test_the_grouper_paper_is_met_within_the_spread_of_methods(total, published):
    """Zheng 2012 (published): pH 8.0, 25 °C, salinity 30; valid methods differ by up to 15 %, and ours reads higher."""
    found = un_ionised_ammonia_mg_n_per_l(total, 8.0, 25.0, 30.0)
    assert published <= found <= 1.15 * published


def test_a_bag_that_is_opened_turns_dangerous():
    """Total 4 mg N/L, pH 6.8 to 8.2 at 25 °C, salinity 34: 0.011 to 0.264 mg N/L (from the table's fit, computed)."""
    assert un_ionised_ammonia_mg_n_per_l(4.0, 6.8, 25.0, 34.0) == pytest.approx(0.011, abs=0.0006)
    assert un_ionised_ammonia_mg_n_per_l(4.0, 8.2, 25.0, 34.0) == pytest.approx(0.264, abs=0.003)


def test_without_salt_it_is_the_fresh_water_constant():
    """Emerson et al. 1975 (from memory): pK 9.2464 at 25 °C, so half is un-ionised at that pH."""
    assert un_ionised_fraction_khoo1977(9.2464, 25.0, 0.0) == pytest.approx(0.5, abs=2e-4)
