"""`pratique ledger …`: each command does its work, says so in a sentence, and speaks JSON to a script."""

import json
import shutil
import tomllib
from pathlib import Path

import pytest
import typer
from tests.ledger.builders import a_reading, a_withdrawal_of, an_entry, harbour_row
from tests.ledger.commands import run_ledger

from pratique.cli import ledger
from pratique.ledger.append import append
from pratique.ledger.kinds.places import Stock
from pratique.ledger.models import Subject
from pratique.ledger.queries import entry_count

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


pytestmark = pytest.mark.usefixtures("household")


@pytest.fixture
def household(db: None, home: Path) -> None:
    """Harbour Row with its copper stock."""
    stock = Stock(key="copper-stock", name="copper stock", substance="copper_ionic", strength_mg_per_ml=1.0)
    append([*harbour_row(), an_entry(stock)])


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    """The shipped messy sheet, in a folder of its own."""
    return Path(shutil.copy(EXAMPLES / "harbour-row-spreadsheet.csv", tmp_path))


def test_import_says_what_went_where(sheet: Path) -> None:
    """Each reason with its line and column, then the counts and the name of the file with the rest."""
    done = run_ledger("import", sheet, "--mapping", EXAMPLES / "harbour-row-mapping.toml")
    assert done.exit_code == 0
    assert "Line 6, column Date: “03/04/2024” can be read as 3 April or as 4 March" in done.stdout
    assert "Line 22: This line cannot be taken apart" in done.stdout
    assert "30 lines: 13 good, 14 kept aside, 2 duplicates, 0 already there, 1 blank.\n30 entries added." in done.stdout
    assert "kept-aside-harbour-row-spreadsheet.csv" in done.stdout
    assert "Not looked at, as the mapping does not name them: Mood." in done.stdout


def test_import_speaks_json_and_can_be_tried_dry(sheet: Path) -> None:
    """A script reads the same counts; nothing is written."""
    before = entry_count()
    done = run_ledger("import", sheet, "--mapping", EXAMPLES / "harbour-row-mapping.toml", "--dry-run", "--json")
    report = json.loads(done.stdout)
    assert (report["good"], report["kept_aside"], report["entries_added"]) == (13, 14, 30)
    assert report["reasons"][0]["line"] == 6
    assert entry_count() == before
    assert (
        "nothing was written"
        in run_ledger("import", sheet, "--mapping", EXAMPLES / "harbour-row-mapping.toml", "--dry-run").stdout
    )


def test_import_without_a_mapping_leaves_a_draft_to_finish(sheet: Path) -> None:
    """No terminal to ask at: the draft lies beside the file, and is not covered up the next time."""
    done = run_ledger("import", sheet)
    draft = sheet.with_name("harbour-row-spreadsheet-mapping.toml")
    assert done.exit_code == 1
    assert (
        f"a draft is in {draft}; finish it, then run: pratique ledger import {sheet} --mapping {draft}" in done.stderr
    )
    assert tomllib.loads(draft.read_text(encoding="utf-8"))["date"] == "Date"
    draft.write_text("half finished", encoding="utf-8")
    again = run_ledger("import", sheet)
    assert again.exit_code == 1
    assert "There is a mapping beside the file" in again.stderr
    assert draft.read_text(encoding="utf-8") == "half finished"


def test_import_at_a_terminal_asks_and_keeps_the_answers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An answer that is not possible is asked for again; the answers can be used again."""
    path = tmp_path / "small.csv"
    path.write_text("when;Cu\n2024-11-03 18:30;0,18\n", encoding="utf-8")
    answers = iter(["a date", "date", "reading", "copper", "mg/L", "Europe/London", "", "", "", "lazaret"])
    monkeypatch.setattr(typer, "prompt", lambda *_args, **_more: next(answers))
    monkeypatch.setattr(ledger, "_at_a_terminal", lambda: True)
    done = run_ledger("import", path)
    assert done.exit_code == 0, done.stderr
    assert "1 line: 1 good, 0 kept aside" in done.stdout
    assert "1 entry added." in done.stdout
    assert "“a date” is not one of: date, time" in done.stderr
    again = run_ledger("import", path, "--mapping", tmp_path / "small-mapping.toml")
    assert "0 good, 0 kept aside, 0 duplicates, 1 already there" in again.stdout


@pytest.mark.parametrize(
    ("mapping", "sentence"),
    [('date = "day"', "a column “day”, which the file does not have"), ("=", "not readable TOML")],
)
def test_a_mapping_that_does_not_fit_ends_with_a_sentence(sheet: Path, mapping: str, sentence: str) -> None:
    """No line has been looked at."""
    path = sheet.with_name("mine.toml")
    path.write_text(mapping, encoding="utf-8")
    done = run_ledger("import", sheet, "--mapping", path)
    assert done.exit_code == 1
    assert sentence in done.stderr


def test_a_file_that_is_not_there_ends_with_a_sentence(tmp_path: Path) -> None:
    """So do an empty one and a folder without an export."""
    assert (
        "nothing.csv cannot be read or written: no such file" in run_ledger("import", tmp_path / "nothing.csv").stderr
    )
    (tmp_path / "empty.csv").touch()
    assert "The file is empty" in run_ledger("import", tmp_path / "empty.csv").stderr
    done = run_ledger("restore", tmp_path)
    assert done.exit_code == 1
    assert "There is no entries.jsonl" in done.stderr


def test_export_and_restore_say_how_much(tmp_path: Path) -> None:
    """In words, and as JSON."""
    assert run_ledger("export", tmp_path / "out").stdout == "7 entries and 0 pictures exported.\n"
    assert json.loads(run_ledger("export", tmp_path / "out", "--json").stdout) == {"entries": 7, "photos": 0}
    refused = run_ledger("restore", tmp_path / "out")
    assert refused.exit_code == 1
    assert "restore only into an empty household" in refused.stderr
    assert "holds other things" in run_ledger("export", tmp_path).stderr


def test_verify_ends_with_one_where_something_is_wrong() -> None:
    """And with --rebuild, what is derived is made anew first."""
    fine = run_ledger("verify")
    assert (fine.exit_code, fine.stdout) == (0, "7 entries read, 0 problems found. Everything is as it was written.\n")
    Subject.objects.filter(key="system/haven").delete()
    wrong = run_ledger("verify")
    assert wrong.exit_code == 1
    assert "The state of system/haven is missing" in wrong.stdout
    assert json.loads(run_ledger("verify", "--json").stdout)["problems"][0].startswith("The state of system/haven")
    assert run_ledger("verify", "--rebuild").exit_code == 0


def test_history_shows_the_last_written_first_and_what_does_not_stand() -> None:
    """Both the entry and what withdrew it."""
    entry = append([an_entry(a_reading())])[0].entry
    append([a_withdrawal_of(entry)])
    newest, before = run_ledger("history", "--limit", 2).stdout.splitlines()
    assert f"withdraws {entry.id}" in newest
    assert "2026-11-03 18:30  reading (does not stand)  by keeper" in before
    told = json.loads(run_ledger("history", "--limit", 2, "--json").stdout)
    assert [one["stands"] for one in told] == [True, False]
    assert told[1]["entry"] == json.loads(entry.line())
