"""Depth over length of a body from four points set on a picture of its side, with the error of that.

The points are the tip of the snout, the base of the tail fin, the highest point of the back and the lowest of the
belly. Length runs from snout to tail base (standard length); depth is taken square to it. Both are in pixels of one
picture, so its scale falls out; what does not is the hand that sets the points and the turn of the fish.
"""

import math
from dataclasses import dataclass
from statistics import NormalDist

from pratique.science.chemistry.domain import DomainError, require_within

_NORMAL_95 = NormalDist().inv_cdf(0.975)
_LARGEST_YAW_DEGREES = 60.0


@dataclass(frozen=True)
class Landmark:
    """A point of a picture, in pixels across from its left and down from its top."""

    x_px: float
    y_px: float


@dataclass(frozen=True)
class Outline:
    """The four points; which side of the picture the fish looks to, and how it is tilted, do not matter."""

    snout: Landmark
    tail_base: Landmark
    back: Landmark
    belly: Landmark


@dataclass(frozen=True)
class OutlineRatio:
    """Depth over length with one standard deviation, and the two parts of it: the taps' and the turn's."""

    depth_over_length: float
    sd: float
    tap_sd: float
    yaw_sd: float
    depth_px: float
    length_px: float

    @property
    def plus_minus(self) -> float:
        """Return the error of the ratio, 95 %."""
        return _NORMAL_95 * self.sd


class NoOutline(DomainError):
    """The four points cannot be those of a body; the sentence says why."""


def outline_ratio(outline: Outline, *, tap_sd_px: float, yaw_sd_degrees: float) -> OutlineRatio:
    """Return depth over length from four points, each set with an error of `tap_sd_px` (one sd) across and down.

    The taps' error is carried to first order. A fish turned from the picture's plane looks shorter, never longer, so
    the ratio can only come out too large; the turn's root mean square effect counts as its sd and is not corrected
    for. Raises NoOutline for points that make no body, DomainError for an error out of range.
    """
    require_within("The error of a point", tap_sd_px, lower=0.0, upper=math.inf)
    require_within("The turn of the fish", yaw_sd_degrees, lower=0.0, upper=_LARGEST_YAW_DEGREES / 2.0, unit="°")
    axis_x = outline.tail_base.x_px - outline.snout.x_px
    axis_y = outline.tail_base.y_px - outline.snout.y_px
    length = math.hypot(axis_x, axis_y)
    if not 0.0 < length < math.inf:
        raise NoOutline("Snout and tail base lie on one point: set them at the two ends of the body.")
    back = _off_axis(outline, outline.back, length)
    belly = _off_axis(outline, outline.belly, length)
    if not back * belly < 0.0:
        raise NoOutline(
            "Back and belly lie on the same side of the line from snout to tail base: set one above it, one below."
        )
    depth = abs(back - belly)
    ratio = depth / length
    # With a from snout to tail base and v from belly to back, the ratio is a × v / a·a; v's slope is 1/|a|. Turning a
    # costs v's part along it, and stretching it the ratio once more. Each of a and v has two taps in it.
    along = ((outline.back.x_px - outline.belly.x_px) * axis_x + (outline.back.y_px - outline.belly.y_px) * axis_y) / (
        length * length
    )
    tap_sd = math.sqrt(2.0) * tap_sd_px / length * math.sqrt(1.0 + ratio * ratio + along * along)
    # sec θ − 1 is θ²/2 to first order; the mean square of that for a normal θ is 3σ⁴/4.
    yaw_sd = ratio * math.sqrt(3.0) / 2.0 * math.radians(yaw_sd_degrees) ** 2
    return OutlineRatio(ratio, math.hypot(tap_sd, yaw_sd), tap_sd, yaw_sd, depth, length)


def looks_shorter_by(yaw_degrees: float) -> float:
    """Return by which part a body looks shorter when it is turned by an angle: 1 − cos. Raises DomainError."""
    require_within("The turn of the fish", yaw_degrees, lower=0.0, upper=_LARGEST_YAW_DEGREES, unit="°")
    return 1.0 - math.cos(math.radians(yaw_degrees))


def _off_axis(outline: Outline, point: Landmark, length: float) -> float:
    """Return how far a point lies from the line through snout and tail base, with a sign for the side."""
    across = (outline.tail_base.x_px - outline.snout.x_px) * (point.y_px - outline.snout.y_px)
    down = (outline.tail_base.y_px - outline.snout.y_px) * (point.x_px - outline.snout.x_px)
    return (across - down) / length
