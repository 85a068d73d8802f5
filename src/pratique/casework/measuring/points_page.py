"""The page on which points of a photo are judged one at a time, and the shares they give."""

from collections.abc import Mapping
from datetime import datetime

from pratique import knowledge
from pratique.casework.measuring.cover_marks import MarksRefused
from pratique.casework.measuring.cover_page import KINDS
from pratique.casework.measuring.marks_text import REGION, marks_of
from pratique.casework.measuring.stored import about, case_asked
from pratique.casework.sheets.cover import PointsSheet
from pratique.casework.sheets.growth import CandidateLine
from pratique.casework.sheets.lines import NextStep
from pratique.casework.writing.cover import rounded_share, share_lines
from pratique.casework.writing.moments import local_text
from pratique.ledger.household import Household
from pratique.ledger.kinds.care import Photo
from pratique.science.chemistry.domain import DomainError
from pratique.science.imaging.points import PointShare, spread_points, spread_share
from pratique.science.imaging.regions import region_mask

UNSURE = "cannot tell"
_PARTED = "|"
_SEED_DIGITS = 8
# Points are drawn on a raster so coarse that any photo takes a moment.
_RASTER = 1000


def points_sheet(household: Household, photo: Photo, given: Mapping[str, str], *, taken_at: datetime) -> PointsSheet:
    """Return the next point to judge with what was said so far, or the shares once all are judged."""
    case = case_asked(household, photo.subjects, given)
    kinds = (*KINDS, UNSURE)
    judged = [one for one in given.get("judged", "").split(_PARTED) if one in kinds]
    count = int(knowledge.figure("imaging.points").value)
    try:
        points = _points(photo, given.get("marks", ""), count)
        problem = ""
    except (MarksRefused, DomainError) as refused:
        points, problem = [], str(refused)
    said = given.get("say", "")
    if "back" in given:
        judged = judged[:-1]
    elif said in kinds and len(judged) < len(points):
        judged = [*judged, said]
    judged = judged[: len(points)]
    shares = _shares(judged) if points and len(judged) == len(points) else ()
    if points and len(judged) == len(points) and not shares:
        problem = (
            "Hardly any point could be told, so no share can be. Take the photo closer, in white light, and sharp."
        )
    across, down = points[len(judged)] if len(judged) < len(points) else (0.0, 0.0)
    reach = knowledge.figure("imaging.point_view_part").value * max(photo.width_px, photo.height_px) / 2.0
    return PointsSheet(
        sha256=photo.sha256,
        width_px=photo.width_px,
        height_px=photo.height_px,
        case=case,
        case_name=household.cases[case].name if case else "",
        marks=given.get("marks", ""),
        judged=_PARTED.join(judged),
        number=len(judged) + 1,
        count=count,
        view=f"{across - reach:.1f} {down - reach:.1f} {2 * reach:.1f} {2 * reach:.1f}",
        across=across,
        down=down,
        reach=reach,
        kinds=kinds,
        problem=problem,
        bars=tuple(
            CandidateLine(key=name, name=name.capitalize(), chance=one.fraction, low=one.low, high=one.high)
            for name, one in shares
        ),
        unsure=judged.count(UNSURE) if shares else 0,
        step=_step(household, case, photo, shares, taken_at) if shares else None,
    )


def _points(photo: Photo, text: str, count: int) -> list[tuple[float, float]]:
    """Return where to look, spread over the region marked or else over the whole photo; the same for the same photo."""
    shrink = min(1.0, _RASTER / max(photo.width_px, photo.height_px))
    width, height = max(1, round(photo.width_px * shrink)), max(1, round(photo.height_px * shrink))
    right, foot = float(photo.width_px), float(photo.height_px)
    whole = [[0.0, 0.0], [right, 0.0], [right, foot], [0.0, foot]]
    corners = marks_of(text).get(REGION) or whole
    region = region_mask([(one[0] * shrink, one[1] * shrink) for one in corners], height, width)
    found = spread_points(region, count, int(photo.sha256[:_SEED_DIGITS], 16))
    return [((float(one[0]) + 0.5) / shrink, (float(one[1]) + 0.5) / shrink) for one in found]


def _shares(judged: list[str]) -> tuple[tuple[str, PointShare], ...]:
    """Return the share of each kind among the points that could be told."""
    told = [one for one in judged if one != UNSURE]
    if len(told) < 2:
        return ()
    names = sorted(set(told), key=lambda name: -told.count(name))
    return tuple((name, spread_share([one == name for one in told])) for name in names)


def _step(
    household: Household, case: str, photo: Photo, shares: tuple[tuple[str, PointShare], ...], taken_at: datetime
) -> NextStep:
    kept = [rounded_share(name, one.fraction, one.low, one.high) for name, one in shares]
    answers = (
        *about(case, "photo", photo.sha256, local_text(taken_at, household.zone)),
        ("shares", share_lines(kept)),
        ("by", "points"),
    )
    return NextStep("Write it into the ledger", form="cover", answers=tuple(one for one in answers if one[1]))
