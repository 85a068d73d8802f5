"""The page on which cells are measured: a scale by two taps, cells found or measured by hand, and what they give."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from statistics import median

from pratique import knowledge
from pratique.casework.measuring.cells import FoundOnStill, accepted, cells_on, count_words
from pratique.casework.measuring.cover_marks import MarksRefused
from pratique.casework.measuring.decoding import NotDecoded
from pratique.casework.measuring.marks_text import CELL, SCALE, Ends, pairs_of
from pratique.casework.measuring.scale_given import scale_given, scale_words, tapped_length_um
from pratique.casework.measuring.stored import about, case_asked, content_of, usual_scale
from pratique.casework.reckoning.memory import MEMORY
from pratique.casework.sheets.lines import NextStep
from pratique.casework.sheets.microscope import CellLine, CellsSheet
from pratique.casework.words import amount
from pratique.casework.writing.moments import local_text
from pratique.casework.writing.numbers import plain
from pratique.ledger.household import Household
from pratique.ledger.kinds.care import Photo
from pratique.science.chemistry.domain import DomainError
from pratique.science.imaging.cell_sizes import CellSize
from pratique.science.imaging.counting import median_interval
from pratique.science.imaging.scale import Scale

_OUTLINE_CORNERS = 60


def cells_sheet(
    household: Household, photo: Photo, given: Mapping[str, str], *, taken_at: datetime, rejected: Sequence[int] = ()
) -> CellsSheet:
    """Return the page of a still with its scale, the cells found on it where asked for, and what they give."""
    case = case_asked(household, photo.subjects, given)
    problems: dict[str, str] = {}
    marks = _marks(photo, given.get("marks", ""), problems)
    scale = scale_given(photo, marks.get(SCALE, []), given, problems)
    found = _found(photo.sha256, problems) if "find" in given else None
    sizes = _sizes(found, scale, rejected)
    by_hand = [] if scale is None else [tapped_length_um(photo, scale, one) for one in marks.get(CELL, [])]
    typed, moment = given.get("um-per-px"), local_text(taken_at, household.zone)
    return CellsSheet(
        sha256=photo.sha256,
        words=photo.words,
        width_px=photo.width_px,
        height_px=photo.height_px,
        case=case,
        case_name=household.cases[case].name if case else "",
        marks=given.get("marks", ""),
        lines=tuple((name, f"{a},{b} {c},{d}") for name, some in marks.items() for a, b, c, d in some),
        divisions=given.get("divisions", ""),
        division_um=given.get("division-um", plain(knowledge.figure("imaging.scale.division_um").value)),
        field_um=given.get("field-um", ""),
        um_per_px=usual_scale(case) if typed is None else typed,
        scale_words=scale_words(scale),
        problems=problems,
        is_found=found is not None,
        cells=_cell_lines(found, scale, rejected),
        by_hand=tuple(f"{amount(one, 1, 'µm')} long, by hand" for one in by_hand),
        gist=_gist(sizes, by_hand),
        said=_said(found, scale, sizes, by_hand),
        step=None if problems else _step(about(case, "photo", photo.sha256, moment), scale, sizes, by_hand),
    )


def _marks(photo: Photo, text: str, problems: dict[str, str]) -> dict[str, list[Ends]]:
    try:
        found = pairs_of(text)
    except MarksRefused as refused:
        problems["marks"] = str(refused)
        return {}
    outside = next((name for name, some in found.items() for one in some if not _is_inside(photo, one)), None)
    if outside is not None:
        problems["marks"] = (
            f"An end of a {outside} lies outside the picture, which is {photo.width_px} pixels wide and "
            f"{photo.height_px} high."
        )
        return {}
    return found


def _is_inside(photo: Photo, ends: Ends) -> bool:
    """Say whether both ends lie on the photo."""
    return all(0.0 <= x <= photo.width_px for x in ends[::2]) and all(0.0 <= y <= photo.height_px for y in ends[1::2])


def _found(sha256: str, problems: dict[str, str]) -> FoundOnStill | None:
    try:
        return MEMORY.recall(("cells", sha256), lambda: _looked(sha256), size_of=lambda _: 2**18)
    except (NotDecoded, DomainError) as refused:
        problems["find"] = str(refused)
        return None


def _looked(sha256: str) -> FoundOnStill:
    found = cells_on(content_of(sha256))
    # The pixels are not needed again, only how far they were made smaller.
    return FoundOnStill(found.cells, found.cut_by_border, found.specks, found.picture.without_pixels())


def _sizes(found: FoundOnStill | None, scale: Scale | None, rejected: Sequence[int]) -> tuple[CellSize, ...]:
    if found is None or scale is None:
        return ()
    return accepted(found, scale, [one - 1 for one in rejected]).sizes


def _cell_lines(found: FoundOnStill | None, scale: Scale | None, rejected: Sequence[int]) -> tuple[CellLine, ...]:
    if found is None:
        return ()
    shrunk = found.picture.shrunk
    lines = []
    for number, cell in enumerate(found.cells, start=1):
        every = max(1, len(cell.outline) // _OUTLINE_CORNERS)
        points = " ".join(f"{one.x_px / shrunk:.1f},{one.y_px / shrunk:.1f}" for one in cell.outline[::every])
        long, wide = cell.length_px / shrunk, cell.width_px / shrunk
        if scale is None:
            words = f"{amount(long, 0)} pixels long, {amount(wide, 0)} wide"
        else:
            words = f"{amount(long * scale.um_per_px, 1, 'µm')} long, {amount(wide * scale.um_per_px, 1, 'µm')} wide"
        lines.append(CellLine(number, points, words, number in rejected))
    return tuple(lines)


def _gist(sizes: Sequence[CellSize], by_hand: Sequence[float]) -> str:
    lengths = [*(one.length.value for one in sizes), *by_hand]
    if not lengths:
        return ""
    middle = median_interval(lengths)
    between = ""
    if middle.lower is not None and middle.upper is not None:
        between = f", between {amount(middle.lower, 1)} and {amount(middle.upper, 1, 'µm')}"
    return f"The middle cell is {amount(middle.median, 1, 'µm')} long{between}."


def _said(
    found: FoundOnStill | None, scale: Scale | None, sizes: Sequence[CellSize], by_hand: Sequence[float]
) -> tuple[str, ...]:
    said = []
    if scale is None and (found is not None or by_hand):
        said.append("Without a scale nothing can be told in µm, and nothing is written down.")
    if found is not None and scale is not None and found.cells and not sizes:
        said.append("Every cell that was found is left out.")
    if sizes:
        said.append(f"{count_words(len(sizes))}.")
        said.append(f"They are {amount(median(one.ratio.value for one in sizes), 1)} times as long as wide.")
    if found is not None and found.cut_by_border:
        said.append(f"{found.cut_by_border} more are cut by the picture’s border and left out.")
    return tuple(said)


def _step(
    asked: tuple[tuple[str, str], ...], scale: Scale | None, sizes: Sequence[CellSize], by_hand: Sequence[float]
) -> NextStep | None:
    if scale is None or not (sizes or by_hand):
        return None
    lengths = [*(one.length.value for one in sizes), *by_hand]
    widths = [] if by_hand else [one.width.value for one in sizes]
    answers = (
        *asked,
        ("lengths", " ".join(f"{one:.1f}" for one in lengths)),
        ("widths", " ".join(f"{one:.1f}" for one in widths)),
        ("um-per-px", f"{scale.um_per_px:.4g}"),
    )
    return NextStep("Write it into the ledger", form="cells", answers=tuple(one for one in answers if one[1]))
