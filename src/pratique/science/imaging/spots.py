"""Cells on the frames of a clip: where each is, how large, and how its long axis lies.

A cell is what stands out of its surroundings by several times the noise, all of them darker or all lighter: the other
way lie their halos. The ground is a wide blur of the frame itself, never a middle over time, in which cells that lie
still would vanish.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from pratique.knowledge import figure
from pratique.science.chemistry.domain import DomainError

type Grey = NDArray[np.uint8]
type Floats = NDArray[np.float64]

_GROUND_STEP = 8
_NORMAL_MAD = 1.4826
_LEARNT_FROM = 60


class NoMotion(DomainError):
    """The clip gives no movement that can be measured; the sentence says why."""


@dataclass(frozen=True)
class Spots:
    """The cells of one frame: middles (n, 2), areas (n), angles of long axes (n, radians) and length over width (n).

    Pixels are those of the frame as it was given; the middle of its first pixel is at 0, 0.
    """

    middles_px: Floats
    areas_px: Floats
    angles: Floats
    ratios: Floats


@dataclass(frozen=True)
class Detector:
    """How cells of one clip are told from the ground, learnt from its first frame."""

    shrink: float
    sign: float
    threshold: float
    least_area_px: float

    def spots(self, frame: Grey) -> Spots:
        """Return the cells of a frame (height, width) that lie wholly inside it."""
        return _spots(self.sign * _standing_out(frame, self.shrink), self)


def detector_for(frame: Grey) -> Detector:
    """Learn from the first frame (height, width) of a clip. Raises NoMotion where nothing stands out of it."""
    shrink = min(1.0, (figure("imaging.clips.working_pixels").value / frame.size) ** 0.5)
    out = _standing_out(frame, shrink)
    noise = float(np.median(np.abs(out))) * _NORMAL_MAD
    least = max(1.0, figure("imaging.clips.stands_out").value * noise)
    sign = 1.0 if (out[out > least] - least).sum() >= (-out[out < -least] - least).sum() else -1.0
    out = sign * out
    first = Detector(shrink, sign, least, 4.0)
    labels, stats = _regions(out, least)
    areas = stats[1:, cv2.CC_STAT_AREA]
    large = np.flatnonzero(areas >= first.least_area_px) + 1
    if not large.size:
        raise NoMotion("Nothing stands out on this clip: focus on the cells, and let more light through.")
    peaks = np.array([out[labels == one].max() for one in large[np.argsort(-areas[large - 1])][:_LEARNT_FROM]])
    threshold = max(least, figure("imaging.clips.height_part").value * float(np.median(peaks)))
    sizes = _regions(out, threshold)[1][1:, cv2.CC_STAT_AREA]
    kept = sizes[sizes >= first.least_area_px]
    middle = float(np.median(np.repeat(kept, kept))) if kept.size else first.least_area_px
    return Detector(shrink, sign, threshold, max(4.0, figure("imaging.clips.least_size_part").value * middle))


def _standing_out(frame: Grey, shrink: float) -> NDArray[np.float32]:
    """Return by how much each pixel is lighter than the ground about it, a little smoothed."""
    if shrink < 1.0:
        frame = np.asarray(cv2.resize(frame, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    height, width = frame.shape
    small = cv2.resize(
        frame, (max(1, width // _GROUND_STEP), max(1, height // _GROUND_STEP)), interpolation=cv2.INTER_AREA
    )
    reach = max(1.0, figure("imaging.clips.ground_part").value * min(small.shape))
    ground = cv2.GaussianBlur(cv2.medianBlur(small, 5).astype(np.float32), (0, 0), reach)
    soft = cv2.GaussianBlur(frame.astype(np.float32), (0, 0), 1.0)
    return np.asarray(soft - cv2.resize(ground, (width, height), interpolation=cv2.INTER_LINEAR), dtype=np.float32)


def _regions(out: NDArray[np.float32], threshold: float) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    there = (out > threshold).astype(np.uint8)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(there, connectivity=8)
    return np.asarray(labels, dtype=np.int32), np.asarray(stats, dtype=np.int32)


def _spots(out: NDArray[np.float32], how: Detector) -> Spots:
    labels, stats = _regions(out, how.threshold)
    height, width = out.shape
    inside = (
        (stats[:, cv2.CC_STAT_LEFT] > 0)
        & (stats[:, cv2.CC_STAT_TOP] > 0)
        & (stats[:, cv2.CC_STAT_LEFT] + stats[:, cv2.CC_STAT_WIDTH] < width)
        & (stats[:, cv2.CC_STAT_TOP] + stats[:, cv2.CC_STAT_HEIGHT] < height)
        & (stats[:, cv2.CC_STAT_AREA] >= how.least_area_px)
    )
    inside[0] = False
    rows, columns = np.nonzero(labels)
    label = labels[rows, columns]
    kept = inside[label]
    rows, columns, label = rows[kept], columns[kept], label[kept]
    number = np.cumsum(inside) - 1
    return _moments(columns, rows, number[label], out[rows, columns] - how.threshold, how.shrink)


def _moments(
    x: NDArray[np.int64], y: NDArray[np.int64], spot: NDArray[np.int64], weight: NDArray[np.float32], shrink: float
) -> Spots:
    """Return middles weighted by how far the pixels stand out, and axes from the second moments."""
    count = int(spot.max()) + 1 if spot.size else 0

    def total(values: NDArray[np.float64]) -> Floats:
        return np.bincount(spot, weights=values, minlength=count)

    heavy = weight.astype(np.float64) + 1e-6
    mass = total(heavy)
    across, down = total(heavy * x) / mass, total(heavy * y) / mass
    dx, dy = x - across[spot], y - down[spot]
    area = np.bincount(spot, minlength=count).astype(np.float64)
    xx, yy, xy = (total(one) / area + extra for one, extra in ((dx * dx, 1 / 12), (dy * dy, 1 / 12), (dx * dy, 0.0)))
    apart = np.hypot((xx - yy) / 2.0, xy)
    long, short = (xx + yy) / 2.0 + apart, np.maximum((xx + yy) / 2.0 - apart, 1e-9)
    middles = (np.column_stack([across, down]) + 0.5) / shrink - 0.5
    return Spots(middles, area / shrink**2, 0.5 * np.arctan2(2.0 * xy, xx - yy), np.sqrt(long / short))
