"""Which pixels of a picture a marked polygon or a dab holds: those whose centres lie within it."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError

type Point = tuple[float, float]
type Mask = NDArray[np.bool_]

_FEWEST_CORNERS = 3


class NoRegion(DomainError):
    """The marked corners hold no part of the picture; the sentence says why."""


def region_mask(corners: Sequence[Point], height_px: int, width_px: int) -> Mask:
    """Return the pixels, (height, width), whose centres lie inside a polygon; one that crosses itself is even-odd.

    `corners` are pixels across and down from the picture's upper left corner; parts outside the picture are left out.

    Raises NoRegion where fewer than three corners are given or no pixel lies inside.
    """
    if len(corners) < _FEWEST_CORNERS:
        raise NoRegion("A region needs at least three corners.")
    crossings = np.zeros((height_px, width_px + 1), dtype=np.int32)
    for (x, y), (next_x, next_y) in zip(corners, [*corners[1:], corners[0]], strict=True):
        if y == next_y:
            continue
        rows = _rows_crossed(min(y, next_y), max(y, next_y), height_px)
        across = x + (rows + 0.5 - y) * (next_x - x) / (next_y - y)
        columns = np.clip(np.ceil(across - 0.5), 0, width_px).astype(np.int64)
        np.add.at(crossings, (rows, columns), 1)
    mask: Mask = (np.cumsum(crossings, axis=1)[:, :width_px] % 2).astype(bool)
    if not mask.any():
        raise NoRegion("The marked region holds no part of the picture: set its corners again, in order around it.")
    return mask


def _rows_crossed(top: float, bottom: float, height_px: int) -> NDArray[np.int64]:
    """Return the rows whose centres lie between two heights, the lower bound included."""
    first = max(0, int(np.ceil(top - 0.5)))
    last = min(height_px, int(np.ceil(bottom - 0.5)))
    return np.arange(first, max(first, last), dtype=np.int64)


def disc_pixels(
    centre: Point, radius_px: float, height_px: int, width_px: int
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the rows and columns of the pixels whose centres lie within a dab, or of the one nearest to its middle.

    Both are empty for a dab outside the picture.
    """
    x, y = centre
    if not (0 <= x < width_px and 0 <= y < height_px):
        return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
    rows = np.arange(max(0, int(y - radius_px)), min(height_px, int(y + radius_px) + 2), dtype=np.int64)
    columns = np.arange(max(0, int(x - radius_px)), min(width_px, int(x + radius_px) + 2), dtype=np.int64)
    far = np.hypot(columns[None, :] + 0.5 - x, rows[:, None] + 0.5 - y)
    row, column = np.nonzero(far <= radius_px)
    if not row.size:
        return np.array([int(y)]), np.array([int(x)])
    return rows[row], columns[column]
