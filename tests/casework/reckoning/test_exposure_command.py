"""`pratique exposure`: from the ledger what `pratique reckon` gives from a file, and in a sentence what is wrong."""

import json
from pathlib import Path
from typing import Any

import pytest
import typer
from tests.casework.keeping import NOON, Keeper, at
from typer.testing import CliRunner, Result

from pratique.cli import exposure, readying, reckon
from pratique.ledger.kinds import places, water

pytestmark = pytest.mark.django_db

EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
METER = "copper_photometer"


@pytest.fixture
def keeper(monkeypatch: pytest.MonkeyPatch, time_machine: Any) -> Keeper:
    """Lazaret with a copper course begun at noon of 1 March, dosed and read for two days; it is two days later."""
    keeper = Keeper()
    keeper.quarantine()
    keeper.write(-1, water.WaterChange(system="lazaret", emptied=True))
    keeper.course()
    keeper.dose(0, 14.4)
    for day in (0.9, 1.9):
        keeper.read(day, "copper", 0.18, METER)
    time_machine.move_to(at(2), tick=False)
    return keeper


def _run(command: Any, *arguments: str) -> Result:
    app = typer.Typer()
    command.register(app)
    app.command("other")(lambda: None)
    return CliRunner().invoke(app, arguments)


def ask(*arguments: str) -> Result:
    """Ask `pratique exposure` in this process, so that it sees the test's own database."""
    return _run(exposure, "exposure", *arguments)


def test_a_script_gets_the_members_of_a_case_answer_and_the_course(keeper: Keeper) -> None:
    """Every name that `pratique reckon --json` gives, and by which course the days were judged."""
    said = ask("--system", "lazaret", "--constituent", "copper", "--json")
    assert (said.exit_code, said.stderr) == (0, "")
    answer = json.loads(said.stdout)
    from_a_file = json.loads(_run(reckon, "reckon", str(EXAMPLES / "lazaret_copper.json"), "--json").stdout)
    assert set(from_a_file) <= set(answer)
    assert set(from_a_file["exposure"]) == set(answer["exposure"])
    assert len(answer["times"]) == len(answer["mean"]) == len(answer["quantiles"]["0.5"])
    course = answer["course"]
    assert (course["key"], course["target_lower"], course["hard_upper"], course["required_days"]) == (
        "copper", 0.15, 0.25, 14.0
    )  # fmt: skip
    assert course["started"] == NOON.isoformat()
    assert answer["exposure"]["longest_unbroken_days"]["mean"] == pytest.approx(2.0, abs=0.2)
    assert answer["exposure"]["probability_held"]["mean"] == 0.0
    assert answer["volume_l"]["mean"] == pytest.approx(80.0, abs=2.0)


def test_a_keeper_gets_a_few_lines(keeper: Keeper) -> None:
    """The level with its 95 %, the volume, the course with its band, and the cautions beside the advice."""
    said = ask("--system", "lazaret", "--constituent", "copper")
    assert said.exit_code == 0
    first = said.stdout.splitlines()[0]
    assert first.startswith("Copper in Lazaret, 03 Mar 12:00: 0.17 (0.1")
    assert first.endswith(" mg/L")
    assert "Copper: 0.15 to 0.20\u202fmg/L, never above 0.25, for 14 days." in said.stdout
    assert "Above 0.25\u202fmg/L: 0.0 (0.0 to 0.0) hours" in said.stdout, "the hard limit, not the band's own upper end"
    assert "veterinarian" in said.stdout
    assert "guess beforehand" in said.stdout


def test_every_moment_told_is_one_of_the_keepers_clock(keeper: Keeper) -> None:
    """Where the household lives eleven hours on, what was 10:48 in Greenwich is told as 21:48, as the level is."""
    keeper.write(1.5, places.Household(name="Harbour Row", zone="Pacific/Noumea"))
    keeper.write(1.0, water.WaterChange(system="lazaret", volume_l=30.0))
    keeper.dose(1.2, 5.4)
    keeper.read(1.95, "copper", 0.60, METER)
    said = ask("--system", "lazaret", "--constituent", "copper").stdout
    assert "Copper in Lazaret, 03 Mar 23:00: " in said
    assert "of 03 Mar 21:48, does not fit" in said
    assert "A dip between 02 Mar 23:" in said


def test_what_is_not_in_a_course_has_no_exposure(keeper: Keeper) -> None:
    """Alkalinity is only reckoned; nothing is judged and nothing advised here."""
    keeper.read(1.5, "alkalinity", 8.0, None)
    answer = json.loads(ask("--system", "lazaret", "--constituent", "alkalinity", "--json").stdout)
    assert (answer["course"], answer["exposure"], answer["advice"]) == (None, None, None)
    assert answer["unit"] == "dKH"


def test_entries_that_do_not_count_are_named_with_the_reason(keeper: Keeper) -> None:
    """A script can show them beside the answer."""
    keeper.read(1.95, "copper", 0.5, "copper_total_colour_chart")
    answer = json.loads(ask("--system", "lazaret", "--constituent", "copper", "--json").stdout)
    assert [one["why"] for one in answer["left_out"]] == ["colour chart, total copper does not read ionic copper."]


@pytest.mark.parametrize(
    ("system", "constituent", "sentence"),
    [
        ("skerry", "copper", "There is no system “skerry”; there are: lazaret."),
        ("lazaret", "gold", "“gold” is not reckoned here; these are: copper, "),
        ("lazaret", "calcium", "Nothing in the ledger tells of calcium in Lazaret"),
    ],
)
def test_what_cannot_be_answered_is_a_sentence(keeper: Keeper, system: str, constituent: str, sentence: str) -> None:
    """Exit code 1, nothing on the output, no traceback."""
    said = ask("--system", system, "--constituent", constituent, "--json")
    assert (said.exit_code, said.stdout) == (1, "")
    assert sentence in said.stderr


def test_the_first_reckoning_of_a_machine_says_that_it_takes_long(
    keeper: Keeper, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On standard error, so that no script trips over it; a second time nothing is said."""
    monkeypatch.setattr("pratique.casework.reckoning.warming.is_warm", lambda: False)
    said = ask("--system", "lazaret", "--constituent", "copper", "--json")
    assert said.stderr.strip() == readying.MAKING_READY == "Making the reckoning ready: about 20 seconds, once."
    json.loads(said.stdout)
    assert _run(reckon, "reckon", str(EXAMPLES / "lazaret_copper.json")).stderr.strip() == readying.MAKING_READY


def test_making_ready_compiles_every_loop_once(monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    """Afterwards the machine is warm, and nothing is said or done again."""
    from pratique.casework.reckoning import warming  # noqa: PLC0415 - loads the loops

    warming.warm_up()
    assert warming.is_warm()
    monkeypatch.setattr(warming, "warm_up", lambda: pytest.fail("compiled twice"))
    readying.make_ready()
    assert capsys.readouterr().err == ""
