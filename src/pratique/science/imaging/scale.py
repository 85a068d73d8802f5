"""Micrometres per pixel, with their error, from lines of a stage micrometer or a known field of view.

A scale holds for one objective with one camera at one zoom. The error carried here is that of the hand that sets the
points; the ruling of the micrometer itself is taken as true.
"""

import math
from dataclasses import dataclass
from statistics import NormalDist

from pratique.knowledge import figure
from pratique.science.chemistry.domain import DomainError, require_above_zero, require_at_least
from pratique.science.imaging.outline import Landmark

_NORMAL_95 = NormalDist().inv_cdf(0.975)


class NoScale(DomainError):
    """The points or numbers cannot give a scale; the sentence says why."""


@dataclass(frozen=True)
class Measured:
    """A size with one standard deviation; what is measured gives the unit (µm, µm² or µm per pixel)."""

    value: float
    sd: float

    @property
    def plus_minus(self) -> float:
        """Return the error, 95 %, in the unit of the value."""
        return _NORMAL_95 * self.sd

    @property
    def relative_sd(self) -> float:
        """Return one standard deviation as a part of the value."""
        return self.sd / self.value


@dataclass(frozen=True)
class Scale:
    """Micrometres per pixel of the pictures of one objective and camera, and one standard deviation of that."""

    um_per_px: float
    sd_um_per_px: float

    @property
    def plus_minus(self) -> float:
        """Return the error of the scale, 95 %, in µm per pixel."""
        return _NORMAL_95 * self.sd_um_per_px

    @property
    def relative_sd(self) -> float:
        """Return one standard deviation as a part of the scale."""
        return self.sd_um_per_px / self.um_per_px

    def on_smaller(self, shrunk: float) -> "Scale":
        """Return the scale of the same picture made smaller, `shrunk` times as wide."""
        return Scale(self.um_per_px / shrunk, self.sd_um_per_px / shrunk)


def known_scale(um_per_px: float, plus_minus: float = 0.0) -> Scale:
    """Return a scale that was told as a number, with its 95 % error. Raises NoScale for one no microscope has."""
    require_at_least("The error of a scale", plus_minus, lower=0.0)
    least, most = figure("imaging.scale.least_um_per_px").value, figure("imaging.scale.most_um_per_px").value
    if not least <= um_per_px <= most:
        raise NoScale(
            f"A pixel of a microscope picture is {least:g} to {most:g}\u202fµm; {um_per_px:g} is not. Calibrate first."
        )
    return Scale(um_per_px, plus_minus / _NORMAL_95)


def scale_from_micrometer(
    first: Landmark, second: Landmark, *, divisions: float, tap_sd_px: float, division_um: float | None = None
) -> Scale:
    """Return the scale from two points set by hand on lines of a stage micrometer so many divisions apart.

    `tap_sd_px` is one sd of a point along the line through both, `division_um` the length of a division (10 µm on the
    usual slide, 1 mm in 100). Each of the two points brings its error, to first order. Raises NoScale for points that
    lie on each other or too close for their error, and for a scale no light microscope has.
    """
    division_um = figure("imaging.scale.division_um").value if division_um is None else division_um
    require_above_zero("The length of a division", division_um, unit="µm")
    require_above_zero("The number of divisions between the points", divisions)
    require_at_least("The error of a point", tap_sd_px, lower=0.0)
    length_px = math.hypot(second.x_px - first.x_px, second.y_px - first.y_px)
    if not 0.0 < length_px < math.inf:
        raise NoScale("Both points lie on one spot: set them on two lines of the micrometer, as far apart as you can.")
    return _scale(divisions * division_um, length_px, relative_sd=math.sqrt(2.0) * tap_sd_px / length_px)


def scale_from_field(*, diameter_um: float, diameter_sd_um: float, diameter_px: float, tap_sd_px: float) -> Scale:
    """Return the scale from a field of view of known diameter, when the picture shows both its edges.

    `diameter_um` was measured once under this objective (sd `diameter_sd_um`); `diameter_px` is the distance of two
    points set at opposite edges, each with the error `tap_sd_px` (one sd). Raises NoScale as the micrometer does.
    """
    require_above_zero("The diameter of the field", diameter_um, unit="µm")
    require_at_least("The error of the field's diameter", diameter_sd_um, lower=0.0)
    require_above_zero("The diameter of the field in the picture", diameter_px, unit="px")
    require_at_least("The error of a point", tap_sd_px, lower=0.0)
    relative_sd = math.hypot(diameter_sd_um / diameter_um, math.sqrt(2.0) * tap_sd_px / diameter_px)
    return _scale(diameter_um, diameter_px, relative_sd=relative_sd)


def length_in_um(length_px: float, scale: Scale, *, length_sd_px: float) -> Measured:
    """Return a length in µm; its own error and the scale's add as independent relative errors, to first order."""
    require_above_zero("A length", length_px, unit="px")
    require_at_least("The error of a length", length_sd_px, lower=0.0)
    length_um = length_px * scale.um_per_px
    return Measured(length_um, length_um * math.hypot(length_sd_px / length_px, scale.relative_sd))


def area_in_um2(area_px: float, scale: Scale, *, area_sd_px: float) -> Measured:
    """Return an area in µm² from one in square pixels; the scale's relative error counts twice in an area."""
    require_above_zero("An area", area_px, unit="px²")
    require_at_least("The error of an area", area_sd_px, lower=0.0)
    area_um2 = area_px * scale.um_per_px**2
    return Measured(area_um2, area_um2 * math.hypot(area_sd_px / area_px, 2.0 * scale.relative_sd))


def _scale(span_um: float, span_px: float, *, relative_sd: float) -> Scale:
    """Return the scale of a span, or refuse one that cannot be of a light microscope or is hardly known."""
    _require_known_well(relative_sd)
    um_per_px = span_um / span_px
    least, most = figure("imaging.scale.least_um_per_px").value, figure("imaging.scale.most_um_per_px").value
    if not least <= um_per_px <= most:
        raise NoScale(
            f"This would be {um_per_px:.3g}\u202fµm per pixel; a light microscope with a camera gives {least:g} to "
            f"{most:g}. Check how many divisions lie between the points, and their length in µm."
        )
    return Scale(um_per_px, um_per_px * relative_sd)


def _require_known_well(relative_sd: float) -> None:
    """Refuse a scale whose error is so large that no size reckoned with it would tell anything."""
    largest = figure("imaging.scale.largest_relative_error").value
    if not _NORMAL_95 * relative_sd <= largest:
        raise NoScale(
            f"The scale would be known to ± {100.0 * _NORMAL_95 * relative_sd:.0f}\u202f% only: "
            f"set the points further apart, until that is below {100.0 * largest:g}\u202f%."
        )
