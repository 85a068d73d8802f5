"""What a reading says."""

import math

import pytest

from pratique.science.estimation.reading import Method, Observed, is_plain, reading_range, sd_at

PHOTOMETER = Method(resolution=0.01, absolute_sd=0.015, relative_sd=0.025, lower_limit=0.02, upper_limit=5.0)
CHART = Method(resolution=0.1, absolute_sd=0.02, relative_sd=0.0, marks=(0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0))


def test_a_plain_reading_spans_its_error_at_that_level():
    """Absolute error, relative error and the last digit's rounding, in quadrature (JCGM 100:2008)."""
    sd = math.sqrt(0.015**2 + (0.025 * 0.20) ** 2 + 0.01**2 / 12)
    span = reading_range(PHOTOMETER, Observed(value=0.20))
    assert sd_at(PHOTOMETER, 0.20) == pytest.approx(sd)
    assert (span.low, span.centre, span.high) == pytest.approx((0.20 - 1.959964 * sd, 0.20, 0.20 + 1.959964 * sd))


def test_a_small_reading_never_spans_below_nothing():
    """The range stops at zero."""
    assert reading_range(PHOTOMETER, Observed(value=0.02)).low == 0.0


def test_a_value_on_a_mark_reaches_half_way_to_its_neighbours():
    """0.3 on the chart lies between 0.25 and 0.40."""
    span = reading_range(CHART, Observed(value=0.3))
    assert (span.low, span.centre, span.high) == pytest.approx((0.25, 0.3, 0.4))


def test_a_value_between_two_marks_lies_between_them():
    """0.15 typed from a chart is “between 0.1 and 0.2”."""
    span = reading_range(CHART, Observed(value=0.15))
    assert (span.low, span.high) == pytest.approx((0.1, 0.2))


def test_an_interval_is_taken_as_given():
    """Two marks named are the range."""
    span = reading_range(CHART, Observed(low=0.1, high=0.3))
    assert (span.low, span.centre, span.high) == pytest.approx((0.1, 0.2, 0.3))


def test_the_ends_of_a_chart_reach_half_a_step_further():
    """The palest mark reaches down to nothing, the darkest half a step up."""
    assert reading_range(CHART, Observed(value=0.0)).high == pytest.approx(0.05)
    assert reading_range(CHART, Observed(value=1.0)).high == pytest.approx(1.1)


def test_darker_than_the_chart_has_no_upper_end():
    """Beyond the last mark only the lower bound is known."""
    span = reading_range(CHART, Observed(value=1.4))
    assert span.low == 1.0
    assert math.isinf(span.high)


@pytest.mark.parametrize("observed", [Observed(below=0.02), Observed(value=0.01)])
def test_below_the_limit_lies_between_nothing_and_the_limit(observed):
    """A number under the method's reach says no more than “below”."""
    span = reading_range(PHOTOMETER, observed)
    assert (span.low, span.high) == (0.0, 0.02)
    assert not is_plain(PHOTOMETER, observed)


@pytest.mark.parametrize("observed", [Observed(above=5.0), Observed(value=7.0)])
def test_above_the_limit_is_at_least_the_limit(observed):
    """A number over the method's reach says no more than “above”."""
    span = reading_range(PHOTOMETER, observed)
    assert span.low == 5.0
    assert math.isinf(span.high)


def test_only_a_number_within_reach_and_without_marks_is_plain():
    """A chart never gives a plain number."""
    assert is_plain(PHOTOMETER, Observed(value=0.2))
    assert not is_plain(CHART, Observed(value=0.2))
    assert not is_plain(PHOTOMETER, Observed(low=0.1, high=0.2))


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({}, "one value, one interval, or one bound"),
        ({"value": 0.2, "below": 0.3}, "one value, one interval, or one bound"),
        ({"low": 0.2}, "both its lower and its upper end"),
        ({"low": 0.3, "high": 0.2}, "cannot lie above"),
    ],
)
def test_a_reading_is_exactly_one_thing(fields, sentence):
    """A value, an interval, or a bound; never two, never none."""
    with pytest.raises(ValueError, match=sentence):
        Observed(**fields)
