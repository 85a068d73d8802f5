"""Measure a body on a picture: from four points typed or tapped to depth over length, ready for the ledger."""

import math
from collections.abc import Mapping
from datetime import datetime

from pratique import knowledge
from pratique.casework.concerns.pieces import reason
from pratique.casework.sheets.body import OutlinePoint, OutlineSheet
from pratique.casework.sheets.lines import NextStep
from pratique.casework.words import amount, listed, plus_minus
from pratique.casework.writing.moments import local_text
from pratique.ledger.household import Household
from pratique.ledger.kinds.care import Photo
from pratique.science.imaging.outline import Landmark, NoOutline, Outline, OutlineRatio, looks_shorter_by, outline_ratio
from pratique.units import parse_number

_POINTS = (
    ("snout", "Tip of the snout", "The foremost point of the head, mouth shut."),
    ("tail", "Base of the tail fin", "Where the body ends and the fin's rays begin."),
    ("back", "Highest point of the back", "Of the body itself, not of the fin on it."),
    ("belly", "Lowest point of the belly", "Of the body itself, not of the fins under it."),
)
# A point is drawn so large that it shows on a phone, as a part of the picture's longer side.
_MARK_PART = 0.018
_EXAMPLE_YAW_DEGREES = 10.0


def outline_sheet(
    household: Household, photo: Photo, given: Mapping[str, str], *, taken_at: datetime, now: datetime
) -> OutlineSheet:
    """Return the page of a picture with the points typed so far, and what they give once all four stand."""
    points = tuple(_point(photo, given, *one) for one in _POINTS)
    animals = _animals(household, photo, now)
    animal = _animal(photo, given, animals)
    found, problem = _measured(photo, points)
    set_points = not any(one.problem or one.x_px is None for one in points)
    return OutlineSheet(
        sha256=photo.sha256,
        words=photo.words,
        width_px=photo.width_px,
        height_px=photo.height_px,
        mark_px=_MARK_PART * max(photo.width_px, photo.height_px),
        animals=animals,
        animal=animal,
        points=points,
        missing=() if set_points else tuple(one.label.lower() for one in points if one.x_px is None),
        problem=problem,
        gist=f"Depth over length {plus_minus(found.depth_over_length, found.plus_minus, 3)}." if found else "",
        said=_said(found) if found else (),
        reasons=(
            reason("condition.tap_error", "How well a point is set."),
            reason("condition.yaw_degrees", "How far the fish may be turned."),
        ),
        step=_step(household, found, points, animal, taken_at) if found else None,
    )


def _point(photo: Photo, given: Mapping[str, str], key: str, label: str, hint: str) -> OutlinePoint:
    across, down = given.get(f"{key}-across", ""), given.get(f"{key}-down", "")
    x_px, wrong_x = _pixels(across, photo.width_px, "across")
    y_px, wrong_y = _pixels(down, photo.height_px, "down")
    is_half = (x_px is None) != (y_px is None) and not (wrong_x or wrong_y)
    problem = "Both numbers are needed: across and down." if is_half else ""
    is_set = x_px is not None and y_px is not None
    return OutlinePoint(
        key=key,
        label=label,
        hint=hint,
        across=across,
        down=down,
        problem=" ".join(one for one in (wrong_x, wrong_y, problem) if one),
        x_px=x_px if is_set else None,
        y_px=y_px if is_set else None,
    )


def _pixels(text: str, size_px: int, way: str) -> tuple[float | None, str]:
    """Return the pixels typed and what is wrong with them; nothing typed is neither."""
    if not text.strip():
        return None, ""
    try:
        number = parse_number(text)
    except ValueError as refused:
        return None, str(refused)
    if not 0.0 <= number <= size_px:
        return None, f"{amount(number, 0)} lies outside the picture: {way} goes from 0 to {size_px} pixels."
    return number, ""


def _animals(household: Household, photo: Photo, now: datetime) -> tuple[tuple[str, str], ...]:
    """Return the fish a picture may show, those it is said to show first."""
    fish = [
        one
        for one in household.animals.values()
        if one.stays[0].since <= now and not knowledge.species_or_unknown(one.species).is_invertebrate
    ]
    shown = [one for one in fish if f"animal/{one.key}" in photo.subjects]
    others = [one for one in fish if one not in shown and one.life == "alive"]
    return tuple((one.key, one.name) for one in (*shown, *others))


def _animal(photo: Photo, given: Mapping[str, str], animals: tuple[tuple[str, str], ...]) -> str:
    asked = given.get("animal", "")
    if asked in {key for key, _ in animals}:
        return asked
    shown = [key for key, _ in animals if f"animal/{key}" in photo.subjects]
    return shown[0] if len(shown) == 1 else ""


def _measured(photo: Photo, points: tuple[OutlinePoint, ...]) -> tuple[OutlineRatio | None, str]:
    """Return depth over length, or why the points give none; neither while one is missing."""
    marks = [Landmark(one.x_px, one.y_px) for one in points if one.x_px is not None and one.y_px is not None]
    if len(marks) < len(_POINTS):
        return None, ""
    tap_sd_px = knowledge.figure("condition.tap_error").value * max(photo.width_px, photo.height_px)
    try:
        yaw = knowledge.figure("condition.yaw_degrees").value
        return outline_ratio(Outline(*marks), tap_sd_px=tap_sd_px, yaw_sd_degrees=yaw), ""
    except NoOutline as refused:
        return None, str(refused)


def _said(found: OutlineRatio) -> tuple[str, ...]:
    cause = "how well the points are set" if found.tap_sd > found.yaw_sd else "how far the fish may be turned"
    shorter = looks_shorter_by(_EXAMPLE_YAW_DEGREES)
    return (
        f"Depth {amount(found.depth_px, 0)} pixels, length without the tail fin {amount(found.length_px, 0)} pixels.",
        f"Most of the error comes from {cause}.",
        f"A fish turned by {_EXAMPLE_YAW_DEGREES:.0f}° looks {amount(100 * shorter, 1)}\u202f% shorter, and deeper for "
        "its length by as much. Take it side-on, and let the same person set the points each time.",
    )


def _step(
    household: Household,
    found: OutlineRatio,
    points: tuple[OutlinePoint, ...],
    animal: str,
    taken_at: datetime,
) -> NextStep:
    """Return the way into the ledger; the points go along in words, so that anyone can set them again."""
    places = [f"{one.label.lower()} {one.across.strip()} across, {one.down.strip()} down" for one in points]
    answers = (
        ("animal", animal),
        ("depth", f"{found.depth_px:.2f}"),
        ("length", f"{found.length_px:.2f}"),
        ("depth-plus-minus", f"{found.plus_minus:.{_decimals(found.plus_minus)}f}"),
        ("moment", local_text(taken_at, household.zone)),
        ("words", f"Measured on a picture by four points, in pixels: {listed(places)}."),
    )
    return NextStep("Write it into the ledger", form="observation", answers=tuple(one for one in answers if one[1]))


def _decimals(error: float) -> int:
    """Return decimals that show two digits of an error."""
    return max(0, 1 - math.floor(math.log10(error)))
