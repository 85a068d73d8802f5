"""A whole spreadsheet into the ledger: good lines go in, the others are kept aside in a file beside it."""

import csv
import io
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import batched
from pathlib import Path
from uuid import UUID

from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry
from pratique.ledger.importing.lines import LineReader, ReadLine
from pratique.ledger.importing.table import Table
from pratique.ledger.queries import entries_by_id

CHUNK = 200
ASIDE_COLUMNS = ("kept aside: line", "kept aside: column", "kept aside: reason")
type Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class KeptAside:
    """One reason why a line was kept aside: its number in the file, the column, a sentence, and the line itself."""

    line: int
    column: str
    reason: str
    text: str


@dataclass(frozen=True, slots=True)
class Sorted:
    """Every line of a file in exactly one place; `entries` are those of the good lines that are new."""

    good: tuple[ReadLine, ...]
    kept_aside: tuple[ReadLine, ...]
    duplicates: tuple[ReadLine, ...]
    already_there: tuple[ReadLine, ...]
    blank: tuple[ReadLine, ...]
    entries: tuple[NewEntry, ...]


@dataclass(frozen=True, slots=True)
class ImportReport:
    """How many lines went where, why lines were kept aside, and how many entries were added."""

    lines: int
    good: int
    kept_aside: int
    duplicates: int
    already_there: int
    blank: int
    entries_added: int
    reasons: tuple[KeptAside, ...]
    unread_columns: tuple[str, ...]
    kept_aside_file: str | None


def bring_in(
    path: Path, reader: LineReader, *, dry_run: bool = False, progress: Progress | None = None
) -> ImportReport:
    """Append the good lines of a table and write the others to `kept-aside-<name>` beside the file at `path`.

    A dry run reports the same and writes nothing. `progress` is told how many entries of how many are in.
    """
    read = [reader.read(line) for line in reader.table.lines]
    found = sort_lines(read, ids_in_ledger(entry.id for one in read for entry in one.entries))
    aside = None
    if not dry_run:
        # Kept aside first: should the machine stop here, no line has been passed over in silence.
        if found.kept_aside:
            aside = _write_aside(path, aside_text(reader.table, found.kept_aside))
        _append(found.entries, progress)
    return _report(reader, found, aside)


def ids_in_ledger(ids: Iterable[UUID]) -> frozenset[UUID]:
    """Return those of the ids that the ledger holds already."""
    return frozenset(one for chunk in batched(ids, CHUNK) for one in entries_by_id(chunk))


def sort_lines(read: list[ReadLine], in_ledger: frozenset[UUID]) -> Sorted:
    """Put every line into exactly one place.

    A duplicate says nothing that an earlier line of the file has not said; a line is already there when the ledger
    holds all of it.
    """
    places: dict[str, list[ReadLine]] = {name: [] for name in ("good", "kept_aside", "duplicates", "there", "blank")}
    seen: set[UUID] = set()
    entries: list[NewEntry] = []
    for one in read:
        fresh = {entry.id: entry for entry in one.entries if entry.id not in seen}
        if one.troubles:
            places["kept_aside"].append(one)
        elif not one.entries:
            places["blank"].append(one)
        elif not fresh:
            places["duplicates"].append(one)
        elif fresh.keys() <= in_ledger:
            places["there"].append(one)
        else:
            places["good"].append(one)
            entries += [entry for entry_id, entry in fresh.items() if entry_id not in in_ledger]
        seen |= fresh.keys()
    return Sorted(
        good=tuple(places["good"]),
        kept_aside=tuple(places["kept_aside"]),
        duplicates=tuple(places["duplicates"]),
        already_there=tuple(places["there"]),
        blank=tuple(places["blank"]),
        entries=tuple(entries),
    )


def aside_text(table: Table, kept_aside: Iterable[ReadLine]) -> str:
    """Return the text of a kept-aside file: reasons first, then each line exactly as it stood.

    It has the columns of the original, so once corrected it can be imported with the same mapping.
    """
    rows = [(ASIDE_COLUMNS, table.header)]
    for one in kept_aside:
        columns = " / ".join(dict.fromkeys(trouble.column for trouble in one.troubles if trouble.column))
        reasons = " ".join(dict.fromkeys(trouble.reason for trouble in one.troubles))
        rows.append(((str(one.line.number), columns, reasons), one.line.text))
    return "".join(f"{_row(told, table.delimiter)}{table.delimiter}{text}\n" for told, text in rows)


def _row(cells: tuple[str, ...], delimiter: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator="").writerow(cells)
    return out.getvalue()


def _write_aside(path: Path, text: str) -> Path:
    """Write the kept-aside file under the first name that does not cover up what the keeper may be correcting."""
    # With its mark, so that spreadsheet programs read the letters right.
    content = b"\xef\xbb\xbf" + text.encode()
    for name in _aside_names(path):
        if not name.exists() or name.read_bytes() == content:
            name.write_bytes(content)
            return name
    raise AssertionError  # pragma: no cover - the names never end


def _aside_names(path: Path) -> Iterator[Path]:
    yield path.with_name(f"kept-aside-{path.stem}.csv")
    number = 2
    while True:
        yield path.with_name(f"kept-aside-{path.stem}-{number}.csv")
        number += 1


def _append(entries: tuple[NewEntry, ...], progress: Progress | None) -> None:
    done = 0
    for chunk in batched(entries, CHUNK):
        append(chunk)
        done += len(chunk)
        if progress is not None:
            progress(done, len(entries))


def _report(reader: LineReader, found: Sorted, aside: Path | None) -> ImportReport:
    named = {*reader.mapping.named_columns(), *ASIDE_COLUMNS}
    return ImportReport(
        lines=len(reader.table.lines),
        good=len(found.good),
        kept_aside=len(found.kept_aside),
        duplicates=len(found.duplicates),
        already_there=len(found.already_there),
        blank=len(found.blank),
        entries_added=len(found.entries),
        reasons=tuple(
            KeptAside(one.line.number, trouble.column, trouble.reason, one.line.text)
            for one in found.kept_aside
            for trouble in one.troubles
        ),
        unread_columns=tuple(column for column in reader.table.columns if column not in named),
        kept_aside_file=str(aside) if aside is not None else None,
    )
