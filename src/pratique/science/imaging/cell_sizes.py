"""How long and how wide an outlined cell is, in pixels and, with the picture's scale, in micrometres.

Length is the longest straight line between two points of the outline (the greatest caliper): the apical axis of a
boat, the tip to tip of a crescent, as keys give them. Width is that of the largest circle that fits inside: the body
at its thickest. The narrowest caliper would count the bend of a crescent as width, and a fitted rectangle the bulge of
a boat; the caliper is given beside it. Turned cells look shorter, never longer.

Blur takes the tip off a pointed cell. What it took is reckoned by blurring the outline found once more and adding
what that takes (Tukey's twicing, 1977): most of it for rounded tips, about half for needle-sharp ones.
"""

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from pratique.knowledge import figure
from pratique.science.imaging.masks import Mask, Plane, as_mask, depths, rim
from pratique.science.imaging.outline import Landmark
from pratique.science.imaging.scale import Measured, Scale, area_in_um2, length_in_um

_PIXEL = 1.0  # the outline runs through the middles of pixels: half a pixel is missing at each end
_FINER, _LARGEST_FINE_PX = 3, 20_000  # small shapes are blurred on a finer grid, large ones need none
_STEPS_OFF_PX = 0.7
_OUTLINE_STEP_PX = 0.75  # an outline may be drawn this far from its pixels


@dataclass(frozen=True)
class Cell:
    """A cell in a picture: its outline from the picture's top left corner, and its sizes, all in pixels."""

    outline: tuple[Landmark, ...]
    centre: Landmark
    area_px: float
    perimeter_px: float
    length_px: float
    width_px: float
    narrowest_caliper_px: float
    touches_border: bool

    @property
    def ratio(self) -> float:
        """Return length over width."""
        return self.length_px / self.width_px


@dataclass(frozen=True)
class CellSize:
    """A cell's sizes with their errors: length and width in µm, area in µm², and length over width without unit."""

    length: Measured
    width: Measured
    area: Measured
    ratio: Measured


def measured_cell(mask: Mask, *, left_px: int, top_px: int, touches_border: bool, blur_px: float) -> Cell:
    """Return a cell from its mask (H × W, with a margin of ground) and where the mask lies in the picture.

    `blur_px` is one sd of the blur of its edge; the length has what the blur took from its tips added.
    """
    points = rim(mask)
    corner = np.array([left_px + _PIXEL / 2.0, top_px + _PIXEL / 2.0])
    line = cv2.approxPolyDP(points.astype(np.float32).reshape(-1, 1, 2), _OUTLINE_STEP_PX, closed=True)
    middle = np.argwhere(mask)[:, ::-1].mean(axis=0) + corner
    length_px, width_px = _finely(mask, blur_px)
    return Cell(
        outline=tuple(Landmark(float(x), float(y)) for x, y in line.reshape(-1, 2) + corner),
        centre=Landmark(float(middle[0]), float(middle[1])),
        area_px=float(mask.sum()),
        perimeter_px=float(cv2.arcLength(line, closed=True)) + math.pi * _PIXEL,
        length_px=length_px,
        width_px=width_px,
        narrowest_caliper_px=_calipers(points)[1],
        touches_border=touches_border,
    )


def size_of(cell: Cell, scale: Scale) -> CellSize:
    """Return a cell's sizes in µm with the error of its edges and of the scale; the scale falls out of the ratio.

    Each end of a length is an edge found with an error of its own; an area's edges are taken to err together, as an
    outline drawn too wide does, so that its error is that of an edge times the way around.
    """
    edge_sd_px = figure("imaging.cells.edge_sd_px").value
    across_sd_px = math.sqrt(2.0) * edge_sd_px
    return CellSize(
        length=length_in_um(cell.length_px, scale, length_sd_px=across_sd_px),
        width=length_in_um(cell.width_px, scale, length_sd_px=across_sd_px),
        area=area_in_um2(cell.area_px, scale, area_sd_px=edge_sd_px * cell.perimeter_px),
        ratio=Measured(
            cell.ratio, cell.ratio * math.hypot(across_sd_px / cell.length_px, across_sd_px / cell.width_px)
        ),
    )


def _finely(mask: Mask, blur_px: float) -> tuple[float, float]:
    """Return length and width of a shape with its pixels' steps smoothed off, blur's toll on the length given back."""
    fine = _FINER if float(mask.sum()) <= _LARGEST_FINE_PX else 1
    # Edges blurred more than this are refused, and a flat patch without an edge would be blurred for minutes.
    most_px = figure("imaging.cells.most_blur").value * math.sqrt(float(mask.sum()))
    margin = math.ceil(3.0 * min(blur_px, most_px)) + 2
    sharp = np.kron(np.pad(mask, margin), np.ones((fine, fine), np.uint8)).astype(np.float32)
    # The steps come off first, or losing them would count as taken by the blur.
    once = _blurred(sharp, fine * _STEPS_OFF_PX)
    if not once.any():  # thinner than two pixels: no cell, but a speck to be left out
        return _calipers(rim(mask))[0], _PIXEL
    # Twice the depth of the deepest pixel's middle is up to a whole pixel more than the circle: half, on average.
    length, width = _calipers(rim(once))[0], 2.0 * float(depths(once).max()) - _PIXEL / 2.0
    taken = 0.0
    if fine * blur_px <= figure("imaging.cells.most_blur").value * width:
        twice = _blurred(sharp, fine * math.hypot(_STEPS_OFF_PX, blur_px))
        taken = max(0.0, length - _calipers(rim(twice))[0]) if twice.any() else 0.0
    return (length + taken) / fine, width / fine


def _blurred(sharp: Plane, sd_px: float) -> Mask:
    """Return a shape as it looks, cut at half its height, once blurred."""
    return as_mask(np.asarray(cv2.GaussianBlur(sharp, (0, 0), sd_px)) > 0.5)


def _calipers(points: NDArray[np.float64]) -> tuple[float, float]:
    """Return the greatest and the least distance between two parallel jaws that hold the points, in pixels."""
    hull = np.asarray(cv2.convexHull(points.astype(np.float32)), dtype=np.float64).reshape(-1, 2)
    if len(hull) < 3:
        return float(np.hypot(*(hull[-1] - hull[0]))) + _PIXEL, _PIXEL
    longest = float(np.hypot(*(hull[:, None] - hull[None, :]).transpose(2, 0, 1)).max())
    sides = np.roll(hull, -1, axis=0) - hull
    normals = np.stack([-sides[:, 1], sides[:, 0]], axis=1) / np.hypot(*sides.T)[:, None]
    across = hull @ normals.T
    return longest + _PIXEL, float((across.max(axis=0) - across.min(axis=0)).min()) + _PIXEL
