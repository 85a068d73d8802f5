"""Every row of `check_values.csv` against our functions, at the tolerance the row states.

The functions that answer rows stand in the modules `rows_*.py` beside this file. Each has a `ROWS` that maps an id, or
the start of several ids, to a function of the row's parsed inputs; the longest start wins. A row without one fails.
"""

import csv
import importlib
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

HERE = Path(__file__).parent

# The rows not held here, each with the reason.
_CRITERION = "a mean over hours or days that a law allows; a kit gives none, so nothing here reckons with it"
EXCLUDED: dict[str, str] = {"NH3-CRIT1": _CRITERION, "NH3-CRIT2": _CRITERION}
# Rows that ask the library beneath us alone: that it is the one the others were computed with, nothing of ours.
OF_THE_LIBRARY = frozenset({"TEOS-2", "TEOS-3", "TEOS-5", "TEOS-6", "FRZ-1", "CP-1"})
# A convention is what it is by agreement; the row only holds ours to it.
BY_CONVENTION = frozenset({"ALK-1"})

# The other rows are computed with the library they name: they show that we agree with it, not that either is right.
PUBLISHED = (
    "PSS78-", "COND-1", "TEOS-", "EOS80-", "DSC07-", "NH3-BB", "NH3-CWT", "NH3-CWF", "O2-1", "O2-BK-",
    "ION-",
)  # fmt: skip

with (HERE / "check_values.csv").open(encoding="utf-8", newline="") as file:
    CHECKS = list(csv.DictReader(file))
MODULES = [importlib.import_module(f"tests.published.{path.stem}") for path in sorted(HERE.glob("rows_*.py"))]
FUNCTIONS: dict[str, Callable[[dict], float]] = {key: work for module in MODULES for key, work in module.ROWS.items()}


def parsed(inputs: str) -> dict[str, float | str]:
    """Return `SP=35;scale=total` as names with numbers, or with words where they are none."""
    named = dict(part.split("=", 1) for part in inputs.split(";") if part)
    return {name: _number_or_word(text) for name, text in named.items()}


def _number_or_word(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def starts_of(row_id: str) -> list[str]:
    """Return the keys of the registry that this id begins with, the longest first."""
    return sorted((key for key in FUNCTIONS if row_id.startswith(key)), key=len, reverse=True)


def standing_of(row: dict[str, str]) -> str:
    """Say what a row proves: agreement with a print, with a print as recalled, with a library, or nothing of ours."""
    if row["id"] in OF_THE_LIBRARY:
        return "checks the library"
    if row["id"] in BY_CONVENTION:
        return "convention"
    if row["status"].startswith("MEMORY"):
        return "recalled"
    return "published" if row["id"].startswith(PUBLISHED) else "agreement"


@pytest.mark.parametrize("row", [pytest.param(row, id=row["id"]) for row in CHECKS if row["id"] not in EXCLUDED])
def test_every_row_is_met_at_its_own_tolerance(row, record_property):
    """The value our function gives lies within the absolute tolerance of the row."""
    starts = starts_of(row["id"])
    assert starts, f"no function answers {row['id']} ({row['quantity']})"
    got = FUNCTIONS[starts[0]](parsed(row["inputs"]) | {"id": row["id"]})
    record_property("check_value", [row["id"], row["value"], f"{got:.10g}", standing_of(row), row["source"]])
    assert abs(got - float(row["value"])) <= float(row["tolerance"])


def test_the_file_is_whole_and_no_id_stands_twice():
    """All 239 rows are read, each with a source and a status."""
    assert len({row["id"] for row in CHECKS}) == len(CHECKS) == 239
    assert all(row["source"] and row["status"] for row in CHECKS)


def test_a_row_that_asks_the_library_alone_does_not_count_as_ours():
    """The functions that answer such rows call gsw itself, and only those."""
    ours = (FUNCTIONS[starts_of(name)[0]].__code__.co_names for name in OF_THE_LIBRARY)
    assert all("gsw" in names for names in ours)
    others = {starts_of(row["id"])[0] for row in CHECKS if row["id"] not in OF_THE_LIBRARY | set(EXCLUDED)}
    assert [name for name in others if "gsw" in FUNCTIONS[name].__code__.co_names] == []


def test_no_function_is_given_twice_or_answers_nothing():
    """Two modules cannot answer one row, and every function of a registry is the one that answers some row."""
    keys = Counter(key for module in MODULES for key in module.ROWS)
    assert [key for key, count in keys.items() if count > 1] == []
    answering = {starts[0] for starts in (starts_of(row["id"]) for row in CHECKS) if starts}
    assert sorted(set(keys) - answering) == []


def test_an_excluded_row_exists_and_is_answered_by_nothing():
    """A reason outlives neither its row nor the function that comes to answer it."""
    assert [name for name in EXCLUDED if name not in {row["id"] for row in CHECKS} or starts_of(name)] == []
