"""Marks on a photo as lines a keeper can read and mend: `region: 10 10; 900 20; …`, `brown: 300 200 8; …`."""

import json
import math
from collections.abc import Iterator, Sequence

from pratique.casework.measuring.cover_marks import (
    LONGEST_NAME,
    MOST_CORNERS,
    MOST_DABS,
    MOST_KINDS,
    Marks,
    MarksRefused,
    read_marks,
)
from pratique.units import parse_number

type Ends = tuple[float, float, float, float]

REGION, WHITE = "region", "white"
SCALE, CELL = "scale", "cell"
_LIKE_THIS = "Write each on a line of its own: region: 10 10; 900 20; 890 700, or brown: 300 200 8; 410 180 8."
_PAIRS_LIKE_THIS = "Write each on a line of its own: scale: 100 60; 500 62, or cell: 220 310; 290 350."


def marks_of(text: str) -> dict[str, list[list[float]]]:
    """Return the places of each line by its name, as far as they were set. Raises MarksRefused."""
    found: dict[str, list[list[float]]] = {}
    for name, places in _lines(text, _LIKE_THIS):
        wanted = 2 if name == REGION else 3
        some = found.setdefault(name, [])
        some += [_place(name, one, wanted) for one in places]
        most = MOST_CORNERS if name == REGION else MOST_DABS
        if len(some) > most:
            raise MarksRefused(f"“{name}” has {len(some)} places; at most {most} are used.")
    kinds = [name for name, some in found.items() if name not in {REGION, WHITE} and some]
    if len(kinds) > MOST_KINDS:
        raise MarksRefused(f"There are dabs of {len(kinds)} kinds; at most {MOST_KINDS} can be told apart.")
    return {name: some for name, some in found.items() if some}


def _lines(text: str, like_this: str) -> Iterator[tuple[str, list[str]]]:
    """Yield the name and the places of each line."""
    for line in filter(None, (one.strip() for one in text.splitlines())):
        name, colon, places = line.partition(":")
        name = name.strip().casefold()
        if not colon or not name:
            raise MarksRefused(f"“{line[:60]}” cannot be read. {like_this}")
        if len(name) > LONGEST_NAME:
            raise MarksRefused(f"“{name[:20]}…” is too long for a name; {LONGEST_NAME} letters are kept.")
        yield name, [one.strip() for one in places.split(";") if one.strip()]


def _place(name: str, text: str, wanted: int) -> list[float]:
    try:
        numbers = [parse_number(one) for one in text.split()]
    except ValueError as problem:
        raise MarksRefused(f"“{name}”: {problem}") from None
    if len(numbers) != wanted:
        what = "across and down" if wanted == 2 else "across, down and radius"
        raise MarksRefused(f"“{name}”: “{text[:40]}” should be {what}, {wanted} numbers.")
    if not all(map(math.isfinite, numbers)):
        raise MarksRefused(f"“{name}”: a place on a photo is a few thousand pixels across and down at most.")
    if wanted > 2 and numbers[2] <= 0.0:
        raise MarksRefused(f"“{name}”: “{text[:40]}” has no size; a dab's radius is above 0 pixels.")
    return numbers


def whole_marks(found: dict[str, list[list[float]]]) -> Marks:
    """Return marks ready to be measured by. Raises MarksRefused with what is still to set."""
    missing = missing_of(found)
    if missing:
        raise MarksRefused(f"Still to set: {', '.join(missing)}.")
    told: dict[str, object] = {
        REGION: found[REGION],
        "dabs": {name: one for name, one in found.items() if name not in {REGION, WHITE}},
    }
    if WHITE in found:
        told[WHITE] = found[WHITE][-1]
    return read_marks(json.dumps(told))


def pairs_of(text: str) -> dict[str, list[tuple[float, float, float, float]]]:
    """Return the two ends of scales and cells, from lines such as `scale: 10 20; 400 22`. Raises MarksRefused.

    An end without its other one is waited for.
    """
    found: dict[str, list[Ends]] = {}
    for name, places in _lines(text, _PAIRS_LIKE_THIS):
        if name not in {SCALE, CELL}:
            raise MarksRefused(f"“{name}” is neither a scale nor a cell. {_PAIRS_LIKE_THIS}")
        points = [_place(name, one, 2) for one in places]
        found.setdefault(name, [])
        for one, other in zip(points[::2], points[1::2], strict=False):
            if one == other:
                raise MarksRefused(f"“{name}”: both ends lie on one spot; take one back and set it anew.")
            found[name].append((one[0], one[1], other[0], other[1]))
    return found


def missing_of(found: dict[str, list[list[float]]]) -> list[str]:
    """Return what is still to set before anything can be measured, in words."""
    kinds = [name for name in found if name not in {REGION, WHITE}]
    missing = []
    if len(found.get(REGION, ())) < 3:
        missing.append("three or more corners of the region")
    if len(kinds) < 2:
        missing.append("dabs of two kinds, one of them what it grows on")
    return missing


def text_of(marks: Marks) -> str:
    """Return marks as lines."""
    lines = [_line(REGION, marks.region), *(_line(name, kind) for name, kind in marks.dabs.items())]
    return "\n".join([*lines, *([_line(WHITE, [marks.white])] if marks.white else [])])


def _line(name: str, places: Sequence[Sequence[float]]) -> str:
    return f"{name}: {'; '.join(' '.join(f'{one:.1f}'.removesuffix('.0') for one in place) for place in places)}"
