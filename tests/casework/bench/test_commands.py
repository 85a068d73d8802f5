"""The bench on the command line, in a process of its own: no household, no database."""

import json
import subprocess
import sys
from typing import Any

import pytest

NINE = {"salinity", "ammonia", "alkalinity", "carbonate", "oxygen", "dose", "dilution", "mix", "convert"}


def _bench(*arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "pratique", "bench", *arguments]
    return subprocess.run(command, capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL)


def _told(*arguments: str) -> dict[str, Any]:
    said = _bench(*arguments, "--json")
    assert said.returncode == 0, said.stderr
    found: dict[str, Any] = json.loads(said.stdout)
    return found


def test_the_bench_lists_every_card():
    """All nine are there, and those that came since."""
    listed = _bench("--help").stdout
    assert not [name for name in NINE if f"\n  {name} " not in listed]


@pytest.mark.parametrize(
    ("arguments", "value", "unit"),
    [
        # 249.685 of 63.546 g/mol for 20 mg of copper: molar masses.
        (("dose", "--substance", "CuSO4.5H2O", "--volume", "100L", "--raise", "0.20mg/L"), 78.6, "mg"),
        # The scale of 1978 and TEOS-10, recomputed with gsw.
        (("salinity", "--conductivity", "53.07mS/cm", "--temperature", "25C"), 35.0, "PSU"),
        (
            ("salinity", "--specific-gravity", "1.0264", "--reference", "25/25", "--temperature", "25C"),
            35.0,
            "PSU",
        ),
        # Garcia & Gordon 1992.
        (("oxygen", "--salinity", "35", "--temperature", "25C"), 6.77, "mg/L"),
        (("convert", "--amount", "26 gal", "--into", "L"), 98.4, "L"),
    ],
)
def test_a_card_prints_its_answer_for_a_script(arguments: tuple[str, ...], value: float, unit: str):
    """Value, unit, error and sources; numbers to the digit that is meant."""
    found = _told(*arguments)
    assert (found["value"], found["unit"]) == (value, unit)
    assert found["plus_minus"] >= 0
    assert all(one["source"] and one["status"] for one in found["sources"])


def test_an_error_is_given_beside_a_number():
    """2 % of a volume is 2 % of a dose."""
    arguments = ("dose", "--substance", "NaHCO3", "--volume", "100", "--volume-plus-minus", "2%", "--raise", "1dKH")
    assert _told(*arguments)["plus_minus"] == pytest.approx(0.06, abs=0.001)


def test_words_hold_the_cautions_and_the_working():
    """What a script may leave out, a person must read."""
    said = _bench("dose", "--substance", "CuSO4.5H2O", "--volume", "100L", "--raise", "0.20mg/L").stdout
    assert "Dissolve 78.6" in said
    assert "Caution: Copper harms or kills" in said
    assert "Molar mass" in said
    assert "IUPAC" in said


def test_a_refusal_names_the_option_and_ends_with_one():
    """The sentence stands at the option it is about."""
    said = _bench("dose", "--substance", "CaCl2", "--volume", "100L", "--raise", "10mg/L", "--json")
    assert said.returncode == 1
    assert said.stderr.startswith("--substance: CaCl2 is sold with different amounts of water")
    assert said.stdout == ""


def test_the_bench_costs_other_commands_nothing():
    """The libraries of the sea and of pictures load only when something is reckoned or measured."""
    slow = {"gsw", "molmass", "django", "numpy", "cv2", "av", "PIL"}
    script = f"import sys, pratique.cli.main; print(sorted({slow} & set(sys.modules)))"
    said = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "[]"
