"""The page on which cover is measured: marks as they stand, what they give, and the way into the ledger."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from pratique import knowledge
from pratique.casework.measuring.cover import MeasuredCover, measure_cover
from pratique.casework.measuring.cover_marks import Marks, MarksRefused, read_marks
from pratique.casework.measuring.decoding import NotDecoded
from pratique.casework.measuring.marks_text import REGION, WHITE, marks_of, missing_of, text_of, whole_marks
from pratique.casework.measuring.stored import about, case_asked, content_of
from pratique.casework.reckoning.memory import MEMORY
from pratique.casework.sheets.cover import CoverSheet, EarlierMarks, MarkTool
from pratique.casework.sheets.growth import CandidateLine
from pratique.casework.sheets.lines import NextStep
from pratique.casework.words import short_day
from pratique.casework.writing.cover import rounded_share, share_lines
from pratique.casework.writing.moments import local_text
from pratique.ledger.household import Household
from pratique.ledger.kinds.care import Photo
from pratique.ledger.kinds.measured import Cover, CoverShare
from pratique.ledger.queries import entries_about
from pratique.science.chemistry.domain import DomainError

# What it grows on comes first, then what grows; any other name may be typed.
KINDS = ("sand", "rock", "glass", "brown", "golden", "red", "green", "dark")
_TOOLS = (
    MarkTool(REGION, "Region’s corner", shape="polygon"),
    *(MarkTool(one, one.capitalize()) for one in KINDS),
    MarkTool(WHITE, "Something white", most=1),
)


@dataclass(frozen=True)
class Told:
    """What came of measuring: the cover with its picture, or the sentence that says why not."""

    json: Mapping[str, object] | None
    shares: tuple[CoverShare, ...]
    notes: tuple[str, ...]
    problem: str
    overlays: Mapping[str, bytes]


def cover_sheet(
    household: Household, photo: Photo, given: Mapping[str, str], *, taken_at: datetime, now: datetime
) -> CoverSheet:
    """Return the page of a photo with the marks set so far, and the cover once they are whole."""
    case = case_asked(household, photo.subjects, given)
    earlier = _earlier(household, case, photo, now)
    on = given.get("on", "") if given.get("on", "") in {one.sha256 for one, _ in earlier} else ""
    text = given.get("marks", "")
    places, problem = _places(text)
    marks, missing = _whole(places, on, earlier)
    told = told_of(photo.sha256, marks, on) if marks is not None and not problem else None
    kinds = [one.name for one in told.shares] if told is not None else []
    return CoverSheet(
        sha256=photo.sha256,
        words=photo.words,
        width_px=photo.width_px,
        height_px=photo.height_px,
        dab_px=round(knowledge.figure("imaging.dab_part").value * max(photo.width_px, photo.height_px), 1),
        case=case,
        case_name=household.cases[case].name if case else "",
        tools=_TOOLS,
        marks=text,
        polygon=" ".join(f"{x},{y}" for x, y in places.get(REGION, ())),
        dabs=tuple((name, one[0], one[1], one[2]) for name, some in places.items() if name != REGION for one in some),
        earlier=tuple(one for one, _ in earlier),
        on=on,
        on_words=next((one.words for one, _ in earlier if one.sha256 == on), ""),
        problem=problem or (told.problem if told is not None else ""),
        missing="" if on or problem or not text else missing,
        bars=_bars(told),
        tinted=given.get("tint", "") if given.get("tint", "") in kinds else _likely_growth(kinds),
        kinds=tuple(kinds),
        notes=told.notes if told is not None else (),
        step=_step(household, case, photo, told, marks, taken_at),
    )


def told_of(sha256: str, marks: Marks, on: str) -> Told:
    """Return the cover by marks on a photo or, with `on`, on the earlier one; measured once for the same marks."""
    key = ("cover", sha256, marks.model_dump_json(), on)
    try:
        return MEMORY.recall(key, lambda: _told(sha256, marks, on), size_of=_size)
    except NotDecoded as refused:  # not remembered: a file that is missing may come back
        return _no_cover(refused)


def _size(told: Told) -> int:
    return 4096 + sum(len(one) for one in told.overlays.values())


def _told(sha256: str, marks: Marks, on: str) -> Told:
    try:
        found = measure_cover(content_of(sha256), marks, content_of(on) if on else None)
    except (MarksRefused, DomainError) as refused:
        return _no_cover(refused)
    shares = tuple(rounded_share(name, one.fraction, one.low, one.high) for name, one in found.found.shares.items())
    return Told(found.to_json(), shares, found.notes, "", _overlays(found))


def _no_cover(refused: Exception) -> Told:
    return Told(None, (), (), str(refused), {})


def _overlays(found: MeasuredCover) -> dict[str, bytes]:
    return {name: found.overlay_jpeg(name) for name in found.found.shares}


def _earlier(household: Household, case: str, photo: Photo, now: datetime) -> tuple[tuple[EarlierMarks, Marks], ...]:
    """Return the photos of the same growth with marks of their own, the newest first."""
    if not case:
        return ()
    found = []
    for one in reversed(entries_about(f"case/{case}", ["cover"], until=now)):
        told = one.payload
        if not isinstance(told, Cover) or not told.photo or told.photo == photo.sha256 or not told.marks:
            continue
        day = short_day(one.happened_at.astimezone(household.zone).date())
        try:
            found.append((EarlierMarks(told.photo, f"the photo of {day}"), read_marks(told.marks)))
        except MarksRefused:  # written by a machine that checked them less; the photo can still be marked by itself
            continue
    return tuple({one.sha256: (one, marks) for one, marks in reversed(found)}.values())[::-1]


def _places(text: str) -> tuple[dict[str, list[list[float]]], str]:
    try:
        return marks_of(text), ""
    except MarksRefused as refused:
        return {}, str(refused)


def _whole(
    places: dict[str, list[list[float]]], on: str, earlier: Sequence[tuple[EarlierMarks, Marks]]
) -> tuple[Marks | None, str]:
    """Return the marks to measure by, or what is still to set."""
    if on:
        return next(marks for one, marks in earlier if one.sha256 == on), ""
    missing = missing_of(places)
    if missing:
        return None, f"Still to set: {', '.join(missing)}."
    try:
        return whole_marks(places), ""
    except MarksRefused as refused:
        return None, str(refused)


def _bars(told: Told | None) -> tuple[CandidateLine, ...]:
    if told is None:
        return ()
    return tuple(
        CandidateLine(key=one.name, name=one.name.capitalize(), chance=one.fraction, low=one.low, high=one.high)
        for one in told.shares
    )


def _likely_growth(kinds: Sequence[str]) -> str:
    return next((one for one in kinds if one not in KINDS[:3]), kinds[0] if kinds else "")


def _step(
    household: Household, case: str, photo: Photo, told: Told | None, marks: Marks | None, taken_at: datetime
) -> NextStep | None:
    if told is None or told.json is None or marks is None:
        return None
    answers = (
        *about(case, "photo", photo.sha256, local_text(taken_at, household.zone)),
        ("shares", share_lines(told.shares)),
        ("by", "dabs"),
        # Marks of an earlier photo stay with it: each later one is laid over the first, so errors do not add up.
        ("marks", "" if told.json["matches_agreeing"] is not None else text_of(marks)),
    )
    return NextStep("Write it into the ledger", form="cover", answers=tuple(one for one in answers if one[1]))


def cover_overlay(household: Household, photo: Photo, given: Mapping[str, str], *, now: datetime) -> bytes | None:
    """Return the photo with the kind asked for outlined, as JPEG; None where its marks give none."""
    earlier = _earlier(household, case_asked(household, photo.subjects, given), photo, now)
    on = given.get("on", "") if given.get("on", "") in {one.sha256 for one, _ in earlier} else ""
    marks, _ = _whole(_places(given.get("marks", ""))[0], on, earlier)
    return None if marks is None else told_of(photo.sha256, marks, on).overlays.get(given.get("tint", ""))
