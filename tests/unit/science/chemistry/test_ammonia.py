"""Un-ionised ammonia: its error, its worst case, its limits."""

import math

import numpy as np
import pytest

from pratique.science.chemistry.ammonia import (
    un_ionised_ammonia_mg_n_per_l,
    un_ionised_fraction_khoo1977,
    un_ionised_with_error,
    worst_plausible_un_ionised,
)
from pratique.science.chemistry.domain import DomainError


@pytest.mark.parametrize(
    ("ph", "temperature_c", "salinity"),
    [(4.0, 25, 35), (8.2, 60, 35), (8.2, 25, 350), (8.2, -1, 35), (math.nan, 25, 35), (8.2, 25, -1)],
)
def test_an_input_out_of_range_is_refused_not_clipped(ph, temperature_c, salinity):
    """The relation says nothing outside its range, and says so."""
    with pytest.raises(DomainError, match="must lie within"):
        un_ionised_fraction_khoo1977(ph, temperature_c, salinity)


def test_one_bad_value_in_a_series_is_refused():
    """A series is as good as its worst value."""
    with pytest.raises(DomainError):
        un_ionised_fraction_khoo1977(np.array([8.1, 88.1]), 25.0, 35.0)


def test_a_negative_total_is_refused():
    """There is no less than no ammonia."""
    with pytest.raises(DomainError, match="Total ammonia must be at least 0"):
        un_ionised_ammonia_mg_n_per_l(-0.1, 8.2, 25.0, 35.0)


def test_a_series_gives_what_single_values_give():
    """Arrays go through the same arithmetic."""
    series = un_ionised_fraction_khoo1977(np.array([7.8, 8.2]), np.array([24.0, 26.0]), 35.0)
    singles = [un_ionised_fraction_khoo1977(7.8, 24.0, 35.0), un_ionised_fraction_khoo1977(8.2, 26.0, 35.0)]
    assert series == pytest.approx(singles)


@pytest.mark.parametrize("which", ["ph", "temperature_c", "salinity_psu", "total"])
def test_each_share_of_the_error_matches_a_small_step(which):
    """Where the error is small, it equals a finite difference in each input."""
    at = {"total": 0.8, "ph": 8.2, "temperature_c": 26.0, "salinity_psu": 34.0}
    step = 1e-5
    up, down = ({**at, which: at[which] + s} for s in (step, -step))
    slope = (un_ionised_ammonia(up) - un_ionised_ammonia(down)) / (2 * step)
    sds = {name: (1e-5 if name == which else 0.0) for name in at}
    found = un_ionised_with_error(
        0.8, sds["total"], 8.2, sds["ph"], 26.0, sds["temperature_c"], 34.0, sds["salinity_psu"]
    )
    assert found.plus_minus == pytest.approx(1.959964 * abs(slope) * 1e-5, rel=1e-4)


def un_ionised_ammonia(at):
    """The same reading by name."""
    return un_ionised_ammonia_mg_n_per_l(at["total"], at["ph"], at["temperature_c"], at["salinity_psu"])


def test_ph_dominates_with_ordinary_instruments():
    """u(pH) 0.01 gives 2.2 % at a fraction near 6 % (JCGM 100:2008 propagation, computed)."""
    found = un_ionised_with_error(1.0, 0.02, 8.2, 0.1, 25.0, 0.3, 35.0, 1.0)
    only_ph = un_ionised_with_error(1.0, 0.0, 8.2, 0.01, 25.0, 0.0, 35.0, 0.0)
    assert found.dominated_by == "pH"
    assert only_ph.plus_minus / 1.959964 / only_ph.value == pytest.approx(0.022, abs=0.0006)


def test_a_colour_chart_for_ammonia_dominates_a_good_meter():
    """With a wide chart step the chart is what to improve."""
    assert un_ionised_with_error(0.5, 0.2, 8.2, 0.02, 25.0, 0.1, 35.0, 0.4).dominated_by == "total ammonia"


def test_the_worst_plausible_value_is_above_every_other_corner():
    """pH and temperature high, salinity low: no other corner of the box is worse."""
    worst = worst_plausible_un_ionised(0.6, ph_upper=8.4, temperature_upper=29.0, salinity_lower=30.0)
    for ph in (7.8, 8.4):
        for temperature_c in (22.0, 29.0):
            for salinity in (30.0, 38.0):
                assert un_ionised_ammonia_mg_n_per_l(0.6, ph, temperature_c, salinity) <= worst


@pytest.mark.parametrize("which", range(4))
@pytest.mark.parametrize("bad", [math.nan, math.inf, -0.1])
def test_an_error_that_is_no_number_is_refused(which, bad):
    """No error of any reading may come out as nothing known."""
    sds = [0.1] * 4
    sds[which] = bad
    with pytest.raises(DomainError, match="An error"):
        un_ionised_with_error(0.8, sds[0], 8.2, sds[1], 26.0, sds[2], 34.0, sds[3])
