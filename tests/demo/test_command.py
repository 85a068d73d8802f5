"""`pratique demo` as a process of its own, on the database of this test run."""

import json
import subprocess
import sys
from pathlib import Path

import pytest


def run(environment: dict[str, str], *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the command line and return what it said."""
    command = [sys.executable, "-m", "pratique", *arguments]
    return subprocess.run(command, env=environment, capture_output=True, text=True, check=False, timeout=300)


@pytest.fixture
def apart(own_household: dict[str, str], tmp_path: Path) -> dict[str, str]:
    """Return an environment whose user-data folder, too, is the test's own."""
    return own_household | {"XDG_DATA_HOME": str(tmp_path / "data"), "HOME": str(tmp_path), "TZ": "UTC"}


def test_it_loads_the_story_and_prints_what_it_hides(apart):
    """With --no-serve it ends by itself; the six things a keeper should be told come with their evidence."""
    first, again = (run(apart, "demo", "--no-serve", "--json") for _ in range(2))
    assert "entries loaded" in first.stderr
    assert "there already" in again.stderr
    rounds = json.loads(again.stdout)
    assert rounds["household"] == "Harbour Row"
    for words in ("wrasse", "goby", "copper dipped", "ammonia", "angelfish takes copper badly", "add nothing"):
        about = [one for one in rounds["concerns"] if words in one["title"].lower()]
        assert about, words
        assert about[0]["evidence"], words


def test_it_fetches_every_page_once(apart):
    """`--check` serves, fetches the rounds, each system, animal, passage, course and growth, and what is read where."""
    ended = run(apart, "demo", "--check")
    assert ended.returncode == 0, ended.stdout + ended.stderr
    fetched = [line.split() for line in ended.stdout.splitlines() if line.startswith(("200  /", "404  /", "500  /"))]
    assert {status for status, _ in fetched} == {"200"}
    paths = [path for _, path in fetched]
    read = [path for path in paths if path.startswith("/systems/") and path.count("/") == 4]
    assert len(paths) - len(read) == 1 + 3 + 12 + 2 + 2 + 2
    assert len(paths) == len(set(paths))
    assert {"/systems/lazaret/copper/", "/systems/haven/ph/", "/systems/skerry/alkalinity/"} <= set(read)
    assert {"/", "/systems/skerry/", "/passages/b1/", "/courses/b1-copper/", "/growths/brown-dust/"} <= set(paths)


def test_a_real_household_is_left_alone(own_household, apart, tmp_path):
    """Named by PRATIQUE_HOME or PRATIQUE_DATABASE_URL, a household with entries of its own gains none."""
    made = subprocess.run(
        [sys.executable, "-c", _ONE_NOTE], env=apart, capture_output=True, text=True, check=False, timeout=120
    )
    assert made.stdout == "1\n", made.stderr
    ended = run(apart, "demo", "--no-serve", "--json")
    assert ended.returncode == 0, ended.stderr
    assert "left alone" in ended.stderr
    assert json.loads(ended.stdout)["household"] == "Harbour Row"
    counted = subprocess.run(
        [sys.executable, "-c", _COUNT], env=apart, capture_output=True, text=True, check=False, timeout=120
    )
    assert counted.stdout == "1\n", counted.stderr
    assert not (Path(apart["PRATIQUE_HOME"]) / "demo.json").exists()
    assert list((tmp_path / "data" / "pratique-demo").iterdir())


_OPEN = """
import os
os.environ["DJANGO_SETTINGS_MODULE"] = "pratique.settings"
from pratique.cli.opening import open_home
open_home()
from pratique.ledger.queries import entry_count
"""
_COUNT = _OPEN + "print(entry_count())"
_ONE_NOTE = (
    _OPEN
    + """
from datetime import UTC, datetime
from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry, new_entry_id
from pratique.ledger.kinds.care import Note
append([NewEntry(id=new_entry_id(), payload=Note(words="Ours."), happened_at=datetime.now(UTC), zone="UTC",
                 author="keeper", source="cli")])
print(entry_count())
"""
)
