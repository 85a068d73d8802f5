"""Quantities at the edges: what a keeper writes, in our units."""

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pratique.units import (
    AmbiguousNumber,
    NotANumber,
    WrongUnit,
    basis_of,
    parse_number,
    parse_quantity,
    show,
    split_quantity,
    to_basis,
    to_canonical,
)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("0.18", 0.18),
        ("0,18", 0.18),
        (" 12,5 ", 12.5),
        ("0,123", 0.123),
        (",5", 0.5),
        ("1234", 1234.0),
        ("1 234", 1234.0),
        ("1\u202f234,5", 1234.5),
        ("1\u00a0234\u00a0567", 1234567.0),
        ("1,234.5", 1234.5),
        ("1.234,5", 1234.5),
        ("1.025", 1.025),
        ("1234,567", 1234.567),
        ("\u22121.5", -1.5),
        ("2e-3", 0.002),
    ],
)
def test_a_number_is_read_as_it_was_meant(text: str, number: float) -> None:
    """Points, commas, minus signs and spaces between thousands are all understood."""
    assert parse_number(text) == number


def test_one_comma_before_three_digits_is_not_guessed() -> None:
    """`1,234` may be a thousand or one and a bit; the sentence names both readings."""
    with pytest.raises(AmbiguousNumber, match=r"“1,234” can be read as 1234 or as 1\.234"):
        parse_number("1,234")


@pytest.mark.parametrize("text", ["1.234.567", "1,234,567", "12,345"])
def test_thousands_marks_are_not_guessed(text: str) -> None:
    """Groups of three digits with nothing else to go by are ambiguous."""
    with pytest.raises(AmbiguousNumber, match="can be read as"):
        parse_number(text)


def test_a_named_decimal_mark_settles_it() -> None:
    """Once the keeper has said which mark is the decimal one, the other parts thousands."""
    assert parse_number("1,234", decimal_mark=",") == 1.234
    assert parse_number("1,234", decimal_mark=".") == 1234.0
    assert parse_number("1.350", decimal_mark=",") == 1350.0


@pytest.mark.parametrize("text", ["", "abc", "1..2", "1,2,3", "12 5", "nan", "inf", "1.2.3", "5-6", "--1", "8,1?"])
def test_what_is_not_a_number_gets_a_sentence(text: str) -> None:
    """The sentence says what a number looks like."""
    with pytest.raises(NotANumber, match=r"is not a number; write it like 0\.18"):
        parse_number(text)


@given(st.floats(min_value=-1e6, max_value=1e6))
def test_a_plain_decimal_comes_back(number: float) -> None:
    """Four decimals with a point or a comma are read as the same number."""
    written = f"{number:.4f}"
    assert parse_number(written) == parse_number(written.replace(".", ",")) == float(written)


@pytest.mark.parametrize(
    ("number", "unit", "canonical", "expected"),
    [
        (12.0, "US gal", "L", 45.424941408),  # 3.785411784 L exactly (NIST Handbook 44, appendix C)
        (10.0, "imperial gal", "L", 45.4609),  # 4.54609 L exactly (UK Units of Measurement Regulations 1995)
        (250.0, "mL", "L", 0.25),
        (78.8, "°F", "°C", 26.0),  # °C = (°F − 32) / 1.8, by definition
        (32.0, "F", "°C", 0.0),
        (0.18, "ppm", "mg/L", 0.18),  # hobby convention: ppm is mg/L (common practice, no source)
        (30.0, "ppb", "mg/L", 0.03),
        (30.0, "μg/L", "mg/L", 0.03),
        (2500.0, "mg", "g", 2.5),
        (2.0, "in", "cm", 5.08),  # 2.54 cm exactly (international yard and pound agreement 1959)
        (2.5, "meq/L", "dKH", 7.0),  # 2.8 dKH to the meq/L by convention
        (125.0, "mg/L CaCO3", "dKH", 7.0),
        (35.0, "ppt", "PSU", 35.0),
        (8.1, "pH", "NBS", 8.1),
    ],
)
def test_units_come_to_ours(number: float, unit: str, canonical: str, expected: float) -> None:
    """Legal and defined factors; the source stands beside each."""
    assert to_canonical(number, unit, canonical) == pytest.approx(expected, rel=1e-12, abs=1e-10)


@pytest.mark.parametrize(
    ("basis", "wanted", "factor"),
    [
        # Nitrogen and phosphorus ratios as an independent table of atomic masses gives them (chemistry reference, §7).
        ("NO3-N", "NO3", 4.4267),
        ("NO2-N", "NO2", 3.2844),
        ("P", "PO4", 3.0662),
        ("N", "NH4", 1.2878),
        ("N", "NH3", 1.2158),
        ("Si", "SiO2", 2.1393),
    ],
)
def test_a_basis_moves_to_another(basis: str, wanted: str, factor: float) -> None:
    """Factors agree with the table to its last digit, there and back."""
    assert to_basis(1.0, basis, wanted) == pytest.approx(factor, abs=1e-4)
    assert to_basis(to_basis(2.0, basis, wanted), wanted, basis) == pytest.approx(2.0)


def test_a_unit_may_carry_its_basis() -> None:
    """`mg/L NO3-N` and `ppm as NH₃` come to the basis of the canonical unit."""
    assert to_canonical(5.0, "mg/L NO3-N", "mg/L NO3") == pytest.approx(5 * 4.4267, rel=1e-4)
    assert to_canonical(1.0, "ppm as NH₃", "mg/L as N") == pytest.approx(1 / 1.2158, rel=1e-4)
    assert to_canonical(9.8, "ppb P", "mg/L PO4") == pytest.approx(0.030, abs=1e-4)
    assert to_canonical(5.0, "ppm", "mg/L NO3") == 5.0


def test_whether_a_basis_was_named_can_be_asked() -> None:
    """Who must not guess asks first."""
    assert basis_of("mg/L NO3-N") == "N"
    assert basis_of("mg/L NO3") == "NO3"
    assert basis_of("ppm") is None
    assert basis_of("furlong") is None


def test_a_wrong_unit_is_told_what_would_be_right() -> None:
    """The sentence names the units that fit."""
    with pytest.raises(WrongUnit, match="Volume is in litres or US gallons, not °C"):
        to_canonical(25.0, "°C", "L")
    with pytest.raises(WrongUnit, match=r"“furlong” is not a unit known here; Temperature is in °C or °F"):
        to_canonical(25.0, "furlong", "°C")
    with pytest.raises(WrongUnit, match="not mg/L NO3"):
        to_canonical(1.0, "mg/L NO3", "mg/L")


def test_nitrite_is_not_nitrate() -> None:
    """Both count nitrogen, but one is not told as the other."""
    with pytest.raises(WrongUnit, match="different substances"):
        to_canonical(1.0, "mg/L NO2", "mg/L NO3")
    with pytest.raises(WrongUnit, match="different substances"):
        to_basis(1.0, "PO4", "N")


@pytest.mark.parametrize("unit", ["SG", "specific gravity"])
def test_specific_gravity_is_refused_with_the_reason(unit: str) -> None:
    """Without its two temperatures it is no salinity."""
    with pytest.raises(WrongUnit, match="not specific gravity"):
        to_canonical(1.025, unit, "PSU")


def test_a_number_with_its_unit_is_read_at_once() -> None:
    """`12 gal` is litres, and no unit at all is the canonical one."""
    assert parse_quantity("12 gal", "L") == pytest.approx(12 * 3.785411784)
    assert parse_quantity("78,8F", "°C") == pytest.approx(26.0)
    assert parse_quantity("20", "L") == 20.0
    assert split_quantity("1 234 mL") == ("1 234", "mL")
    assert split_quantity("much") == ("", "much")


def test_numbers_are_shown_without_false_digits() -> None:
    """A thin space before the unit, a true minus sign, and no minus zero."""
    assert show(0.1812, 2, "mg/L") == "0.18\u202fmg/L"
    assert show(-1.25, 1) == "\u22121.2"
    assert show(-0.001, 1, "°C") == "0.0\u202f°C"


def test_units_start_without_the_heavy_library() -> None:
    """Importing the module does not import Pint; only a conversion does."""
    code = "import sys, pratique.units; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
