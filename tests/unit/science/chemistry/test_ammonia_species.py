"""Ammonia counted in different ways cannot be mixed up."""

import operator

import pytest

from pratique.science.chemistry.ammonia_species import (
    TOTAL_BY_BASIS,
    MixedSpecies,
    TotalAsN,
    TotalAsNH3,
    TotalAsNH4,
    UnIonisedAsN,
    UnIonisedAsNH3,
)
from pratique.science.chemistry.domain import DomainError

KINDS = [TotalAsN, TotalAsNH3, TotalAsNH4, UnIonisedAsN, UnIonisedAsNH3]
PAIRS = [(one, other) for one in KINDS for other in KINDS if one is not other]


@pytest.mark.parametrize(("one", "other"), PAIRS)
@pytest.mark.parametrize("act", [operator.add, operator.lt, operator.le, operator.gt, operator.ge, operator.eq])
def test_two_kinds_are_neither_added_nor_compared(one, other, act):
    """Not even asking whether they are equal is right: the same number means different water."""
    with pytest.raises(MixedSpecies, match="different things; convert one first"):
        act(one(0.5), other(0.5))


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_is_no_plain_number(kind):
    """A bare 0.5 says nothing of what was counted."""
    with pytest.raises(MixedSpecies):
        kind(0.5) + 0.5
    assert kind(0.5) != 0.5


@pytest.mark.parametrize("kind", KINDS)
def test_one_kind_adds_and_compares_as_numbers_do(kind):
    """Within a kind there is nothing to mix up."""
    assert kind(0.25) + kind(0.5) == kind(0.75)
    assert kind(0.25) < kind(0.5)
    assert kind(0.5) >= kind(0.5)
    assert max(kind(0.25), kind(0.5)).mg_per_l == 0.5
    assert len({kind(0.5), kind(0.5)}) == 1


def test_each_basis_has_its_own_number_for_the_same_water():
    """1 mg/L as N is 1.2159 as NH3 and 1.2879 as NH4 (IUPAC 2021 atomic masses, recomputed)."""
    assert TotalAsN(1.0).as_nh3().mg_per_l == pytest.approx(1.2159, abs=5e-5)
    assert TotalAsN(1.0).as_nh4().mg_per_l == pytest.approx(1.2879, abs=5e-5)
    assert UnIonisedAsN(1.0).as_nh3().mg_per_l == pytest.approx(1.2159, abs=5e-5)


def test_the_us_criteria_are_a_fifth_lower_as_nitrogen():
    """0.035 and 0.233 mg/L as NH3 are 0.0288 and 0.1916 as N (computed): mixing them up moves a limit by a fifth."""
    assert UnIonisedAsNH3(0.035).as_n().mg_per_l == pytest.approx(0.0288, abs=5e-5)
    assert UnIonisedAsNH3(0.233).as_n().mg_per_l == pytest.approx(0.1916, abs=5e-5)


@pytest.mark.parametrize("basis", ["N", "NH3", "NH4"])
def test_every_basis_comes_to_nitrogen_and_back(basis):
    """A total can be told in any basis without loss."""
    total = TOTAL_BY_BASIS[basis](0.8)
    there = total if isinstance(total, TotalAsN) else total.as_n()
    back = {"N": there, "NH3": there.as_nh3(), "NH4": there.as_nh4()}[basis]
    assert back.mg_per_l == pytest.approx(total.mg_per_l)


def test_un_ionised_ammonia_comes_to_nitrogen_and_back():
    """The un-ionised part, too."""
    assert UnIonisedAsN(0.05).as_nh3().as_n().mg_per_l == pytest.approx(0.05)


def test_less_than_no_ammonia_is_refused():
    """Nor is a missing number an amount."""
    for bad in (-0.1, float("nan")):
        with pytest.raises(DomainError, match="Ammonia must be at least 0"):
            TotalAsN(bad)


def test_a_fraction_above_one_is_refused():
    """Not more can be un-ionised than there is."""
    with pytest.raises(DomainError, match="fraction must lie within 0 to 1"):
        TotalAsN(1.0).un_ionised(1.1)
