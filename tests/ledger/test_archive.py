"""The whole ledger out and back in: the same bytes, or a sentence that names the line."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.ledger.builders import (
    a_household_for_a_while,
    a_move,
    a_reading,
    a_withdrawal_of,
    an_entry,
    derived,
    harbour_row,
    put_entry_of_a_newer_version,
)
from tests.ledger.commands import run_ledger
from tests.ledger.pictures import a_camera_picture, a_picture

from pratique.ledger.append import append
from pratique.ledger.archive import ExportRefused, RestoreRefused, export, restore
from pratique.ledger.canonical import GENESIS, chained_digest
from pratique.ledger.household import load_household
from pratique.ledger.kinds.care import Note, Photo
from pratique.ledger.kinds.looks import Look
from pratique.ledger.kinds.protocols import Protocol
from pratique.ledger.models import Entry
from pratique.ledger.photos import keep_photo
from pratique.ledger.queries import history
from pratique.ledger.verify import verify
from pratique.settings import CONFIG

pytestmark = pytest.mark.django_db


def _a_full_ledger() -> None:
    """Write some of everything: a move, corrections, other alphabets, pictures, a text, a look, a kind of tomorrow."""
    append(harbour_row())
    move = append([an_entry(a_move("haven"), hours=5)])[0].entry
    wrong = append([an_entry(a_reading(1.8), hours=6)])[0].entry
    append([an_entry(a_reading(0.18), hours=6, amends=wrong.id)])
    append([a_withdrawal_of(move, hours=7)])
    append([an_entry(Note(words='25 °C, “murky”\n— 濁り\u2028 \\ "quoted"'), hours=8)])
    for content in (a_camera_picture(), a_picture("PNG", colour="maroon")):
        kept = keep_photo(content)
        photo = Photo(sha256=kept.sha256, media_type=kept.media_type, width_px=kept.width_px, height_px=kept.height_px)  # type: ignore[arg-type]
        append([an_entry(photo, hours=9)])
    put_entry_of_a_newer_version('{"a":1.0,"b":1e-07,"big":123456789012345678901234567890,"deep":{"é":[null,true]}}')
    put_entry_of_a_newer_version('{"colour":"blue","system":"lazaret"}', kind="reading", version=99)
    append(
        [an_entry(Protocol(key="our_passage", name="Ours", text='[our_passage]\nname = "Ours — à nous"\n'), hours=10)]
    )
    look = Look(animals=("six-line-wrasse",), method="skin_scrape", seen=("flukes",), not_seen=("velvet",))
    append([an_entry(look, hours=10)])
    append([an_entry(a_reading(0.17), hours=10)])


def _bytes_of(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_export_restore_export_gives_the_same_bytes(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Corrections, pictures and kinds of a newer version included; the restored ledger proves clean."""
    with a_household_for_a_while():
        _a_full_ledger()
        report = export(tmp_path / "first")
        texts = list(Entry.objects.order_by("seq").values_list("payload", flat=True))
        before = [state[1:] for state in derived()[1]]
    monkeypatch.setattr(CONFIG, "home", tmp_path / "another home")
    restored = restore(tmp_path / "first")
    assert (restored.entries, restored.photos, restored.unknown) == (report.entries, report.photos, 2)
    assert list(Entry.objects.order_by("seq").values_list("payload", flat=True)) == texts
    assert [state[1:] for state in derived()[1]] == before
    assert verify().problems == ()
    export(tmp_path / "second")
    assert _bytes_of(tmp_path / "second") == _bytes_of(tmp_path / "first")
    assert len(_bytes_of(tmp_path / "first")) == 3


def test_a_restored_ledger_goes_on_where_it_left_off(home: Path, tmp_path: Path) -> None:
    """The next entry is chained to the last restored one, and the wrasse can be moved."""
    with a_household_for_a_while():
        _a_full_ledger()
        export(tmp_path / "out")
    restore(tmp_path / "out")
    append([an_entry(a_move("haven"), hours=20)])
    place = load_household().animals["six-line-wrasse"].place
    assert place is not None
    assert place.system == "haven"
    assert verify().problems == ()


def test_each_exported_line_can_be_checked_without_this_program(home: Path, tmp_path: Path) -> None:
    """Plain JSON and SHA-256: the digest covers the digest before it and the entry as it stands in the line."""
    _a_full_ledger()
    export(tmp_path / "out")
    previous = GENESIS
    for line in (tmp_path / "out" / "entries.jsonl").read_text(encoding="utf-8").split("\n")[:-1]:
        digest, entry = line[len('{"digest":"') :][:64], line[len('{"digest":"","entry":') + 64 : -1]
        assert json.loads(line) == {"digest": digest, "entry": json.loads(entry)}
        assert digest == chained_digest(previous, entry)
        previous = digest


def test_exporting_again_over_an_earlier_export_is_fine(home: Path, tmp_path: Path) -> None:
    """The weekly copy may always go into the same folder."""
    append(harbour_row())
    export(tmp_path / "out")
    append([an_entry(a_reading())])
    assert export(tmp_path / "out").entries == 7
    assert len((tmp_path / "out" / "entries.jsonl").read_text().splitlines()) == 7


@pytest.mark.parametrize("stranger", ["letter.txt", "photos/holiday.jpg"])
def test_a_folder_with_other_things_in_it_is_refused(home: Path, tmp_path: Path, stranger: str) -> None:
    """Nothing is written among things that are not ours."""
    path = tmp_path / "out" / stranger
    path.parent.mkdir(parents=True)
    path.write_text("mine")
    with pytest.raises(ExportRefused, match=f"holds other things \\(such as {stranger}\\)"):
        export(tmp_path / "out")
    assert path.read_text() == "mine"
    assert not (tmp_path / "out" / "entries.jsonl").exists()


def test_a_file_in_place_of_a_folder_is_refused(home: Path, tmp_path: Path) -> None:
    """The sentence says what would be right."""
    (tmp_path / "out").write_text("mine")
    with pytest.raises(ExportRefused, match="is a file; give a folder"):
        export(tmp_path / "out")


def test_restoring_into_a_ledger_with_entries_is_refused(home: Path, tmp_path: Path) -> None:
    """Two households are never mixed."""
    append(harbour_row())
    export(tmp_path / "out")
    with pytest.raises(RestoreRefused, match="only into an empty household"):
        restore(tmp_path / "out")


def test_restoring_from_a_folder_without_an_export_is_refused(home: Path, tmp_path: Path) -> None:
    """The sentence says which file is looked for."""
    with pytest.raises(RestoreRefused, match=r"There is no entries\.jsonl"):
        restore(tmp_path)


def _swapped(lines: list[str]) -> list[str]:
    return [*lines[:3], lines[4], lines[3], *lines[5:]]


@pytest.mark.parametrize(
    ("damage", "sentence"),
    [
        (lambda lines: [*lines[:4], lines[4].replace("skerry", "skerri"), *lines[5:]], "Line 5 .* digest does not"),
        (lambda lines: [*lines[:2], *lines[3:]], "Line 3 .* a line is missing"),
        (_swapped, "Line 4 .* digest does not follow"),
        (lambda lines: [*lines[:1], lines[1][:-20], *lines[2:]], "Line 2 .* not a line that an export writes"),
        (lambda lines: [*lines[:1], "", *lines[1:]], "Line 2 .* not a line"),
        (lambda lines: [lines[0].replace('":', '": ', 1), *lines[1:]], "Line 1 .* not written the way"),
        (lambda lines: [lines[0].replace('"kind"', '"mood":"blue","kind"'), *lines[1:]], "Line 1 .* “mood”"),
        (lambda lines: [lines[0].replace('"version":1', '"version":"x"'), *lines[1:]], "Line 1 .* “version”"),
        (lambda lines: ["[]", *lines], "Line 1 .* not a line"),
    ],
)
def test_damage_is_named_by_its_line_and_nothing_is_restored(
    home: Path, tmp_path: Path, damage: Callable[[list[str]], list[str]], sentence: str
) -> None:
    """All or nothing: one bad line, and the household stays empty."""
    with a_household_for_a_while():
        append(harbour_row())
        export(tmp_path / "out")
    path = tmp_path / "out" / "entries.jsonl"
    path.write_text("\n".join(damage(path.read_text().splitlines())) + "\n")
    with pytest.raises(RestoreRefused, match=sentence):
        restore(tmp_path / "out")
    assert history() == []
    assert derived() == ([], [])


def test_a_line_that_lies_consistently_is_still_held_to_its_kind(home: Path, tmp_path: Path) -> None:
    """Someone who also recomputes the digest cannot smuggle in a reading that is none."""
    with a_household_for_a_while():
        append(harbour_row())
        put_entry_of_a_newer_version('{"system":"lazaret"}', kind="reading", version=1)
        export(tmp_path / "out")
    with pytest.raises(RestoreRefused, match=r"Line 7 .* does not hold what a reading must hold"):
        restore(tmp_path / "out")
    assert history() == []


def test_a_changed_picture_is_named_and_nothing_is_restored(home: Path, tmp_path: Path) -> None:
    """Each picture must be what its name says."""
    with a_household_for_a_while():
        _a_full_ledger()
        export(tmp_path / "out")
    picture = min((tmp_path / "out" / "photos").iterdir())
    picture.write_bytes(a_picture("GIF"))
    with pytest.raises(RestoreRefused, match=f"photos/{picture.name} is not the picture its name says"):
        restore(tmp_path / "out")
    assert history() == []


def test_the_command_restores_into_an_empty_household(home: Path, tmp_path: Path) -> None:
    """And says how much came back, kinds of a newer version apart."""
    with a_household_for_a_while():
        _a_full_ledger()
        assert run_ledger("export", tmp_path / "out").exit_code == 0
    done = run_ledger("restore", tmp_path / "out")
    assert done.exit_code == 0
    assert done.stdout == "18 entries and 2 pictures restored. 2 of a newer version are kept as they came.\n"
    assert json.loads(run_ledger("verify", "--json").stdout) == {"entries": 18, "problems": []}
