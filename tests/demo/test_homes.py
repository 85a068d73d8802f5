"""Which home the demo takes: never one that holds a real ledger."""

import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from pratique.demo import homes
from pratique.demo.chance import SEED
from pratique.demo.homes import MARKER, NoRoomForDemo, choose, mark
from pratique.demo.ids import story_id
from pratique.demo.ledgers import LedgerUnreachable
from pratique.ledger.entries import new_entry_id

TODAY = date(2026, 7, 20)


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give the demo a folder of its own for the test, and the machine a zone."""
    folder = tmp_path / "user-data"
    monkeypatch.setattr(homes.platformdirs, "user_data_dir", lambda *_, **__: str(folder))
    monkeypatch.setattr("tzlocal.get_localzone_name", lambda: "UTC")
    return folder


def a_ledger(home: Path, *, first: str | None, on: date = TODAY) -> Path:
    """Make a home whose ledger begins with nothing, the story told on a day, or a keeper's own entry."""
    home.mkdir(parents=True)
    began = datetime(on.year, on.month, on.day, 10, tzinfo=UTC) - timedelta(days=40)
    with closing(sqlite3.connect(home / "ledger.sqlite3")) as connection:
        connection.execute("create table entry (seq integer primary key, id char(32), happened_at datetime)")
        if first is not None:
            entry = story_id(SEED, 0, began) if first == "story" else new_entry_id()
            row = (entry.hex, began.replace(tzinfo=None).isoformat(" "))
            connection.execute("insert into entry (id, happened_at) values (?, ?)", row)
        connection.commit()
    return home


def test_without_a_name_it_takes_a_fresh_folder_for_the_day(own_folder):
    """The folder carries the date, so another day has another one."""
    assert choose({}, TODAY).home == own_folder / "2026-07-20"
    assert choose({}, TODAY + timedelta(days=1)).home == own_folder / "2026-07-21"


def test_the_same_day_takes_the_same_home_again(own_folder):
    """A marked home with today's story is opened again."""
    a_ledger(own_folder / "2026-07-20", first="story")
    mark(own_folder / "2026-07-20", TODAY)
    assert choose({}, TODAY).home == own_folder / "2026-07-20"


@pytest.mark.parametrize("made", ["nothing", "folder", "opened"])
def test_a_named_home_that_is_empty_is_taken(tmp_path, made):
    """Not there yet, an empty folder, or one that was opened and never written to."""
    home = tmp_path / "named"
    if made == "folder":
        home.mkdir()
    if made == "opened":
        a_ledger(home, first=None)
        (home / "signing.key").touch()
    chosen = choose({"PRATIQUE_HOME": str(home)}, TODAY)
    assert (chosen.home, chosen.notices) == (home, ())


def test_a_named_home_with_a_real_ledger_is_left_alone(tmp_path, own_folder):
    """The demo goes to its own folder and says so."""
    home = a_ledger(tmp_path / "named", first="a keeper's")
    chosen = choose({"PRATIQUE_HOME": str(home)}, TODAY)
    assert chosen.home == own_folder / "2026-07-20"
    assert "left alone" in chosen.notices[0]


def test_a_marker_does_not_open_a_real_ledger(tmp_path, own_folder):
    """Even a home that says it is a demo is left alone where its first entry is no story of ours."""
    home = a_ledger(tmp_path / "named", first="a keeper's")
    mark(home, TODAY)
    assert choose({"PRATIQUE_HOME": str(home)}, TODAY).home == own_folder / "2026-07-20"


def test_a_folder_with_other_things_is_left_alone(tmp_path, own_folder):
    """A folder that holds somebody's files is no empty home."""
    (tmp_path / "named").mkdir()
    (tmp_path / "named" / "letters.txt").write_text("Dear aunt")
    assert choose({"PRATIQUE_HOME": str(tmp_path / "named")}, TODAY).home == own_folder / "2026-07-20"


def test_a_file_that_is_no_ledger_counts_as_a_real_one(tmp_path, own_folder):
    """What cannot be read is not written to."""
    (tmp_path / "named").mkdir()
    (tmp_path / "named" / "ledger.sqlite3").write_bytes(b"not a database, but somebody's" * 50)
    assert choose({"PRATIQUE_HOME": str(tmp_path / "named")}, TODAY).home == own_folder / "2026-07-20"


def test_a_named_demo_of_yesterday_gives_a_fresh_home_inside_it(tmp_path):
    """The story moves to today beside the old one, and nothing of the old one is lost."""
    home = a_ledger(tmp_path / "named", first="story", on=TODAY - timedelta(days=1))
    mark(home, TODAY - timedelta(days=1))
    chosen = choose({"PRATIQUE_HOME": str(home)}, TODAY)
    assert chosen.home == home / "2026-07-20"
    assert (home / MARKER).is_file()


def test_a_database_that_is_not_the_demos_is_left_alone_with_its_home(tmp_path, own_folder):
    """A named database with a keeper's entries is not used, nor the home named beside it; an empty one is."""
    real = a_ledger(tmp_path / "real", first="a keeper's") / "ledger.sqlite3"
    empty = a_ledger(tmp_path / "empty", first=None) / "ledger.sqlite3"
    beside = {"PRATIQUE_HOME": str(tmp_path / "beside"), "PRATIQUE_DATABASE_URL": f"sqlite:///{real}"}
    refused = choose(beside, TODAY)
    assert (refused.database_url, refused.home) == ("", own_folder / "2026-07-20")
    assert "left alone" in refused.notices[0]
    assert choose({"PRATIQUE_DATABASE_URL": f"sqlite:///{empty}"}, TODAY).database_url == f"sqlite:///{empty}"


def test_when_even_its_own_folder_is_taken_it_says_so(own_folder):
    """It never writes beside what it did not make."""
    a_ledger(own_folder / "2026-07-20", first="a keeper's")
    with pytest.raises(NoRoomForDemo, match="Move it away"):
        choose({}, TODAY)


def test_a_database_that_does_not_answer_is_named_as_such():
    """Nothing listens on port 1: the keeper is told which setting is meant."""
    with pytest.raises(LedgerUnreachable, match="PRATIQUE_DATABASE_URL does not answer"):
        choose({"PRATIQUE_DATABASE_URL": "postgresql://nobody@127.0.0.1:1/nothing"}, TODAY)
