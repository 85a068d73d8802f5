"""Find the cells in a microscope picture and measure them, or say why the picture cannot be measured.

Nothing here knows how large a cell is: sizes of grains and gaps are parts of the cells found, so that a picture may
be taken under any objective. Whoever knows how long the cells are may say so, and grains are told apart by that.
"""

import math
from dataclasses import dataclass

import cv2
import numpy as np

from pratique.knowledge import figure
from pratique.science.chemistry.domain import require_above_zero
from pratique.science.imaging.cell_ground import Flattened, NoCells, Picture, flattened, middle_area
from pratique.science.imaging.cell_regions import cell_regions
from pratique.science.imaging.cell_sizes import Cell, measured_cell
from pratique.science.imaging.masks import Labels, Mask, Plane, as_mask, crops

_SLOPE_OF_EDGE = math.sqrt(2.0 * math.pi)  # height over steepest slope of a normally blurred edge, in sd


@dataclass(frozen=True)
class FoundCells:
    """The whole cells of a picture, those its border cuts, how many specks were left out, and how the edges look.

    `edge_blur` is one sd of the edges' blur as a part of the cells' width, the middle one of all whole cells. A cell
    that the border cuts has no true length; it counts by the keeper's own rule (two borders of four, usually).
    """

    whole: tuple[Cell, ...]
    cut_by_border: tuple[Cell, ...]
    specks: int
    cells_are_darker: bool
    edge_blur: float


def find_cells(picture: Picture, *, expected_length_px: float | None = None) -> FoundCells:
    """Return the cells of a picture (bytes, H × W in grey or H × W × 3 in red, green and blue), light or dark ones.

    Light is evened, each cell is outlined at half its own height above the ground, and cells that touch are parted.
    With `expected_length_px` whatever is shorter than half of it is a speck; without, whatever has less than a
    twentieth of the middle cell's area. Raises NoCells, with what would be right, for a picture that is too small,
    over- or underexposed or blurred, that shows nothing, or that is covered with cells.
    """
    if expected_length_px is not None:
        require_above_zero("The length expected of a cell", expected_length_px, unit="px")
    flat = flattened(picture)
    regions = cell_regions(flat)
    cells, blurs = _measured(flat, regions)
    kept = [pair for pair in zip(cells, blurs, strict=True) if not _is_speck(pair[0], cells, expected_length_px)]
    if not kept:
        raise NoCells("Nothing large enough to be measured stands out from the ground: take a stronger objective.")
    if sum(cell.area_px for cell, _ in kept) > figure("imaging.cells.most_covered").value * flat.height.size:
        raise NoCells("The cells cover most of the picture: thin the sample with water from the tank and try again.")
    whole = [pair for pair in kept if not pair[0].touches_border]
    blur = float(np.median([blur_px / cell.width_px for cell, blur_px in whole or kept]))
    if blur > figure("imaging.cells.most_blur").value:
        raise NoCells(
            "The picture is blurred: the edges of the cells are as wide as the cells. Focus and take it again."
        )
    return FoundCells(
        whole=tuple(cell for cell, _ in whole),
        cut_by_border=tuple(cell for cell, _ in kept if cell.touches_border),
        specks=len(cells) - len(kept),
        cells_are_darker=flat.cells_are_darker,
        edge_blur=blur,
    )


def _measured(flat: Flattened, regions: Labels) -> tuple[list[Cell], list[float]]:
    """Return every labelled region measured, and one sd of the blur of its edge in pixels."""
    cells, blurs = [], []
    slopes = _slopes(flat.height)
    high, wide = regions.shape
    for label, (down, across) in crops(regions, margin_px=0):
        mask = as_mask(regions[down, across] == label)
        touches = down.start == 0 or across.start == 0 or down.stop >= high or across.stop >= wide
        blurs.append(_blur_px(mask, flat.height[down, across], slopes[down, across]))
        cells.append(
            measured_cell(
                np.pad(mask, 1),
                left_px=across.start - 1,
                top_px=down.start - 1,
                touches_border=touches,
                blur_px=blurs[-1],
            )
        )
    return cells, blurs


def _is_speck(cell: Cell, cells: list[Cell], expected_length_px: float | None) -> bool:
    """Say whether something is too small to be a cell among these, or to be measured at all."""
    if cell.width_px < figure("imaging.cells.least_width_px").value:
        return True
    if expected_length_px is not None:
        return cell.length_px < figure("imaging.cells.speck_length_share").value * expected_length_px
    areas = np.array([other.area_px for other in cells], dtype=np.int32)
    return cell.area_px < figure("imaging.cells.speck_share").value * middle_area(areas)


def _slopes(height: Plane) -> Plane:
    """Return how steep the picture is at each pixel, in greys per pixel."""
    down, across = (cv2.Sobel(height, cv2.CV_32F, x, y, ksize=3, scale=1.0 / 8.0) for x, y in ((0, 1), (1, 0)))
    return np.asarray(cv2.magnitude(across, down), dtype=np.float32)


def _blur_px(mask: Mask, height: Plane, slopes: Plane) -> float:
    """Return one sd of the blur of a cell's edge in pixels, from how steep the edge is for the cell's height."""
    inner = cv2.erode(mask, np.ones((3, 3), np.uint8), borderValue=0.0)
    level = float(np.percentile(height[mask > 0], figure("imaging.cells.level_percentile").value))
    return level / (_SLOPE_OF_EDGE * max(float(np.median(slopes[(mask > 0) & (inner == 0)])), 1e-6))
