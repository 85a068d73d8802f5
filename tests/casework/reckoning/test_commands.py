"""`pratique reckon`: no household, no database, and nothing compiled before it is needed."""

import json
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from pratique.cli.main import app

EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
KEYS = ("0.025", "0.05", "0.25", "0.5", "0.75", "0.95", "0.975")


@pytest.fixture(scope="module", autouse=True)
def _warm() -> None:
    """Compile beforehand: a machine that never reckoned would say on the error output that this takes long."""
    from pratique.casework.reckoning.warming import warm_up  # noqa: PLC0415 - loads the loops

    warm_up()


def _reckon(*arguments: str, typed: str | None = None) -> Result:
    return CliRunner().invoke(app, ["reckon", *arguments], input=typed)


@cache
def _told(name: str) -> dict[str, Any]:
    said = _reckon(str(EXAMPLES / name), "--json")
    assert (said.exit_code, said.stderr) == (0, "")
    found: dict[str, Any] = json.loads(said.stdout)
    return found


def test_an_example_is_answered_by_name() -> None:
    """The level at every hour of 32 days with its quantiles, what was learned, the exposure and the advice."""
    told = _told("lazaret_copper.json")
    count = 32 * 24 + 1
    assert {len(told[name]) for name in ("times", "mean", "sd")} == {count}
    assert tuple(told["quantiles"]) == KEYS
    assert {len(row) for row in told["quantiles"].values()} == {count}
    for name in ("volume_l", "loss_per_day"):
        assert set(told[name]) == {"mean", "sd", "quantiles"}
        assert tuple(told[name]["quantiles"]) == KEYS
    assert {"log_evidence", "surprising_readings", "exposure", "advice"} < set(told)


@pytest.mark.parametrize("name", ["lazaret_copper.json", "skerry_alkalinity.json"])
@pytest.mark.parametrize("member", ["longest_unbroken_days", "credited_days", "hours_above_upper", "probability_held"])
def test_each_member_of_the_exposure_has_mean_quantiles_and_error(name: str, member: str) -> None:
    """The mean lies within its quantiles' reach, and the Monte Carlo error is stated and small beside the spread."""
    found = _told(name)["exposure"][member]
    assert {"mean", "quantiles", "monte_carlo_error"} <= set(found)
    quantiles = [found["quantiles"][key] for key in KEYS]
    assert quantiles == sorted(quantiles)
    assert 0.0 < found["monte_carlo_error"] <= 0.1 * found["sd"]


def test_the_copper_example_is_what_a_hand_reckons() -> None:
    """8 mg in some 80 L read as 0.11 mg/L: near 75 L; a change of 20 L takes a quarter of what was there."""
    told = _told("lazaret_copper.json")
    assert 68.0 < told["volume_l"]["mean"] < 80.0
    level = dict(zip(told["times"], told["mean"], strict=True))
    before, after = level["2026-03-09T17:00:00+00:00"], level["2026-03-09T18:00:00+00:00"]
    assert after / before == pytest.approx(1.0 - 20.0 / told["volume_l"]["mean"], abs=0.02)


def test_the_alkalinity_example_falls_as_a_straight_line_through_its_readings() -> None:
    """An ordinary least-squares line through the six readings falls by 0.073 dKH a day (numpy.polyfit)."""
    told = _told("skerry_alkalinity.json")
    slope = (told["mean"][-1] - told["mean"][0]) / 21.0
    assert slope == pytest.approx(-0.073, abs=0.015)
    assert told["loss_per_day"]["mean"] == 0.0


def test_words_give_lopsided_things_their_interval() -> None:
    """The volume and the loss by median and both ends, never ±; no level in words lies below 0."""
    said = _reckon(str(EXAMPLES / "lazaret_copper.json"))
    assert (said.exit_code, said.stderr) == (0, "")
    lines = dict(line.split(": ", 1) for line in said.stdout.splitlines() if line.startswith(("Net", "Lost")))
    assert all("±" not in line and " to " in line for line in lines.values())
    levels = [line for line in said.stdout.splitlines() if line.startswith("  2026-")]
    assert len(levels) == 33
    assert not any("-" in line[18:] or "\u2212" in line for line in levels)


def test_a_case_may_come_through_a_pipe() -> None:
    """- reads standard input, in a process of its own as anywhere else: the same seed, the same answer."""
    text = (EXAMPLES / "skerry_alkalinity.json").read_text(encoding="utf-8")
    command = [sys.executable, "-m", "pratique", "reckon", "-", "--json"]
    said = subprocess.run(command, input=text, capture_output=True, text=True, check=False)
    assert (said.returncode, said.stderr) == (0, "")
    assert json.loads(said.stdout) == _told("skerry_alkalinity.json")


@pytest.mark.parametrize(
    ("arguments", "typed", "sentence"),
    [
        (("nowhere.json",), None, "nowhere.json cannot be read: No such file or directory."),
        (("-",), "nonsense", "line 1: this is not JSON"),
        (("-", "--json"), '{"seed": -1}', "seed: this must be greater than or equal to 0."),
    ],
)
def test_what_is_wrong_is_a_sentence_on_the_error_output(
    arguments: tuple[str, ...], typed: str | None, sentence: str
) -> None:
    """Exit code 1, nothing on the output, no traceback."""
    said = _reckon(*arguments, typed=typed)
    assert (said.exit_code, said.stdout) == (1, "")
    assert sentence in said.stderr
    assert isinstance(said.exception, SystemExit)


def test_the_command_line_starts_without_what_compiles() -> None:
    """The heavy libraries load when something is reckoned; reading and checking a case needs none of them."""
    looked = (
        "import sys, pratique.cli.main, pratique.casework.reckoning.case_file, pratique.casework.reckoning.case_answer;"
        "print(sorted({'numba', 'scipy', 'statsmodels', 'llvmlite'} & set(sys.modules)))"
    )
    said = subprocess.run([sys.executable, "-c", looked], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "[]"
