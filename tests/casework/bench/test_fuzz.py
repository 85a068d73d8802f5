"""Random requests: whatever is typed, the bench gives an answer or a sentence, never a fault or an endless number."""

import re
from math import isfinite

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pratique.casework.bench.card import PLUS_MINUS, WAY, BenchAnswer, Card, NotAnswered, Way
from pratique.casework.bench.cards import BENCH
from pratique.casework.bench.reckon import reckon
from pratique.casework.writing.fields import Field

UNITS = ("", "L", "gal", "°F", "C", "mg/L", "mg/L NO3-N", "dKH", "%", "mS/cm", "µmol/kg", "PSU", "g", "sg", "furlong")
FORMULAS = (
    "CuSO4.5H2O",
    "CaCl2",
    "NaHCO3",
    "Ca(OH)2",
    "KNO3",
    "Xx2",
    "H2O",
    "(((",
    "C999999999",
    "Na2CO3·10H2O",
    "e",
    "CuSO4.H2O",
)
ODD_NUMBERS = (
    "0",
    "-1",
    "1e9",
    "1e-9",
    "1e308",
    "1e-308",
    "nan",
    "inf",
    "1,234",
    "8,1",
    "½",
    "--5",
    ".",
    "1 000",
    "35 ± 1",
)
ODD_TEXTS = ("", " ", "no", "60F/60F", "15/4", "0/0", "²", "\x00", "a" * 300)
NEVER_SHOWN = re.compile(r"\b(nan|inf)\b", re.IGNORECASE)


def _numbers() -> st.SearchStrategy[str]:
    usual = st.floats(min_value=0.0, max_value=500.0, allow_nan=False).map(lambda number: f"{number:.4g}")
    wide = st.floats(allow_nan=True, allow_infinity=True).map(str)
    return st.one_of(usual, usual, usual, st.sampled_from(ODD_NUMBERS), wide)


def _typical(field: Field) -> st.SearchStrategy[str]:
    """Return numbers near what the question usually gets, so that many requests come to an answer."""
    ranges = {
        "salinity": (5, 45),
        "temperature": (5, 35),
        "ph": (7, 9),
        "specific_gravity": (1.01, 1.035),
        "hydrometer": (1.01, 1.035),
        "refractive_index": (1.334, 1.342),
        "density": (1005, 1030),
        "alkalinity": (4, 15),
        "purity": (50, 100),
        "salt_part": (60, 100),
        "times": (1, 9),
        "fish_count": (1, 9),
    }
    low, high = ranges.get(field.name, (0.05, 100.0))
    whole = field.name in {"times", "fish_count"}
    return st.floats(low, high).map(lambda number: str(int(number)) if whole else f"{number:.5g}")


def _answer(field: Field) -> st.SearchStrategy[str]:
    if field.options:
        keys = [one.value for one in field.options]
        return st.one_of(st.sampled_from(keys), st.sampled_from(keys), st.sampled_from(ODD_TEXTS), st.text(max_size=12))
    if field.name == "formula":
        return st.one_of(st.sampled_from(FORMULAS), st.text("CaNOHl2345().· ", max_size=12))
    if field.units or field.name.endswith(PLUS_MINUS):
        with_unit = st.tuples(_numbers(), st.sampled_from(UNITS)).map(" ".join)
        return st.one_of(_typical(field), _typical(field), _typical(field), with_unit)
    return st.one_of(_typical(field), _typical(field), _numbers(), st.text(max_size=12))


# Chosen or left out together, where a card asks for one of two, or for all of several.
OTHERWISE_GIVEN = {"formula", "other_reference", "contents", "strength", "unit", "constituent"}
NEEDED_WITH_CARE = {"substance", "temperature", "ph", "alkalinity", "unit"}


@st.composite
def _careful(draw: st.DrawFn, way: Way) -> dict[str, str]:
    """Return answers as a keeper in a good hour gives them: all that is needed, and mostly sound."""
    answers = {}
    for field in way.fields:
        is_needed = field.required or field.name in NEEDED_WITH_CARE
        if not is_needed and (field.name in OTHERWISE_GIVEN or draw(st.integers(0, 4))):
            continue
        keys = [one.value for one in field.options]
        answers[field.name] = draw(st.sampled_from(keys) if keys else _typical(field))
    return answers


@st.composite
def _careless(draw: st.DrawFn, way: Way) -> dict[str, str]:
    """Return answers of which any may be missing, misspelt, in a wrong unit or beyond all bounds."""
    answers = {}
    for field in way.fields:
        if draw(st.integers(0, 9)) < (9 if field.required else 3):
            answers[field.name] = draw(_answer(field))
        if field.units and draw(st.integers(0, 4)) == 0:
            answers[f"{field.name}_unit"] = draw(st.sampled_from((*field.units, "stone")))
    return answers


@st.composite
def _requests(draw: st.DrawFn) -> tuple[str, dict[str, str]]:
    card: Card = draw(st.sampled_from(list(BENCH.values())))
    way: Way = draw(st.sampled_from(card.ways))
    is_careful = draw(st.booleans())
    answers = draw(_careful(way) if is_careful else _careless(way))
    if is_careful and not draw(st.integers(0, 2)):
        # One slip in an otherwise sound request goes deepest.
        slip: Field = draw(st.sampled_from(way.fields))
        answers[slip.name] = draw(_answer(slip))
    if len(card.ways) > 1 and (is_careful or draw(st.booleans())):
        answers[WAY] = way.key
    if draw(st.integers(0, 9)) == 0:
        stray: Field = draw(st.sampled_from(card.fields))
        answers[stray.name] = draw(_answer(stray))
    return card.name, answers


def _reckoned(name: str, answers: dict[str, str]) -> BenchAnswer | NotAnswered:
    try:
        return reckon(name, answers)
    except NotAnswered as refusal:
        return refusal


def _hold(name: str, answers: dict[str, str]) -> None:
    found = _reckoned(name, answers)
    if isinstance(found, NotAnswered):
        assert found.fields
        assert all(len(sentence) > 10 for sentence in found.fields.values())
        return
    numbers = [found.value, found.plus_minus, *(one.value for one in found.more)]
    assert all(isfinite(number) for number in numbers)
    shown = [found.words, *(line.number for line in (*found.working, *found.steps)), *found.assumed, found.volume_words]
    assert not [text for text in shown if NEVER_SHOWN.search(text)]
    assert found.sources


@given(_requests())
@settings(max_examples=400, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
def test_a_few_hundred_requests_are_answered_or_refused(asked: tuple[str, dict[str, str]]):
    """An answer is finite in every number it shows; a refusal has a sentence for each field."""
    _hold(*asked)


@pytest.mark.prove
@given(_requests())
@settings(max_examples=10_000, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_ten_thousand_requests_are_answered_or_refused(asked: tuple[str, dict[str, str]]):
    """The same at full size, with other requests each time."""
    _hold(*asked)
