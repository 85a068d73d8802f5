"""A spreadsheet's text as lines of cells, with each line's own characters kept beside them."""

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass

DELIMITERS = (";", "\t", ",")
# A cell may hold line breaks inside quotation marks; a mark never closed must not swallow the rest of the file.
LONGEST_LINE = 20
DAMAGED = "This line cannot be taken apart: a quotation mark is not closed, or stands where none should."


class TableRefused(ValueError):
    """The file is not a table with a heading over each column; the sentence says why."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line as it stands in the file; `cells` is None where it cannot be taken apart."""

    number: int
    text: str
    cells: tuple[str, ...] | None


@dataclass(frozen=True, slots=True)
class Table:
    """The headings and the lines under them."""

    columns: tuple[str, ...]
    header: str
    delimiter: str
    lines: tuple[Line, ...]


def read_table(content: bytes) -> Table:
    """Return the table in a file: UTF-8 (with or without mark), UTF-16 with mark, else Latin-1; `;`, `,` or tabs.

    Raises TableRefused.
    """
    physical = re.split(r"\r\n|\n|\r", _decoded(content))
    if physical and physical[-1] == "":
        physical.pop()
    first = next((index for index, text in enumerate(physical) if text.strip()), None)
    if first is None:
        raise TableRefused("The file is empty; it needs a line of headings and a line for each day.")
    delimiter = max(DELIMITERS, key=lambda mark: _outside_quotes(physical[first]).count(mark))
    header = _cells(physical[first], delimiter)
    if header is None or len(header) < 2:
        raise TableRefused(
            "The first line should name the columns, parted by semicolons, commas or tabs; only one was found."
        )
    columns = tuple(name.strip() or f"column {place}" for place, name in enumerate(header, start=1))
    twice = next((name for name in columns if columns.count(name) > 1), None)
    if twice is not None:
        raise TableRefused(f"Two columns are called “{twice}”; give each a name of its own.")
    lines = tuple(_lines(physical, first + 1, delimiter))
    return Table(columns=columns, header=physical[first], delimiter=delimiter, lines=lines)


def _decoded(content: bytes) -> str:
    for mark, encoding in ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16")):
        if content.startswith(mark):
            return content.decode(encoding, errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("latin-1")


def _outside_quotes(text: str) -> str:
    return re.sub(r'"[^"]*"', "", text)


def _cells(text: str, delimiter: str) -> tuple[str, ...] | None:
    """Return the cells of a line, or None where its quotation marks do not fit."""
    try:
        rows = list(csv.reader(text.splitlines(keepends=True) or [""], delimiter=delimiter, strict=True))
    except csv.Error:
        return None
    return tuple(rows[0]) if len(rows) == 1 else () if not rows else None


def _lines(physical: list[str], start: int, delimiter: str) -> Iterator[Line]:
    index = start
    while index < len(physical):
        text, cells, used = physical[index], _cells(physical[index], delimiter), 1
        if cells is None:
            for more in range(2, min(LONGEST_LINE, len(physical) - index) + 1):
                longer = "\n".join(physical[index : index + more])
                found = _cells(longer, delimiter)
                if found is not None:
                    text, cells, used = longer, found, more
                    break
        yield Line(number=index + 1, text=text, cells=cells)
        index += used
