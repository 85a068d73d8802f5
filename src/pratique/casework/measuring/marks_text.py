"""Marks on a photo as lines a keeper can read and mend: `region: 10 10; 900 20; …`, `brown: 300 200 8; …`."""

import json
from collections.abc import Sequence

from pratique.casework.measuring.cover_marks import Marks, MarksRefused, read_marks
from pratique.units import parse_number

REGION, WHITE = "region", "white"
_LIKE_THIS = "Write each on a line of its own: region: 10 10; 900 20; 890 700, or brown: 300 200 8; 410 180 8."


def marks_of(text: str) -> dict[str, list[list[float]]]:
    """Return the places of each line by its name, as far as they were set. Raises MarksRefused."""
    found: dict[str, list[list[float]]] = {}
    for line in filter(None, (one.strip() for one in text.splitlines())):
        name, colon, places = line.partition(":")
        name = name.strip().casefold()
        if not colon or not name:
            raise MarksRefused(f"“{line[:60]}” cannot be read. {_LIKE_THIS}")
        wanted = 2 if name == REGION else 3
        for place in filter(None, (one.strip() for one in places.split(";"))):
            found.setdefault(name, []).append(_place(name, place, wanted))
    return found


def _place(name: str, text: str, wanted: int) -> list[float]:
    try:
        numbers = [parse_number(one) for one in text.split()]
    except ValueError as problem:
        raise MarksRefused(f"“{name}”: {problem}") from None
    if len(numbers) != wanted:
        what = "across and down" if wanted == 2 else "across, down and radius"
        raise MarksRefused(f"“{name}”: “{text[:40]}” should be {what}, {wanted} numbers.")
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
    """Return pairs of points by name, from lines such as `scale: 10 20; 400 22`. Raises MarksRefused.

    A point without its other end is waited for.
    """
    found: dict[str, list[tuple[float, float, float, float]]] = {}
    for line in filter(None, (one.strip() for one in text.splitlines())):
        name, _, places = line.partition(":")
        points = [_place(name.strip(), one, 2) for one in places.split(";") if one.strip()]
        pairs = zip(points[::2], points[1::2], strict=False)
        found[name.strip().casefold()] = [(one[0], one[1], other[0], other[1]) for one, other in pairs]
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
