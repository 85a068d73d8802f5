"""On which line of a protocol's file each table and each key stands."""

import re
from collections.abc import Mapping

type Path = tuple[str | int, ...]

_HEADER = re.compile(r"\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?")
_KEY = re.compile(r'\s*("?)([A-Za-z0-9_-]+)\1\s*=')
_LONG = ('"""', "'''")
_LINE_TOLD = re.compile(r"line (\d+)")


def lines_of(text: str) -> Mapping[Path, int]:
    """Return the line, counted from 1, of every table and key of a text that is sound TOML."""
    found: dict[Path, int] = {(): 1}
    counts: dict[Path, int] = {}
    table: Path = ()
    is_inside_long = False
    for number, line in enumerate(text.splitlines(), start=1):
        if not is_inside_long:
            if header := _HEADER.fullmatch(line.split("#")[0].rstrip()):
                table = _table(header[2], counts, is_list=header[1] == "[[")
                found.setdefault(table, number)
            elif key := _KEY.match(line):
                found.setdefault((*table, key[2]), number)
        is_inside_long ^= sum(line.count(mark) for mark in _LONG) % 2 == 1
    return found


def line_at(lines: Mapping[Path, int], path: Path) -> int:
    """Return the line of a path, or of the nearest table around it."""
    while path not in lines:
        path = path[:-1]
    return lines[path]


def line_told(message: str) -> int:
    """Return the line a message of the TOML reader names, or 1."""
    told = _LINE_TOLD.search(message)
    return int(told[1]) if told else 1


def _table(name: str, counts: dict[Path, int], *, is_list: bool) -> Path:
    """Return the path of a header: each list in it stands at the one counted last."""
    parts = [part.strip().strip('"') for part in name.split(".")]
    path: Path = ()
    for index, part in enumerate(parts):
        path = (*path, part)
        is_last = index == len(parts) - 1
        if is_last and is_list:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path
