"""The scale of a microscope picture from what was tapped and typed: a micrometer, a known field, or a number."""

import math
from collections.abc import Callable, Mapping, Sequence

from pratique import knowledge
from pratique.casework.measuring.marks_text import Ends
from pratique.casework.words import amount
from pratique.ledger.kinds.care import Photo
from pratique.ledger.kinds.measured import Clip
from pratique.science.chemistry.uncertainty import NORMAL_95
from pratique.science.imaging.outline import Landmark
from pratique.science.imaging.scale import Scale, known_scale, length_in_um, scale_from_field, scale_from_micrometer
from pratique.units import parse_number

type Given = Mapping[str, str]


def scale_given(photo: Photo | Clip, lines: Sequence[Ends], given: Given, problems: dict[str, str]) -> Scale | None:
    """Return µm to a pixel of the file of a photo or clip, or None where it is not told yet or a problem was noted.

    What was tapped on the photo itself comes before a number from elsewhere.
    """
    ways: dict[str, Callable[[], Scale]] = {}
    if lines:
        ways["divisions"] = lambda: _by_micrometer(photo, lines[-1], given)
        ways["field-um"] = lambda: _by_field(photo, lines[-1], given)
    ways["um-per-px"] = lambda: known_scale(parse_number(given["um-per-px"]))
    name = next((one for one in ways if given.get(one, "").strip()), None)
    if name is None:
        return None
    try:
        return ways[name]()
    except ValueError as refused:
        problems[name.replace("-", "_")] = str(refused)
        return None


def scale_words(scale: Scale | None) -> str:
    """Return a scale in words; empty where there is none."""
    if scale is None:
        return ""
    error = f" ± {amount(scale.plus_minus, 3)}" if scale.plus_minus else ""
    return f"{amount(scale.um_per_px, 3)}{error} µm to a pixel"


def tapped_length_um(photo: Photo, scale: Scale, ends: Ends) -> float:
    """Return the length in µm between two taps."""
    x, y, other_x, other_y = ends
    sd_px = math.sqrt(2.0) * tap_sd_px(photo)
    return length_in_um(math.hypot(other_x - x, other_y - y), scale, length_sd_px=sd_px).value


def tap_sd_px(photo: Photo | Clip) -> float:
    """Return one standard deviation of a tap, in pixels of the photo."""
    return knowledge.figure("condition.tap_error").value * max(photo.width_px, photo.height_px)


def _by_micrometer(photo: Photo | Clip, line: Ends, given: Given) -> Scale:
    x, y, other_x, other_y = line
    division_um = given.get("division-um", "").strip()
    return scale_from_micrometer(
        Landmark(x, y),
        Landmark(other_x, other_y),
        divisions=parse_number(given["divisions"]),
        tap_sd_px=tap_sd_px(photo),
        division_um=parse_number(division_um) if division_um else None,
    )


def _by_field(photo: Photo | Clip, line: Ends, given: Given) -> Scale:
    x, y, other_x, other_y = line
    diameter_um = parse_number(given["field-um"])
    part = knowledge.figure("imaging.scale.field_relative_error").value
    return scale_from_field(
        diameter_um=diameter_um,
        diameter_sd_um=part * diameter_um / NORMAL_95,
        diameter_px=math.hypot(other_x - x, other_y - y),
        tap_sd_px=tap_sd_px(photo),
    )
