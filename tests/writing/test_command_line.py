"""The forms from the command line: the same sentences, on the error output, and exit code 1."""

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from PIL import Image
from typer.testing import CliRunner, Result

from pratique.casework.methods import methods_of
from pratique.cli import rounds as rounds_commands
from pratique.cli import sending
from pratique.cli import setup as setup_commands
from pratique.cli import write as write_commands
from pratique.cli.main import app
from pratique.ledger.household import load_household
from pratique.ledger.queries import entry_count, history
from pratique.web import door

pytestmark = pytest.mark.usefixtures("harbour_row")


@pytest.fixture(autouse=True)
def _home_is_open(monkeypatch: pytest.MonkeyPatch) -> None:
    """The test's database stands in for the home."""
    for commands in (write_commands, setup_commands, rounds_commands, sending):
        monkeypatch.setattr(commands, "open_home", lambda: None)


def _run(*arguments: str, typed: str | None = None) -> Result:
    return CliRunner().invoke(app, list(arguments), input=typed)


def test_a_round_of_readings_is_one_command() -> None:
    """As it would be typed beside the tank."""
    said = _run("write", "readings", "system=lazaret", "copper=0,18", "ph=8.1")
    assert said.exit_code == 0
    assert said.stdout.count("Written: reading") == 2
    assert {one.raw["constituent"] for one in history(limit=2)} == {"copper", "ph"}


def test_a_script_reads_what_was_written() -> None:
    """`--json` prints the entries, with author and moment."""
    said = _run(
        "write", "top-off", "system=haven", "volume=1,5", "--json", "--author", "helper", "--at", "2026-10-20 09:00"
    )
    entry = json.loads(said.stdout)[0]
    assert (entry["kind"], entry["author"], entry["payload"]["volume_l"]) == ("top-off", "helper", 1.5)
    assert entry["happened_at"] == "2026-10-20T09:00:00+01:00"


def test_a_specific_gravity_is_sent_to_the_bench() -> None:
    """What would be right is one command away; other slips are not sent there."""
    said = _run("write", "readings", "system=lazaret", "salinity=1.025")
    assert said.exit_code == 1
    assert "salinity: 1.025 looks like a specific gravity" in said.stderr
    assert said.stderr.splitlines()[-1] == "The bench reckons it: pratique bench salinity --help"
    assert "bench" not in _run("write", "readings", "system=lazaret", "copper=20").stderr


def test_problems_go_to_the_error_output_and_nothing_is_written() -> None:
    """Every sentence with its field."""
    before = entry_count()
    said = _run("write", "readings", "system=lazaret", "copper=20", "ph=82")
    assert said.exit_code == 1
    assert "copper: Copper of 20 cannot be" in said.stderr
    assert "ph: pH of 82 cannot be" in said.stderr
    assert (said.stdout, entry_count()) == ("", before)


def test_a_slip_in_a_question_or_a_form_is_not_lost() -> None:
    """Both are answered with the nearest."""
    assert "Did you mean copper?" in _run("write", "readings", "system=lazaret", "coper=0.18").stderr
    assert "Did you mean readings?" in _run("write", "redings").stderr
    assert "write NAME=VALUE" in _run("write", "readings", "lazaret").stderr


def test_a_doubt_stops_a_script_until_it_says_yes() -> None:
    """Without a terminal nothing can be asked."""
    refused = _run("write", "dose", "system=haven", "stock=blue-bottle", "amount=2 mL")
    assert refused.exit_code == 1
    assert "Haven's net volume is not known" in refused.stderr
    assert "--yes" in refused.stderr
    written = _run("write", "dose", "system=haven", "stock=blue-bottle", "amount=2 mL", "--yes")
    assert written.exit_code == 0
    assert "Caution: Copper harms or kills most corals" in written.stdout


@pytest.mark.parametrize(("answer", "written"), [("y", 1), ("n", 0)])
def test_a_doubt_is_asked_at_a_terminal(monkeypatch: pytest.MonkeyPatch, answer: str, written: int) -> None:
    """Yes writes, no does not."""
    monkeypatch.setattr(sending, "_is_terminal", lambda: True)
    before = entry_count()
    _run("write", "dose", "system=haven", "stock=blue-bottle", "amount=2 mL", typed=f"{answer}\n")
    assert entry_count() - before == written


def test_the_forms_and_their_questions_are_listed() -> None:
    """A script writer finds every name."""
    assert "water-change" in _run("write", "--list").stdout
    asked = _run("write", "feeding", "system=lazaret", "--fields").stdout
    assert "fed-maiden-goby" in asked
    assert "frozen_mysis" in asked


def test_an_entry_is_amended_and_withdrawn_by_its_id() -> None:
    """What is left out of an amendment stays as it was."""
    entry = json.loads(_run("write", "top-off", "system=haven", "volume=2", "words=Warm day.", "--json").stdout)[0]
    amended = json.loads(_run("write", "top-off", "volume=3", "--amends", entry["id"], "--json").stdout)[0]
    assert amended["payload"] == {"system": "haven", "volume_l": 3.0, "words": "Warm day."}
    assert _run("withdraw", amended["id"], "It was the other tank.").exit_code == 0
    assert "not an entry's id" in _run("withdraw", "12", "It was.").stderr


def test_one_id_sent_twice_is_written_once() -> None:
    """A script may try again."""
    sent = ("write", "top-off", "system=haven", "volume=2", "--id", "01a21314-df81-7695-96ae-d2235d889b53")
    before = entry_count()
    assert _run(*sent).stdout == _run(*sent).stdout
    assert entry_count() == before + 1


def test_animals_move_in_one_short_command() -> None:
    """By name, into a box."""
    assert _run("move", "Maiden goby", "six-line-wrasse", "--to", "skerry/creel").exit_code == 0
    place = load_household().animals["maiden-goby"].place
    assert place is not None
    assert place.compartment == "creel"


def test_a_batch_is_received_in_one_short_command() -> None:
    """Kinds, names and numbers in a row."""
    said = _run(
        "batch",
        "receive",
        "--protocol",
        "copper_ionic_30",
        "--name",
        "B2",
        "royal_gramma",
        "Pair=banggai_cardinalfish:2",
    )
    assert said.exit_code == 0
    household = load_household()
    assert household.batches["b2"].animals == ("royal-gramma", "pair")
    assert household.animals["pair"].count == 2


def test_a_course_is_planned_begun_and_stopped() -> None:
    """From plan to end; a plan that could kill is refused with its sentence."""
    refused = _run("course", "plan", "--system", "skerry", "--stock", "blue-bottle", "--yes")
    assert refused.exit_code == 1
    assert "Copper kills invertebrates" in refused.stderr
    assert _run("course", "plan", "--system", "lazaret", "--batch", "b1", "--stock", "blue-bottle").exit_code == 0
    assert _run("course", "start", "b1-copper", "--at", "2026-10-21 09:00").exit_code == 0
    assert _run("course", "stop", "b1-copper", "--at", "2026-10-22 09:00", "--yes").exit_code == 0
    assert load_household().courses["b1-copper"].standing == "finished"


def test_a_planned_course_says_its_key_and_what_begins_it() -> None:
    """No one has to guess the key."""
    said = _run("course", "plan", "--system", "lazaret", "--batch", "b1", "--stock", "blue-bottle")
    assert "Its key is b1-copper. When it begins: pratique course start b1-copper\n" in said.stdout


def test_an_amended_number_without_a_unit_is_in_the_household_s_own() -> None:
    """Not in the unit the ledger keeps: 3 US gal are 11.36 L (NIST Handbook 44: 231 cubic inches)."""
    assert _run("household", "set-up", "--volume-unit", "US gal").exit_code == 0
    entry = json.loads(_run("write", "top-off", "system=haven", "volume=2", "--json").stdout)[0]
    amended = json.loads(_run("write", "top-off", "volume=3", "--amends", entry["id"], "--json").stdout)[0]
    assert amended["payload"]["volume_l"] == pytest.approx(3 * 231 * 0.0254**3 * 1000)


def test_the_rounds_of_a_day_before_setting_up_say_so() -> None:
    """The household is there now; it was not there then."""
    said = _run("rounds", "--on", "2026-09-01")
    assert said.stdout == "On that day no household was set up yet.\n"


def test_the_rounds_know_today_and_yesterday() -> None:
    """As a keeper says it, capitals apart."""
    today = datetime.now(UTC).astimezone(load_household().zone).date()
    on_today = json.loads(_run("rounds", "--on", "today", "--json").stdout)
    yesterday = json.loads(_run("rounds", "--on", "Yesterday", "--json").stdout)
    assert date.fromisoformat(on_today["day"]) - date.fromisoformat(yesterday["day"]) == timedelta(days=1)
    assert on_today["day"] == today.isoformat()


def test_a_day_that_cannot_be_read_gets_a_sentence() -> None:
    """With what would be right."""
    said = _run("rounds", "--on", "last week")
    assert said.exit_code == 1
    assert said.stderr == "“last week” is not a day; write it like 2026-11-20, or today or yesterday.\n"


def test_a_picture_is_written_from_its_file(tmp_path: Path) -> None:
    """The answer names the file."""
    path = tmp_path / "rock.png"
    Image.new("RGB", (8, 6), (120, 90, 40)).save(path)
    assert _run("write", "photo", f"file={path}", "subjects=skerry").exit_code == 0
    assert "cannot be read" in _run("write", "photo", f"file={tmp_path / 'none.png'}").stderr


def test_a_household_is_set_up_from_nothing_to_a_method() -> None:
    """Every command of setting up writes what it says."""
    assert _run("household", "set-up", "--name", "Row", "--person", "Keeper", "--person", "Helper").exit_code == 0
    assert _run("system", "add", "Bay", "--role", "holding", "--gross", "20 gal").exit_code == 0
    assert _run("system", "change", "bay", "--net", "60 L").exit_code == 0
    assert _run("system", "add-compartment", "Nook", "--system", "bay", "--form", "box").exit_code == 0
    assert (
        _run("stock", "add", "Fresh", "--substance", "copper_ionic", "--salt", "3.93", "--made-up-to", "1 L").exit_code
        == 0
    )
    assert _run("method", "edit", "copper_photometer", "plus-minus=0.04").exit_code == 0
    assert _run("method", "edit", "Old chart", "constituents=nitrate", "marks=0; 5; 10").exit_code == 0
    household = load_household()
    assert household.state is not None
    assert (household.state.people, household.state.zone) == (("Keeper", "Helper"), "Europe/London")
    assert household.systems["bay"].net_volume_l == 60
    assert {"copper_photometer", "old-chart"} <= set(methods_of(household))
    assert "old-chart" in _run("method", "list").stdout
    assert any(one["key"] == "ph_meter" for one in json.loads(_run("method", "list", "--json").stdout))


def test_a_passphrase_is_asked_for_twice_and_long_enough(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A lost one is replaced by the same command, which says so."""
    monkeypatch.setattr(door, "passphrase_file", lambda: tmp_path / "passphrase.argon2")
    short = _run("passphrase", "set", typed="short\nshort\n")
    assert short.exit_code == 1
    assert "at least 10 letters" in short.stderr
    assert not door.has_passphrase()
    assert _run("passphrase", "set", typed="four plain words\nfour plain words\n").exit_code == 0
    assert door.has_passphrase()
    again = _run("passphrase", "set", typed="five plain words\nfive plain words\n")
    assert "cannot be read back, only replaced" in again.stdout
