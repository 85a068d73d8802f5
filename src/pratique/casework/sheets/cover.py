"""What the page shows on which cover is measured on a photo. No HTML here."""

from dataclasses import dataclass

from pratique.casework.sheets.growth import CandidateLine
from pratique.casework.sheets.lines import NextStep


@dataclass(frozen=True, slots=True)
class MarkTool:
    """One thing the next tap can mark: a corner of a polygon or a dab; `most` is how many of it there can be."""

    name: str
    words: str
    shape: str = "dab"
    most: int = 0


@dataclass(frozen=True, slots=True)
class EarlierMarks:
    """An earlier photo of the same growth whose marks can be used again: its hash, and when it was."""

    sha256: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverSheet:
    """A photo with marks on it, and the cover they give. `dab_px` is how large a dab is set."""

    sha256: str
    words: str
    width_px: int
    height_px: int
    dab_px: float
    case: str
    case_name: str
    tools: tuple[MarkTool, ...]
    marks: str
    polygon: str
    dabs: tuple[tuple[str, float, float, float], ...]
    earlier: tuple[EarlierMarks, ...]
    on: str
    on_words: str
    problem: str
    missing: str
    bars: tuple[CandidateLine, ...]
    tinted: str
    kinds: tuple[str, ...]
    notes: tuple[str, ...]
    step: NextStep | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PointsSheet:
    """One point of a photo, enlarged, to say what it is; and the shares once every point was judged."""

    sha256: str
    width_px: int
    height_px: int
    case: str
    case_name: str
    marks: str
    judged: str
    number: int
    count: int
    view: str
    across: float
    down: float
    reach: float
    kinds: tuple[str, ...]
    problem: str
    bars: tuple[CandidateLine, ...]
    unsure: int
    step: NextStep | None
