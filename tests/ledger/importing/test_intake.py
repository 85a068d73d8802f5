"""A whole sheet: every line goes in or is kept aside, and twice is no more than once."""

import shutil
from pathlib import Path
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.ledger.builders import an_entry, derived, harbour_row
from tests.ledger.importing.sheets import NOW, WIDE, a_reader

from pratique.casework.salts import with_counted_mg
from pratique.ledger.append import append
from pratique.ledger.household import load_household
from pratique.ledger.importing.intake import ImportReport, aside_text, bring_in, sort_lines
from pratique.ledger.importing.lines import LineReader
from pratique.ledger.importing.mapping import check_mapping, read_mapping
from pratique.ledger.importing.table import read_table
from pratique.ledger.kinds.places import Stock
from pratique.ledger.queries import entries_about, entry_count
from pratique.ledger.verify import verify

EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
MAPPING = (EXAMPLES / "harbour-row-mapping.toml").read_text(encoding="utf-8")


def _bring_in(path: Path, mapping: str = MAPPING, *, dry_run: bool = False) -> ImportReport:
    table = read_table(path.read_bytes())
    told, household = read_mapping(mapping), load_household()
    check_mapping(told, table.columns, household)
    reader = LineReader(
        table=table, mapping=told, household=household, author="keeper", now=NOW, reckoned=with_counted_mg
    )
    return bring_in(path, reader, dry_run=dry_run)


@pytest.fixture
def sheet(db: None, tmp_path: Path) -> Path:
    """The shipped messy sheet in a folder of its own, before a household that has what it speaks of."""
    stock = Stock(key="copper-stock", name="copper stock", substance="copper_ionic", strength_mg_per_ml=1.0)
    append([*harbour_row(), an_entry(stock)])
    return Path(shutil.copy(EXAMPLES / "harbour-row-spreadsheet.csv", tmp_path / "sheet.csv"))


def test_the_shipped_sheet_gives_the_right_counts(sheet: Path) -> None:
    """Counted by hand in the file: 30 lines, of which 13 are good, 14 kept aside, 2 duplicates and 1 blank."""
    before = entry_count()
    report = _bring_in(sheet)
    assert (report.lines, report.good, report.kept_aside, report.duplicates, report.already_there, report.blank) == (
        (30, 13, 14, 2, 0, 1)
    )
    assert report.entries_added == entry_count() - before == 30
    assert sorted({one.line for one in report.reasons}) == [6, 8, 9, 10, 13, 18, 19, 20, 21, 22, 23, 25, 26, 29]
    assert report.unread_columns == ("Mood",)
    assert verify().problems == ()


def test_the_shipped_sheet_gives_the_right_values(sheet: Path) -> None:
    """Worked out by hand: 78.8 °F, six US gallons, 5 and 0.5 mg/L, 0.25 mg/L NH3, cubes of mysis."""
    _bring_in(sheet)
    temperatures = [
        entry.raw["value"] for entry in entries_about("system/lazaret", ["reading"], topics=["temperature"])
    ]
    assert temperatures == pytest.approx([26.0, 26.0556, 26.1667, 25.5556, 25.4444], abs=1e-4)
    nitrate = [entry.raw for entry in entries_about("system/skerry", ["reading"], topics=["nitrate"])]
    # In the order things happened: 2.5 and more than 20 mg/L NO3-N, 0.5 mg/L NO3 as its own cell says, 5 mg/L NO3-N.
    assert [one.get("value", one.get("above")) for one in nitrate] == pytest.approx([11.0666, 88.5329, 0.5, 22.1332])
    changes = [entry.raw["volume_l"] for entry in entries_about("system/lazaret", ["water-change"])]
    assert changes == pytest.approx([22.7125, 12.0])
    ammonia = [entry.raw for entry in entries_about("system/lazaret", ["reading"], topics=["total_ammonia"])]
    assert ammonia[0]["below"] == ammonia[1]["value"] == pytest.approx(0.25 * 14.007 / 17.031, rel=1e-5)
    meals = entries_about(["system/lazaret", "system/skerry"], ["feeding"])
    mysis = {"food": "frozen_mysis"}
    assert [entry.raw["foods"] for entry in meals] == [[mysis | {"amount_g": 6.6}], [mysis]]
    assert [entry.raw["amount_mg"] for entry in entries_about("system/lazaret", ["dose"])] == [2.5]


def test_running_twice_adds_nothing(sheet: Path) -> None:
    """The second time every good line is already there, and the file of kept-aside lines is the same one."""
    first = _bring_in(sheet)
    count, before = entry_count(), derived()
    again = _bring_in(sheet)
    assert (again.good, again.already_there, again.entries_added) == (0, 13, 0)
    assert (again.kept_aside, again.duplicates) == (first.kept_aside, first.duplicates)
    assert again.kept_aside_file == first.kept_aside_file
    assert (entry_count(), derived()) == (count, before)


def test_a_dry_run_writes_nothing(sheet: Path) -> None:
    """It reports the same."""
    before = entry_count()
    dry = _bring_in(sheet, dry_run=True)
    assert entry_count() == before
    assert [path.name for path in sheet.parent.iterdir()] == ["sheet.csv"]
    real = _bring_in(sheet)
    assert (dry.good, dry.entries_added, dry.reasons) == (real.good, real.entries_added, real.reasons)


def test_lines_kept_aside_stand_in_their_file_exactly_as_they_were(sheet: Path) -> None:
    """With the line's number, the column and the reason before them."""
    report = _bring_in(sheet)
    assert report.kept_aside_file is not None
    aside = Path(report.kept_aside_file)
    assert aside.name == "kept-aside-sheet.csv"
    kept = aside.read_text(encoding="utf-8-sig").splitlines()
    original = sheet.read_text(encoding="utf-8-sig").splitlines()
    assert len(kept) == 15
    assert kept[1].startswith("6;Date;")
    assert kept[1].endswith(f";{original[5]}")
    assert all(any(line.endswith(text) for text in original) for line in kept)


def test_a_corrected_kept_aside_file_can_be_imported(sheet: Path) -> None:
    """With the same mapping: the corrected line goes in, the others stay aside."""
    aside = Path(str(_bring_in(sheet).kept_aside_file))
    aside.write_text(aside.read_text(encoding="utf-8-sig").replace("03/04/2024", "4 Mar 2024"), encoding="utf-8")
    report = _bring_in(aside)
    assert (report.lines, report.good, report.kept_aside, report.entries_added) == (14, 1, 13, 2)
    assert report.unread_columns == ("Mood",)


def test_a_kept_aside_file_being_corrected_is_never_covered_up(sheet: Path) -> None:
    """The next run takes another name."""
    aside = Path(str(_bring_in(sheet).kept_aside_file))
    aside.write_text("half corrected", encoding="utf-8")
    again = _bring_in(sheet)
    assert aside.read_text(encoding="utf-8") == "half corrected"
    assert Path(str(again.kept_aside_file)).name == "kept-aside-sheet-2.csv"


def test_without_a_zone_every_line_is_kept_aside(sheet: Path) -> None:
    """The household's own zone is not taken in its place."""
    report = _bring_in(sheet, MAPPING.replace('zone = "Europe/London"', ""))
    assert (report.good, report.entries_added) == (0, 0)
    assert report.kept_aside == 29


def test_a_line_that_grew_adds_only_what_is_new(db: None, tmp_path: Path) -> None:
    """A reading put in later; the first one is not counted twice."""
    append(harbour_row())
    mapping = f'{WIDE}[columns.cu]\nholds = "reading"\nconstituent = "copper"\nunit = "mg/L"\n'
    mapping += '[columns.ph]\nholds = "reading"\nconstituent = "ph"\n'
    path = tmp_path / "sheet.csv"
    path.write_text("date;tank;cu;ph\n2024-11-03;lazaret;0.18;\n", encoding="utf-8")
    assert _bring_in(path, mapping).entries_added == 1
    path.write_text("date;tank;cu;ph\n2024-11-03;lazaret;0.18;8.1\n", encoding="utf-8")
    report = _bring_in(path, mapping)
    assert (report.good, report.entries_added) == (1, 1)


def test_ids_are_version_seven_and_made_of_the_moment_and_the_content() -> None:
    """RFC 9562: 48 bits of milliseconds, version 7, variant 10; the rest from the content alone."""
    mapping = f'{WIDE}[columns.cu]\nholds = "reading"\nconstituent = "copper"\nunit = "mg/L"\n'
    reader = a_reader("date;tank;cu\n2024-11-03;lazaret;0.18\n2024-11-03;lazaret;0.19\n", mapping)
    first, second = (reader.read(line).entries[0] for line in reader.table.lines)
    assert first.id == reader.read(reader.table.lines[0]).entries[0].id
    assert first.id != second.id
    assert (first.id.version, first.id.variant) == (7, UUID(int=first.id.int).variant)
    assert first.id.variant == "specified in RFC 4122"
    assert first.id.int >> 80 == second.id.int >> 80 == first.happened_at.timestamp() * 1000


CELLS = st.sampled_from(
    ["2024-11-03", "3/4/2024", "", "lazaret", "Nano", "0,18", "1,234", "<0.02", "350", '"', '"a;b"', "x;y", " ", "½"]
)
ANY_LINE = st.one_of(st.lists(CELLS, max_size=5).map(";".join), st.text(alphabet='ab;",\t \u2028\x000é', max_size=15))
TARGETS = f"""{WIDE}
[columns.cu]
holds = "reading"
constituent = "copper"
unit = "mg/L"
[columns.words]
holds = "note"
"""


@given(st.lists(ANY_LINE, max_size=12))
def test_no_line_is_ever_lost(lines: list[str]) -> None:
    """Whatever stands in a file, each line is in exactly one place, and those kept aside keep every character."""
    reader = a_reader("\n".join(["date;tank;cu;words", *lines]), TARGETS)
    read = [reader.read(line) for line in reader.table.lines]
    found = sort_lines(read, frozenset())
    places = [found.good, found.kept_aside, found.duplicates, found.already_there, found.blank]
    assert sorted(one.line.number for place in places for one in place) == [line.number for line in reader.table.lines]
    assert all(one.entries for one in found.good)
    assert all(one.troubles and not one.entries for one in found.kept_aside)
    assert all(not one.line.text.replace(";", "").replace('"', "").strip() for one in found.blank)
    text = aside_text(reader.table, found.kept_aside)
    assert all(f";{one.line.text}\n" in text for one in found.kept_aside)
    # Read again with all of it in the ledger: nothing is new.
    again = sort_lines(read, frozenset(entry.id for entry in found.entries))
    assert (again.good, again.entries) == ((), ())
