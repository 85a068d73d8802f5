"""Errors carried to first order, against Monte Carlo (JCGM 101:2008) and a library's own propagation."""

import math

import numpy as np
import pytest

from pratique.science.chemistry.ammonia import un_ionised_fraction_khoo1977
from pratique.science.chemistry.ammonia_rigorous import un_ionised_rigorous_mg_n_per_l
from pratique.science.chemistry.carbonate_pairs import state_from_alkalinity_ph
from pratique.science.chemistry.domain import DomainError, require_within
from pratique.science.chemistry.oxygen import saturation_mg_per_l
from pratique.science.chemistry.uncertainty import (
    NORMAL_95,
    Uncertain,
    propagate,
    propagate_skewed,
)

SEED = 20260801
DRAWS = 20_000


def drawn(function, inputs):
    """Return the 95 % error of `function` by Monte Carlo: 1.96 standard deviations of what it gives."""
    generator = np.random.default_rng(SEED)
    samples = {name: generator.normal(one.value, one.plus_minus / NORMAL_95, DRAWS) for name, one in inputs.items()}
    rows = (dict(zip(samples, values, strict=True)) for values in zip(*samples.values(), strict=True))
    return NORMAL_95 * float(np.std([function(**row) for row in rows]))


@pytest.mark.parametrize(
    ("function", "inputs"),
    [
        (
            lambda grams, part, volume_l: 1000 * grams * part / volume_l,
            {"grams": Uncertain(2.0, 0.1), "part": Uncertain(0.95, 0.05), "volume_l": Uncertain(100.0, 10.0)},
        ),
        (
            saturation_mg_per_l,
            {"salinity_psu": Uncertain(35.0, 2.0), "temperature_c": Uncertain(25.0, 1.0)},
        ),
        (
            un_ionised_rigorous_mg_n_per_l,
            {
                "total": Uncertain(0.5, 0.1),
                "ph_nbs": Uncertain(8.2, 0.1),
                "salinity_psu": Uncertain(34.0, 1.5),
                "temperature_c": Uncertain(26.0, 0.6),
            },
        ),
    ],
    ids=["dose", "oxygen", "ammonia"],
)
def test_first_order_agrees_with_monte_carlo(function, inputs):
    """20,000 draws, seed fixed beforehand; the standard deviation is known to 0.5 %, curvature adds up to 1 %."""
    assert propagate(function, inputs).plus_minus == pytest.approx(drawn(function, inputs), rel=0.02)


@pytest.mark.parametrize(("answer", "expected"), [("omega_aragonite", 0.417), ("pco2_uatm", 60.5)])
def test_the_carbonate_example_is_met(answer, expected):
    """TA 2793 ± 56, total pH 8.1 ± 0.05, S 35 ± 1, 25 ± 0.5 °C, standard errors all: PyCO2SYS 1.8.3 gives these."""
    found = propagate(
        lambda **at: getattr(state_from_alkalinity_ph(**at, ph_scale="total"), answer),
        {
            "alkalinity_umol_per_kg": Uncertain(2793.0, 56.0 * NORMAL_95),
            "ph": Uncertain(8.1, 0.05 * NORMAL_95),
            "salinity_psu": Uncertain(35.0, 1.0 * NORMAL_95),
            "temperature_c": Uncertain(25.0, 0.5 * NORMAL_95),
        },
    )
    assert found.plus_minus / NORMAL_95 == pytest.approx(expected, rel=0.003)
    assert found.dominated_by == "ph"


def test_the_shares_of_the_carbonate_example_are_met():
    """u(Ω) 0.417 is made of pH 0.396, alkalinity 0.095, temperature 0.074 and salinity 0.045 (PyCO2SYS 1.8.3)."""
    found = propagate(
        lambda **at: state_from_alkalinity_ph(**at, ph_scale="total").omega_aragonite,
        {
            "alkalinity_umol_per_kg": Uncertain(2793.0, 56.0),
            "ph": Uncertain(8.1, 0.05),
            "salinity_psu": Uncertain(35.0, 1.0),
            "temperature_c": Uncertain(25.0, 0.5),
        },
    )
    parts = {name: found.plus_minus * math.sqrt(share) for name, share in found.shares.items()}
    assert parts == pytest.approx(
        {"ph": 0.396, "alkalinity_umol_per_kg": 0.095, "temperature_c": 0.074, "salinity_psu": 0.045}, abs=0.001
    )


def test_relative_errors_of_a_product_add_in_squares():
    """3 % and 4 % make 5 % (JCGM 100:2008, 5.1.6), 36 and 64 parts in a hundred of the variance."""
    found = propagate(lambda a, b: a * b, {"a": Uncertain(10.0, 0.3), "b": Uncertain(5.0, 0.2)})
    assert found.plus_minus / found.value == pytest.approx(0.05, rel=1e-6)
    assert found.shares == pytest.approx({"a": 0.36, "b": 0.64}, rel=1e-6)
    assert found.dominated_by == "b"


def test_nothing_uncertain_leaves_nothing_uncertain():
    """No input dominates where none is uncertain."""
    found = propagate(lambda a: 2 * a, {"a": Uncertain(3.0)})
    assert (found.value, found.plus_minus, found.dominated_by, dict(found.shares)) == (6.0, 0.0, "", {"a": 0.0})


def test_at_the_edge_of_a_range_the_slope_is_taken_from_inside():
    """A salinity of 0 ± 1 has an error although -0.001 is refused."""

    def twice(a):
        require_within("It", a, lower=0.0, upper=10.0)
        return 2.0 * a

    assert propagate(twice, {"a": Uncertain(0.0, 1.0)}).plus_minus == pytest.approx(2.0)
    assert propagate(twice, {"a": Uncertain(10.0, 1.0)}).plus_minus == pytest.approx(2.0)


def test_an_error_with_no_room_at_all_is_refused():
    """Where neither side lies in the range the error cannot be carried, and that is said."""

    def only_here(a):
        require_within("It", a, lower=1.0, upper=1.0)
        return a

    with pytest.raises(DomainError, match="The error of a cannot be carried"):
        propagate(only_here, {"a": Uncertain(1.0, 0.5)})


def test_a_negative_error_is_refused():
    """An error is a width."""
    for bad in (-0.1, math.nan):
        with pytest.raises(DomainError, match="An error must be at least 0"):
            Uncertain(1.0, bad)


@pytest.mark.parametrize(
    ("function", "inputs"),
    [
        (lambda a: a * a, {"a": Uncertain(1e200)}),
        (lambda a: math.exp(2 * a), {"a": Uncertain(1e4)}),
        (lambda a: a, {"a": Uncertain(math.inf)}),
        (lambda a: 1e300 * a, {"a": Uncertain(1.0, 1e10)}),
    ],
    ids=["infinite", "overflow", "given infinite", "infinite error"],
)
def test_an_answer_too_large_to_be_a_number_is_refused(function, inputs):
    """Nothing infinite is ever shown."""
    with pytest.raises(DomainError, match="too large to reckon with"):
        propagate(function, inputs)


def ends_drawn(function, inputs):
    """Return the 2.5 and 97.5 % points of 200,000 draws of a function that takes arrays (JCGM 101:2008)."""
    generator = np.random.default_rng(SEED)
    drawn_inputs = {n: generator.normal(one.value, one.plus_minus / NORMAL_95, 200_000) for n, one in inputs.items()}
    return np.percentile(function(**drawn_inputs), [2.5, 97.5])


def un_ionised(total, ph_nbs, temperature_c, salinity_psu):
    """Un-ionised ammonia by the simple route; arrays go through, a total below nothing too."""
    return total * un_ionised_fraction_khoo1977(ph_nbs, temperature_c, salinity_psu)


@pytest.mark.parametrize(
    ("total", "ph"),
    [
        (Uncertain(0.5, 0.2), Uncertain(8.2, 0.4)),
        (Uncertain(0.5, 0.2), Uncertain(8.2, 0.1)),
        (Uncertain(1.0, 0.05), Uncertain(8.0, 0.3)),
        (Uncertain(0.02, 0.05), Uncertain(8.2, 0.2)),
        (Uncertain(2.0, 0.2), Uncertain(7.8, 0.5)),
    ],
)
def test_the_high_end_of_ammonia_agrees_with_monte_carlo(total, ph):
    """The end that kills, within 3 %; with a pH known to 0.4 first order falls short of it by a quarter."""
    inputs = {
        "total": total,
        "ph_nbs": ph,
        "temperature_c": Uncertain(25.0, 0.6),
        "salinity_psu": Uncertain(35.0, 1.5),
    }
    low, high = ends_drawn(un_ionised, inputs)
    found = propagate_skewed(un_ionised, inputs)
    assert found.high == pytest.approx(high, rel=0.03)
    assert 0.0 <= found.low <= max(low, 0.0) * 1.01
    assert found.plus_minus == pytest.approx(found.high - found.value)


def test_the_ends_of_pco2_agree_with_monte_carlo():
    """8 dKH ± 0.5 and pH 8.0 ± 0.4: pCO2 may be more than twice what it comes to, and never half as far below."""
    inputs = {"alkalinity_umol_per_kg": Uncertain(2800.0, 180.0), "ph": Uncertain(8.0, 0.4)}

    def pco2(**at):
        return state_from_alkalinity_ph(**at, salinity_psu=35.0, temperature_c=25.0).pco2_uatm

    found, (low, high) = propagate_skewed(pco2, inputs), ends_drawn(pco2, inputs)
    assert found.high == pytest.approx(high, rel=0.03)
    assert found.low == pytest.approx(low, rel=0.1)
    assert found.high > 2 * found.value


def test_an_even_answer_has_even_ends():
    """A sum errs as far up as down, and as far as `propagate` says."""
    found = propagate_skewed(lambda a, b: a + b, {"a": Uncertain(10.0, 3.0), "b": Uncertain(20.0, 4.0)})
    assert (found.low, found.high, found.plus_minus) == pytest.approx((25.0, 35.0, 5.0))


def test_at_a_valley_the_curve_is_counted():
    """x² at 0 ± 1.96: the standard deviation of χ² with one degree of freedom is √2 (a table of distributions)."""
    found = propagate(lambda a: a * a, {"a": Uncertain(0.0, NORMAL_95)})
    assert found.plus_minus == pytest.approx(NORMAL_95 * math.sqrt(2.0))


def test_an_error_below_what_a_number_can_hold_is_no_error():
    """A million ± 1e-12 is a million, and no division by nothing."""
    found = propagate(lambda a: 2 * a, {"a": Uncertain(1e6, 1e-12)})
    assert (found.value, found.plus_minus) == (2e6, 0.0)


def test_an_answer_in_another_unit_keeps_its_ends_about_it():
    """1,500 ± 30 g are 1.5 ± 0.03 kg, from 1.47 to 1.53."""
    found = propagate(lambda a: a, {"a": Uncertain(1500.0, 30.0)}).times(0.001)
    assert (found.value, found.plus_minus, found.low, found.high) == pytest.approx((1.5, 0.03, 1.47, 1.53))
