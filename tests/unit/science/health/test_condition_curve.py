"""Weight against length, held to what is in print."""

import math

import pytest

from pratique import knowledge
from pratique.science.chemistry.domain import DomainError
from pratique.science.health.condition_curve import (
    WeightCurve,
    a_for_cm,
    against_curve,
    curve_between,
    fulton_k,
    mean_k,
    relative_condition,
    relative_weight,
    weight_from_length,
)

CLOWNFISH = WeightCurve(0.02570, 2.95, 0.2)
ERRORS = {"weight_error": 0.03, "length_error": 0.05, "light_below": 0.8}


def test_a_changes_with_the_unit_of_length():
    """1.2e-5 for millimetres with b 3.05 is 0.0134642 for centimetres (relation of the FishBase manual, recomputed)."""
    assert a_for_cm(1.2e-5, 3.05) == pytest.approx(0.0134642, abs=5e-8)
    assert a_for_cm(1.2e-5, 3.05) * 7.0**3.05 == pytest.approx(1.2e-5 * 70.0**3.05)


@pytest.mark.parametrize(("length_mm", "weight_g", "k"), [(16, 0.1, 2.44), (43, 1.75, 2.20)])
def test_the_condition_factor_of_the_smallest_and_largest_juvenile(length_mm, weight_g, k):
    """Amphiprion ocellaris, 52 juveniles of 16 to 43 mm and 0.1 to 1.75 g (published), give K 2.44 and 2.20."""
    assert fulton_k(weight_g, length_mm / 10) == pytest.approx(k, abs=0.005)


@pytest.mark.parametrize(("length_mm", "weight_g"), [(16, 0.1), (43, 1.75)])
def test_the_juveniles_lie_on_the_curve_of_their_genus(length_mm, weight_g):
    """A curve and a sample published apart agree: both ends within 10 % of the curve (Froese et al. 2014's a and b)."""
    assert relative_condition(weight_g, length_mm / 10, CLOWNFISH) == pytest.approx(1.0, abs=0.1)


def test_the_mean_condition_factor_lies_among_those_of_fed_juveniles():
    """Amphiprion percula juveniles had K of 1.92 to 2.53 by treatment (Chambel et al. 2015); 100·a·Lᵇ⁻³ at 3 cm."""
    assert 1.92 < mean_k(CLOWNFISH, 3.0) < 2.53
    assert mean_k(CLOWNFISH, 3.0) == pytest.approx(100 * 0.02570 * 3.0**-0.05)


def test_relative_weight_takes_the_geometric_mean_of_a_and_the_mean_of_b():
    """The two ends of the published range, 0.01622 and 0.04073, 2.81 and 3.09, average to 0.02570 and 2.95."""
    ends = [(0.01622, 2.81), (0.04073, 3.09)]
    assert relative_weight(CLOWNFISH.weight_g(6.0), 6.0, ends) == pytest.approx(100.0, abs=0.05)
    assert relative_weight(2 * CLOWNFISH.weight_g(6.0), 6.0, ends) == pytest.approx(200.0, abs=0.1)


@pytest.mark.parametrize("shape", knowledge.body_shapes().values(), ids=lambda one: one.key)
def test_every_shipped_a_is_the_middle_of_its_range(shape):
    """A lognormal range is centred on a (Froese et al. 2014's method); b on the middle of its own."""
    assert math.sqrt(shape.a_range[0] * shape.a_range[1]) == pytest.approx(shape.a, rel=0.004)
    assert sum(shape.b_range) / 2 == pytest.approx(shape.b, abs=0.001)
    assert 2.5 < shape.b < 3.5


def test_one_fish_on_an_exact_curve_is_as_sure_as_the_average_error_says():
    """13.2 % on average is 16.5 % as one sd of a normal error: √(π/2) times (textbook relation, from memory)."""
    assert curve_between((1.0, 1.0), 3.0, a=1.0, individual_error=0.132).ln_sd == pytest.approx(0.16544, abs=1e-4)


def test_an_estimate_from_length_carries_the_error_of_length_b_times():
    """With no spread about the curve, 1 % of length is 3 % of weight where b is 3: K's error is three times L's."""
    found = weight_from_length(WeightCurve(0.02, 3.0, 0.0), 5.0, length_error=0.01)
    assert found.value == pytest.approx(2.5)
    assert (found.low, found.high) == pytest.approx((2.5 / math.exp(0.0588), 2.5 * math.exp(0.0588)), rel=1e-4)


def test_a_fish_on_the_curve_is_neither_light_nor_stout():
    """Its range holds 1, and few of its kind would be under four fifths."""
    found = against_curve(CLOWNFISH.weight_g(6.0), 6.0, CLOWNFISH, **ERRORS)
    assert found.relative.value == pytest.approx(1.0)
    assert found.relative.low < 1.0 < found.relative.high
    assert found.probability_light < 0.25


def test_half_the_weight_is_light_on_a_sharp_curve_and_doubtful_on_a_blunt_one():
    """The same fish judged by its own species' curve, and by that of a whole shape of body."""
    weight_g = CLOWNFISH.weight_g(6.0) / 2
    sharp = against_curve(weight_g, 6.0, WeightCurve(0.02570, 2.95, 0.1), **ERRORS)
    blunt = against_curve(weight_g, 6.0, WeightCurve(0.02570, 2.95, 0.6), **ERRORS)
    assert sharp.probability_light > 0.98
    assert 0.6 < blunt.probability_light < 0.9


@pytest.mark.parametrize(
    "call", [lambda: fulton_k(1.0, 0.0), lambda: fulton_k(0.0, 1.0), lambda: CLOWNFISH.weight_g(-1)]
)
def test_no_weight_and_no_length_are_refused(call):
    """A condition needs both."""
    with pytest.raises(DomainError, match="above 0"):
        call()


def test_a_relative_weight_needs_a_curve():
    """Nothing can be said over no curve."""
    with pytest.raises(DomainError, match="one curve"):
        relative_weight(1.0, 2.0, [])


@pytest.mark.parametrize(
    ("species", "shape"),
    [
        ("ocellaris_clownfish", "clownfish"),
        ("tomini_bristletooth", "short_and_deep"),
        ("six_line_wrasse", "spindle"),
    ],
)
def test_a_kind_takes_the_curve_of_its_genus_or_family(species, shape):
    """The genus goes before the family."""
    assert knowledge.body_shape_of(knowledge.species(species)).key == shape


def test_no_curve_is_made_up_for_a_body_that_has_none():
    """Pipefishes and rays are like no shape in the table."""
    without = [one for one in knowledge.all_species() if one.family in {"Syngnathidae", "Elasmobranchii"}]
    assert without
    assert [knowledge.body_shape_of(one) for one in without] == [None] * len(without)


def test_the_convict_tang_is_half_as_deep_as_long():
    """Depth 1.8 to 1.9 in standard length (keys to Acanthurus triostegus): 0.53 to 0.56."""
    found = knowledge.body_depth_of(knowledge.species("convict_tang"))
    assert (found.low, found.high) == (round(1 / 1.9, 2), round(1 / 1.8, 2))
