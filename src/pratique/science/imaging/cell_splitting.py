"""Part cells that touch: where the outline of a clump turns in from both sides, or where the dark between them shows.

Two rounded cells that touch leave a notch on each side. A clump is cut from notch to notch, or from one sharp notch
to the nearest far side, where the cut is short beside the way around. If no cut is found, the clump is looked at again
where it stands out more, since the seam between two cells is fainter than they are. A bent cell has a hollow but no
notch, and stays whole. Cutting clumps at concave points is old practice in cell counting (Yeo et al. 1994).
"""

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from pratique.knowledge import figure
from pratique.science.imaging.masks import Mask, Plane, as_mask, depths, filled, opened, parts_of, rim, solidity

_HIGHER_UP = (0.6, 0.7, 0.8, 0.9)  # parts of the clump's middle height
_DEEPEST = 8  # cuts of cuts: 256 cells in a clump
_SHORTEST_RIM = 16


@dataclass(frozen=True, eq=False)
class _Rim:
    """A clump's outline, how it turns at each point (degrees, inwards below 0), where it is notched, the arm used."""

    points: NDArray[np.float64]
    turns: NDArray[np.float64]
    notches: NDArray[np.intp]
    arm: int


def cells_in_clump(clump: Mask, height: Plane, *, deep: int = 0) -> list[Mask]:
    """Return the cells of a clump as masks of its own size, one mask if it is a single cell; `height` is its height.

    Mask and height are H × W with a margin of ground around the clump.
    """
    pieces = _cut_up(clump)
    if deep >= _DEEPEST:
        return pieces
    if len(pieces) == 1:
        pieces = _parts_higher_up(clump, height)
    if len(pieces) == 1:
        return [clump]
    return [cell for piece in pieces for cell in cells_in_clump(piece, height, deep=deep + 1)]


def _parts_higher_up(clump: Mask, height: Plane) -> list[Mask]:
    """Return the parts a clump falls into where it stands out more, if they are rounder than it; else the clump."""
    whole = solidity(clump)
    if whole >= figure("imaging.cells.convex").value:
        return [clump]
    middle = float(np.median(height[clump > 0]))
    least_area_px = figure("imaging.cells.smallest_piece").value * float(clump.sum())
    for share in _HIGHER_UP:
        top = opened(filled(clump & as_mask(height > share * middle)), 1.0)
        parts = [piece for part in parts_of(top, least_area_px=least_area_px) for piece in _cut_up(part)]
        parts = [part for part in parts if part.sum() >= least_area_px]
        if len(parts) > 1:
            areas = [float(part.sum()) for part in parts]
            rounder = sum(area * solidity(part) for area, part in zip(areas, parts, strict=True)) / sum(areas)
            if rounder - whole >= figure("imaging.cells.convexity_gain").value:
                return parts
    return [clump]


def _cut_up(clump: Mask, *, deep: int = 0) -> list[Mask]:
    """Return the pieces of a clump after every cut its outline asks for."""
    cut = _best_cut(clump) if deep < _DEEPEST else None
    if cut is None:
        return [clump]
    apart = clump.copy()
    start, end = ((round(float(x)), round(float(y))) for x, y in cut)
    cv2.line(apart, start, end, 0.0, 1)
    pieces = parts_of(apart, least_area_px=figure("imaging.cells.smallest_piece").value * float(clump.sum()))[:2]
    if len(pieces) < 2:
        return [clump]
    trimmed = [(piece, opened(piece, 1.0)) for piece in pieces]
    return [part for piece, slim in trimmed for part in _cut_up(slim if slim.any() else piece, deep=deep + 1)]


def _best_cut(clump: Mask) -> tuple[NDArray[np.float64], NDArray[np.float64]] | None:
    """Return the two ends of the shortest cut beside the way around that is short enough, if there is one."""
    outline = _looked_along(clump)
    if outline is None:
        return None
    lone_turn = figure("imaging.cells.lone_notch_turn_degrees").value
    share, lone_share = figure("imaging.cells.cut_share").value, figure("imaging.cells.lone_cut_share").value
    best, best_cut = 1.0, None
    for rank, notch in enumerate(outline.notches):
        tries = [(other, share) for other in outline.notches[rank + 1 :]]
        if outline.turns[notch] <= -lone_turn:
            tries += [(np.intp(other), lone_share) for other in range(len(outline.points))]
        ends = np.array([other for other, _ in tries], dtype=np.intp)
        if not ends.size:
            continue
        scores = _cut_scores(outline, notch, ends) / np.array([limit for _, limit in tries])
        for place in np.argsort(scores, kind="stable"):
            if not scores[place] < best:
                break
            cut = outline.points[notch], outline.points[ends[place]]
            if _runs_inside(clump, *cut):
                best, best_cut = float(scores[place]), cut
                break
    return best_cut


def _looked_along(clump: Mask) -> _Rim | None:
    """Return the outline of a clump with its turns and notches; None where it is too short to have any."""
    points = rim(clump)
    count = len(points)
    if count < _SHORTEST_RIM:
        return None
    half_width_px = float(depths(clump).max())
    smooth = _smoothed_around(points, max(1.0, figure("imaging.cells.notch_smoothing").value * half_width_px))
    arm = min(max(3, round(figure("imaging.cells.notch_arm").value * half_width_px)), count // 6)
    back, on = smooth - np.roll(smooth, arm, axis=0), np.roll(smooth, -arm, axis=0) - smooth
    cross = back[:, 0] * on[:, 1] - back[:, 1] * on[:, 0]
    after = np.roll(points, -1, axis=0)
    winding = np.sign(np.sum(points[:, 0] * after[:, 1] - after[:, 0] * points[:, 1]))
    turns = winding * np.degrees(np.arctan2(cross, (back * on).sum(axis=1)))
    sharpest = np.min([np.roll(turns, shift) for shift in range(-arm, arm + 1)], axis=0)
    is_notch = (turns == sharpest) & (turns <= -figure("imaging.cells.notch_turn_degrees").value)
    return _Rim(points, turns, np.flatnonzero(is_notch), arm)


def _smoothed_around(points: NDArray[np.float64], sd: float) -> NDArray[np.float64]:
    """Return points smoothed along a closed outline by a normal weight of so many points (one sd)."""
    reach = min(math.ceil(3.0 * sd), len(points) // 2)
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sd) ** 2)
    weights /= weights.sum()
    around = np.concatenate([points[-reach:], points, points[:reach]])
    return np.stack([np.convolve(around[:, axis], weights, mode="valid") for axis in (0, 1)], axis=1)


def _cut_scores(outline: _Rim, notch: np.intp, ends: NDArray[np.intp]) -> NDArray[np.float64]:
    """Return the length of each cut over the shorter way around between its ends; infinite for neighbours."""
    count = len(outline.points)
    around = np.abs(ends - notch)
    around = np.minimum(around, count - around)
    straight = np.hypot(*(outline.points[ends] - outline.points[notch]).T)
    return np.where(around < 2 * outline.arm, np.inf, straight / np.maximum(around, 1))


def _runs_inside(clump: Mask, start: NDArray[np.float64], end: NDArray[np.float64]) -> bool:
    """Say whether a cut stays within the clump all the way."""
    steps = np.linspace(0.0, 1.0, max(3, int(np.hypot(*(end - start))) + 1))[:, None]
    across, down = np.rint(start * (1.0 - steps) + end * steps).astype(int).T
    return bool(clump[down, across].all())
