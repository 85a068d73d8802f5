"""What the pages show on which cells are measured on a still and followed on a clip. No HTML here."""

from dataclasses import dataclass

from pratique.casework.sheets.lines import NextStep


@dataclass(frozen=True, slots=True)
class CellLine:
    """One cell that was found: its number from 1, its outline on the picture, and its sizes in words."""

    number: int
    outline: str
    words: str
    is_rejected: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CellsSheet:
    """A microscope still with its scale, the cells found on it and those measured by hand."""

    sha256: str
    words: str
    width_px: int
    height_px: int
    case: str
    case_name: str
    marks: str
    lines: tuple[tuple[str, str], ...]
    divisions: str
    division_um: str
    field_um: str
    um_per_px: str
    scale_words: str
    problems: dict[str, str]
    is_found: bool
    cells: tuple[CellLine, ...]
    by_hand: tuple[str, ...]
    gist: str
    said: tuple[str, ...]
    step: NextStep | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipSheet:
    """A microscope clip and how its cells move; `ways` are the ways of the cells followed, on the clip's pixels."""

    sha256: str
    words: str
    width_px: int
    height_px: int
    case: str
    case_name: str
    um_per_px: str
    minutes_old: str
    problems: dict[str, str]
    gist: str
    said: tuple[str, ...]
    notes: tuple[str, ...]
    ways: tuple[str, ...]
    step: NextStep | None
