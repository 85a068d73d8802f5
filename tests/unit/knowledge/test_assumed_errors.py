"""What is assumed of a reading without a ±: every figure has a source, and agrees with the methods of the ledger."""

import pytest

from pratique import knowledge
from pratique.knowledge import Status
from pratique.knowledge.assumed_errors import assumed_error, assumed_errors


def test_every_assumed_error_carries_a_source_and_a_status():
    """Without them the loader refuses the file."""
    assert all(one.source and one.status in set(Status) for one in assumed_errors())


@pytest.mark.parametrize(
    ("key", "method"),
    [
        ("temperature", "thermometer"),
        ("ph", "ph_meter"),
        ("alkalinity", "alkalinity_syringe"),
        ("calcium", "calcium_titration"),
        ("magnesium", "magnesium_titration"),
        ("oxygen", "oxygen_meter"),
        ("refractometer", "refractometer"),
    ],
)
def test_the_bench_trusts_an_instrument_no_more_than_the_ledger_does(key: str, method: str):
    """95 % is two standard deviations of the built-in method, common practice both."""
    assert assumed_error(key).absolute == pytest.approx(2.0 * knowledge.method(method).absolute_sd)


def test_the_larger_of_two_errors_counts():
    """A conductivity of 53 mS/cm is good to 3 %, one of 1 mS/cm to the meter's own 0.2."""
    assert assumed_error("conductivity").plus_minus(53.07) == pytest.approx(1.592, abs=0.001)
    assert assumed_error("conductivity").plus_minus(1.0) == pytest.approx(0.2)


def test_an_unknown_reading_gets_a_plain_sentence():
    """The sentence names what was asked for."""
    with pytest.raises(KeyError, match="no assumed error called “guesswork”"):
        assumed_error("guesswork")


def test_a_hobby_ph_meter_is_good_to_a_tenth():
    """95 % (common practice, no source)."""
    assert assumed_error("ph").plus_minus(8.2) == pytest.approx(0.1)
