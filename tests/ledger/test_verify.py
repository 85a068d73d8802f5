"""The proof finds what was changed behind the ledger's back, and says so in sentences."""

from pathlib import Path

import pytest
from django.db import connection
from tests.ledger.builders import (
    a_move,
    a_reading,
    a_withdrawal_of,
    an_entry,
    derived,
    harbour_row,
    put_entry_of_a_newer_version,
)
from tests.ledger.pictures import a_camera_picture

from pratique.ledger.append import append
from pratique.ledger.kinds.care import Photo
from pratique.ledger.photos import keep_photo, photo_path
from pratique.ledger.queries import history
from pratique.ledger.verify import verify

pytestmark = pytest.mark.django_db


def _run(statement: str) -> None:
    connection.cursor().execute(statement)


def _without_guard(statement: str) -> None:
    """Change entries as someone could who first takes the triggers down."""
    if connection.vendor == "sqlite":
        _run("DROP TRIGGER entry_no_update")
        _run("DROP TRIGGER entry_no_delete")
    else:
        _run("SET CONSTRAINTS ALL IMMEDIATE")
        _run("ALTER TABLE entry DISABLE TRIGGER USER")
    _run(statement)


def _seq_of_the_last_reading() -> int:
    return next(entry.seq for entry in history() if entry.raw.get("value") == 0.17)


@pytest.fixture
def full_ledger() -> None:
    """Harbour Row with a move, a withdrawn reading, an amended one and an entry of a newer version."""
    append(harbour_row())
    readings = [an_entry(a_reading(number), hours=hours) for hours, number in ((3, 0.18), (4, 1.9), (5, 0.17))]
    append(readings)
    append([a_withdrawal_of(readings[0]), an_entry(a_reading(0.19), hours=4, amends=readings[1].id)])
    append([an_entry(a_move("haven"), hours=6)])
    put_entry_of_a_newer_version('{"depth_m":1.5}')


def test_a_sound_ledger_has_no_problems(full_ledger: None) -> None:
    """And the proof says how much it has read."""
    report = verify()
    assert report.problems == ()
    assert report.entries == 13


def test_an_empty_ledger_has_no_problems() -> None:
    """Before the first entry there is nothing to be wrong."""
    assert verify().problems == ()


def test_the_proof_changes_nothing(full_ledger: None) -> None:
    """Not even what it finds wrong."""
    _run("UPDATE entry_link SET stands = NOT stands")
    before = derived(), history()
    assert verify().problems
    assert (derived(), history()) == before


@pytest.mark.parametrize(
    ("statement", "sentence"),
    [
        ("DELETE FROM subject WHERE key = 'system/haven'", "The state of system/haven is missing"),
        (
            "UPDATE subject SET state = replace(state, 'lazaret', 'skerry') WHERE key = 'animal/six-line-wrasse'",
            "The state of animal/six-line-wrasse differs from what its entries say",
        ),
        ("UPDATE subject SET type = 'case' WHERE key = 'system/haven'", "The state of system/haven differs"),
        (
            "INSERT INTO subject (key, type, state) VALUES ('system/ghost', 'system', '{}')",
            "There is a state of system/ghost, though no standing entry has set it up",
        ),
        ("UPDATE chain_head SET count = count + 1", "The chain's head speaks of 14 entries and the ledger holds 13"),
        ("UPDATE chain_head SET digest = 'x'", "The chain's head"),
        ("DELETE FROM chain_head", "The chain's head speaks of 0 entries"),
    ],
)
def test_a_changed_state_is_found(full_ledger: None, statement: str, sentence: str) -> None:
    """Exactly the thing that was changed is named."""
    _run(statement)
    problems = verify().problems
    assert len(problems) == 1
    assert sentence in problems[0]


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entry_link SET number = 0.5 WHERE number = 0.17",
        "UPDATE entry_link SET topic = 'nitrate' WHERE number = 0.17",
        "UPDATE entry_link SET stands = NOT stands WHERE number = 0.18",
        "UPDATE entry_link SET subject = 'system/haven' WHERE number = 0.17",
        "DELETE FROM entry_link WHERE number = 0.17",
        "UPDATE entry_link SET happened_at = '2020-01-01 00:00:00+00:00' WHERE number = 0.17",
    ],
)
def test_a_changed_link_is_found(full_ledger: None, statement: str) -> None:
    """The entry it belongs to is named."""
    _run(statement)
    problems = verify().problems
    assert len(problems) == 1
    assert problems[0].startswith("Entry ")
    assert "(reading of 2026-11-03" in problems[0]
    assert "its links differ from what it says" in problems[0]


@pytest.mark.parametrize(
    "tamper",
    [
        "author = 'someone else'",
        "zone = 'Europe/Paris'",
        "recorded_at = '2020-01-01 00:00:00+00:00'",
        "payload = replace(payload, '0.17', '0.27')",
        "digest = replace(digest, substr(digest, 1, 8), '01234567')",
    ],
)
def test_a_changed_entry_is_found(full_ledger: None, tamper: str) -> None:
    """Whatever part of the envelope or the payload was touched."""
    seq = _seq_of_the_last_reading()
    _without_guard(f"UPDATE entry SET {tamper} WHERE payload LIKE '%0.17%'")  # noqa: S608 - the tampering is ours
    assert any(f"Entry {seq} " in problem and "was changed after" in problem for problem in verify().problems)


def test_one_changed_entry_is_one_broken_digest(full_ledger: None) -> None:
    """The entries after it are not blamed."""
    _without_guard("UPDATE entry SET author = 'someone else' WHERE payload LIKE '%0.17%'")
    assert len(verify().problems) == 1


def test_a_payload_that_no_longer_fits_its_kind_is_found(full_ledger: None) -> None:
    """The proof goes on to the end all the same."""
    _without_guard("UPDATE entry SET payload = '{}' WHERE payload LIKE '%0.17%'")
    report = verify()
    assert report.entries == 13
    assert any("does not hold what a reading must hold" in problem for problem in report.problems)


def test_a_payload_that_is_not_even_json_is_found(full_ledger: None) -> None:
    """A torn text is a problem, not a crash."""
    _without_guard("UPDATE entry SET payload = '{\"value\":' WHERE payload LIKE '%0.17%'")
    assert any("does not hold what a reading must hold" in problem for problem in verify().problems)


def test_a_deleted_entry_is_found(full_ledger: None) -> None:
    """The next one's digest no longer follows, and the count is short."""
    _run("DELETE FROM entry_link WHERE number = 0.17")
    _without_guard("DELETE FROM entry WHERE payload LIKE '%0.17%'")
    problems = verify().problems
    assert any("an entry before it is missing" in problem for problem in problems)
    assert any("speaks of 13 entries and the ledger holds 12" in problem for problem in problems)


def test_a_missing_and_a_changed_picture_are_found(home: Path) -> None:
    """Pictures are part of what is proved."""
    kept = keep_photo(a_camera_picture())
    append([an_entry(Photo(sha256=kept.sha256, media_type="image/jpeg", width_px=20, height_px=40))])
    assert verify().problems == ()
    path = photo_path(kept.sha256)
    assert path is not None
    path.write_bytes(b"changed")
    assert "has a picture that was changed" in verify().problems[0]
    path.unlink()
    assert "has lost its picture" in verify().problems[0]
