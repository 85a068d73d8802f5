"""What is told of one body, and what the page shows on which a body is measured on a picture. No HTML here."""

from dataclasses import dataclass

from pratique.casework.sheets.lines import NextStep, Reason


@dataclass(frozen=True, slots=True)
class BodyTold:
    """Length, weight, shape and days without loss in lines of (what, words), with the figures behind them."""

    lines: tuple[tuple[str, str], ...]
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlinePoint:
    """One of the four points: what was typed, what is wrong with it, and where it lies where both numbers are known."""

    key: str
    label: str
    hint: str
    across: str
    down: str
    problem: str
    x_px: float | None
    y_px: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineSheet:
    """A picture with four points on it, and the depth over length they give; `mark_px` is how large to draw a point."""

    sha256: str
    words: str
    width_px: int
    height_px: int
    mark_px: float
    animals: tuple[tuple[str, str], ...]
    animal: str
    points: tuple[OutlinePoint, ...]
    missing: tuple[str, ...]
    problem: str
    gist: str
    said: tuple[str, ...]
    reasons: tuple[Reason, ...]
    step: NextStep | None
