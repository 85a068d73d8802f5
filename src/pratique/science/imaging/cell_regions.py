"""Which pixels belong to which cell: each cell outlined where it falls to half of its own height above the ground.

Half the height is where a blurred edge truly lies, however bright the cell, so that faint and strong cells of one
picture are measured alike; one threshold for all would swell the strong and shrink the faint.
"""

import numpy as np

from pratique.knowledge import figure
from pratique.science.imaging.cell_ground import Flattened
from pratique.science.imaging.cell_splitting import cells_in_clump
from pratique.science.imaging.masks import (
    Labels,
    Plane,
    as_mask,
    closed,
    crops,
    filled,
    nearest_label,
    opened,
    parted,
    parts_of,
)

_HALF = 0.5
_LOOSE, _CLOSE = 1.0 / 3.0, 1.0  # of the closing: clumps keep their notches, cells lose what is only pattern


def cell_regions(flat: Flattened) -> Labels:
    """Return the cells of a flattened picture as labels from 1, 0 for the ground, H × W; touching cells are parted."""
    clumps = _at_half_height(flat, _seeds(flat), closing=_LOOSE, keep_all=True)
    return _at_half_height(flat, _split(flat.height, clumps), closing=_CLOSE, keep_all=False)


def _seeds(flat: Flattened) -> Labels:
    """Return labels for what stands out strongly, and for what stands out faintly and is no glow around the strong."""
    strong, faint = (
        opened(filled(as_mask(flat.height > height)), 1.0) for height in (flat.threshold, flat.faint_threshold)
    )
    labels, areas = parted(faint)
    around_strong = np.zeros(areas.size, dtype=np.bool_)
    around_strong[labels[strong > 0]] = True
    around_strong[0] = True
    return parted(strong | as_mask(~around_strong[labels]))[0]


def _split(height: Plane, clumps: Labels) -> Labels:
    """Return labels for the cells within clumps; what lies between the parts of a clump is left to neither."""
    cells = np.zeros_like(clumps)
    count = 0
    for label, box in crops(clumps, margin_px=0):
        clump = np.pad(as_mask(clumps[box] == label), 1)
        for cell in cells_in_clump(clump, np.pad(height[box], 1)):
            count += 1
            cells[box][cell[1:-1, 1:-1] > 0] = count
    return cells


def _at_half_height(flat: Flattened, seeds: Labels, *, closing: float, keep_all: bool) -> Labels:
    """Return each seed grown or shrunk to half of its own height, as one piece or as all that it falls into."""
    low = max(0.75 * figure("imaging.cells.stands_out").value * flat.noise, _HALF * flat.faint_threshold)
    around = nearest_label(seeds, as_mask(flat.height > low) | as_mask(seeds > 0))
    halves = _half_heights(flat.height, seeds, low)
    regions = np.zeros_like(seeds)
    count = 0
    for label, box in crops(around, margin_px=0):
        own = as_mask(around[box] == label)
        radius_px = closing * figure("imaging.cells.closing").value * float(np.sqrt(own.sum() / np.pi))
        margin = int(radius_px) + 2
        high = np.pad(own & as_mask(flat.height[box] > halves[label]), margin)
        cell = opened(filled(closed(high, radius_px)), 1.0)[margin:-margin, margin:-margin]
        # Closing must not take from a neighbour; filling may, since what lies within a cell is the cell's.
        cell &= own | as_mask(around[box] == 0)
        for part in parts_of(cell, least_area_px=1.0)[: None if keep_all else 1]:
            count += 1
            regions[box][part > 0] = count
    return regions


def _half_heights(height: Plane, seeds: Labels, low: float) -> list[float]:
    """Return for each label half the height of its seed; infinite for a seed without a pixel that stands out."""
    halves = [float("inf")] * (int(seeds.max()) + 1)
    for label, box in crops(seeds, margin_px=0):
        heights = height[box][seeds[box] == label]
        heights = heights[heights > low]
        if heights.size:
            halves[label] = _HALF * float(np.percentile(heights, figure("imaging.cells.level_percentile").value))
    return halves
