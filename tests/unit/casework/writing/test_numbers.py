"""Numbers as keepers write them: shapes of a reading, units, and what cannot be."""

import pytest

from pratique import knowledge
from pratique.casework.writing.numbers import Result, doubtful, impossible, plain, quantity, result, units_of
from pratique.units import AmbiguousNumber, WrongUnit

COPPER, SALINITY, PH = (knowledge.constituent(key) for key in ("copper", "salinity", "ph"))
THIN = "\u202f"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("0.18", Result(value=0.18)),
        ("0,18", Result(value=0.18)),
        ("<0.02", Result(below=0.02)),
        ("< 0,02 mg/L", Result(below=0.02)),
        (">5", Result(above=5.0)),
        ("0.1-0.2", Result(low=0.1, high=0.2)),
        ("0,1 – 0,2", Result(low=0.1, high=0.2)),
        ("0.1 to 0.2 mg/L", Result(low=0.1, high=0.2)),
        ("180 µg/L", Result(value=0.18)),
    ],
)
def test_a_reading_is_taken_as_it_is_written(text: str, shown: Result) -> None:
    """A number, a bound or an interval, with a decimal point or comma, with or without its unit."""
    found = result(text, "mg/L", COPPER)
    assert found.numbers == pytest.approx(shown.numbers)
    assert [found.value is None, found.low is None, found.below is None, found.above is None] == [
        shown.value is None,
        shown.low is None,
        shown.below is None,
        shown.above is None,
    ]


def test_an_interval_that_runs_backwards_is_said_so() -> None:
    """The lower end comes first."""
    with pytest.raises(ValueError, match="lower end first"):
        result("0.2-0.1", "mg/L", COPPER)


def test_a_comma_that_may_part_thousands_is_not_guessed() -> None:
    """1,234 may be two numbers."""
    with pytest.raises(AmbiguousNumber):
        result("1,234", "mg/L", knowledge.constituent("calcium"))


def test_a_temperature_in_fahrenheit_is_kept_in_celsius() -> None:
    """77 °F are 25 °C, by the definition of the scale."""
    assert quantity("77", "°F", "°C") == pytest.approx(25.0)


def test_a_volume_in_degrees_is_refused() -> None:
    """A wrong unit gets a sentence that names what would be right."""
    with pytest.raises(WrongUnit, match="litres or US gallons"):
        quantity("12 °C", "", "L")


@pytest.mark.parametrize(
    ("constituent", "number", "sentence"),
    [
        (SALINITY, 350.0, f"Salinity of 350 cannot be: it lies between 0 and 50{THIN}PSU. Did you mean 35?"),
        (COPPER, 20.0, f"Copper of 20 cannot be: it lies between 0 and 10{THIN}mg/L. Did you mean 0.2?"),
        (PH, 82.0, "pH of 82 cannot be: it lies between 5 and 10. Did you mean 8.2?"),
        (PH, 8.2, None),
    ],
)
def test_what_cannot_be_says_what_would_be_right(
    constituent: knowledge.Constituent, number: float, sentence: str | None
) -> None:
    """A slipped decimal point is put back as a hint."""
    assert impossible(constituent, number) == sentence


def test_a_specific_gravity_written_as_salinity_is_recognised() -> None:
    """1.025 is what a hydrometer shows, and never what a salinity is."""
    assert "specific gravity" in str(impossible(SALINITY, 1.025))


def _units_taken() -> list[tuple[str, str]]:
    """Return every constituent with each unit a form offers for it, and those of mg/L without their basis."""
    bare = {one.key: ("ppm", "ppb", "µg/L") if one.unit.startswith("mg/L") else () for one in knowledge.constituents()}
    return [(one.key, unit) for one in knowledge.constituents() for unit in (*units_of(one), *bare[one.key])]


@pytest.mark.parametrize(("key", "unit"), _units_taken())
def test_whatever_unit_was_taken_is_said_again(key: str, unit: str) -> None:
    """No unit that was understood, with a basis or without, is too strange for the sentence."""
    constituent = knowledge.constituent(key)
    shown = result("1e9", unit, constituent)
    assert " cannot be: " in str(impossible(constituent, shown.numbers[0], unit=shown.unit)).replace(", which", "")


def test_a_unit_without_a_basis_is_the_constituent_s_own() -> None:
    """5 000 000 µg/L of nitrate are 5000 mg/L NO3."""
    sentence = str(impossible(knowledge.constituent("nitrate"), 5000.0, unit="µg/L"))
    assert sentence.startswith(f"5000000{THIN}µg/L is 5000")


def test_what_is_usual_is_not_asked_about() -> None:
    """A course of another form of copper widens what is usual up to its own limit."""
    assert doubtful(COPPER, 0.2) is None
    assert doubtful(COPPER, 2.0) is not None
    assert doubtful(COPPER, 2.0, usual_upper=3.0) is None


@pytest.mark.parametrize(("number", "text"), [(0.1 + 0.2, "0.3"), (480.0, "480"), (1.026435, "1.026435")])
def test_numbers_carry_no_false_digits(number: float, text: str) -> None:
    """What the machine adds behind the last digit is not shown."""
    assert plain(number) == text
