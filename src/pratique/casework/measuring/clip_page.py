"""The page on which cells are followed on a clip: its scale, how they move, and the way into the ledger."""

from collections.abc import Mapping
from datetime import datetime

from pratique.casework.measuring.clips import MeasuredClip, cells_counted, measure_clip, moving_words
from pratique.casework.measuring.decoding import NotDecoded
from pratique.casework.measuring.scale_given import scale_given
from pratique.casework.measuring.stored import about, case_asked, content_of, usual_scale
from pratique.casework.reckoning.memory import MEMORY
from pratique.casework.sheets.lines import NextStep
from pratique.casework.sheets.microscope import ClipSheet
from pratique.casework.words import amount
from pratique.casework.writing.moments import local_text
from pratique.ledger.household import Household
from pratique.ledger.kinds.measured import Clip
from pratique.science.chemistry.domain import DomainError
from pratique.science.imaging.motion import Motion
from pratique.units import parse_number

_MANNERS = {
    "still": "The cells do not move.",
    "gliding": "The cells glide slowly along their length.",
    "swimming": "The cells swim freely.",
    "spinning": "The cells spin on one point, as if tethered.",
    "not told": "How the cells move cannot be told.",
}
_MOST_MINUTES = 24 * 60
_WAY_POINTS = 40
_LEAST_DRIFT_UM_PER_S = 0.05  # less would be told as 0.0


def clip_sheet(household: Household, clip: Clip, given: Mapping[str, str], *, taken_at: datetime) -> ClipSheet:
    """Return the page of a clip, and how its cells move once its scale is given."""
    case = case_asked(household, clip.subjects, given)
    problems: dict[str, str] = {}
    scale = scale_given(clip, (), given, problems)
    minutes_old = _minutes_old(given, problems)
    if "follow" in given and not given.get("um-per-px", "").strip():
        problems["um_per_px"] = "A speed needs a scale: how many µm one pixel of this clip is."
    um_per_px = None if scale is None else scale.um_per_px
    found = _found(clip.sha256, um_per_px, problems) if "follow" in given and um_per_px is not None else None
    asked = about(case, "clip", clip.sha256, local_text(taken_at, household.zone))
    return ClipSheet(
        sha256=clip.sha256,
        words=clip.words,
        width_px=clip.width_px,
        height_px=clip.height_px,
        case=case,
        case_name=household.cases[case].name if case else "",
        um_per_px=given.get("um-per-px", usual_scale(case)),
        minutes_old=given.get("minutes-old", ""),
        problems=problems,
        gist=_MANNERS[found.found.manner] if found else "",
        said=_said(found) if found else (),
        notes=found.notes if found else (),
        ways=_ways(found, clip) if found else (),
        step=_step(asked, found.found, um_per_px, minutes_old) if found and um_per_px and not problems else None,
    )


def _minutes_old(given: Mapping[str, str], problems: dict[str, str]) -> float | None:
    text = given.get("minutes-old", "").strip()
    if not text:
        return None
    try:
        minutes = parse_number(text)
    except ValueError as refused:
        problems["minutes_old"] = str(refused)
        return None
    if not 0.0 <= minutes <= _MOST_MINUTES:
        problems["minutes_old"] = (
            "Write how many minutes the sample had lain when it was filmed: 0 or more, a day at most."
        )
        return None
    return minutes


def _found(sha256: str, um_per_px: float, problems: dict[str, str]) -> MeasuredClip | None:
    key = ("clip", sha256, um_per_px)
    try:
        return MEMORY.recall(key, lambda: measure_clip(content_of(sha256), um_per_px), size_of=lambda _: 2**18)
    except (NotDecoded, DomainError) as refused:
        problems["follow"] = str(refused)
    return None


def _said(measured: MeasuredClip) -> tuple[str, ...]:
    found = measured.found
    low, high = found.median_interval
    drift = ""
    speed = float((found.drift.um_per_s**2).sum()) ** 0.5
    if found.drift.by != "none" and speed >= _LEAST_DRIFT_UM_PER_S:
        drift = f"The water drifted at {amount(speed, 1, 'µm/s')}, which is taken out (told by {found.drift.by})."
    said = (
        found.why,
        f"The middle cell moves at {amount(found.median_um_per_s, 1, 'µm/s')}, between {amount(low, 1)} and "
        f"{amount(high, 1)}; nine in ten between {amount(found.q05_um_per_s, 1)} and "
        f"{amount(found.q95_um_per_s, 1, 'µm/s')}.",
        f"{cells_counted(len(found.tracks))} followed over {amount(found.seconds, 1)} seconds; {moving_words(found)}.",
        drift,
    )
    return tuple(one for one in said if one)


def _ways(measured: MeasuredClip, clip: Clip) -> tuple[str, ...]:
    ways = []
    grown = clip.width_px / measured.frame_width_px
    for way in measured.found.ways_px:
        some = way[:: max(1, len(way) // _WAY_POINTS)] * grown
        ways.append(" ".join(f"{x:.1f},{y:.1f}" for x, y in some))
    return tuple(ways)


def _step(asked: tuple[tuple[str, str], ...], found: Motion, um_per_px: float, minutes_old: float | None) -> NextStep:
    answers = (
        *asked,
        ("manner", found.manner),
        ("median", f"{found.median_um_per_s:.2f}"),
        ("q05", f"{found.q05_um_per_s:.2f}"),
        ("q95", f"{found.q95_um_per_s:.2f}"),
        ("moving", f"{100 * found.moving_fraction:.1f}"),
        ("tracks", str(len(found.tracks))),
        ("um-per-px", f"{um_per_px:.4g}"),
        ("minutes-old", "" if minutes_old is None else f"{minutes_old:g}"),
    )
    return NextStep("Write it into the ledger", form="motion", answers=tuple(one for one in answers if one[1]))
