"""Carry what was marked on one photograph over to a later one of the same place, or refuse where that is unsafe.

Scale-invariant features (Lowe 2004) matched both ways with his ratio test, and a homography by random samples that
weighs its inliers (Barath et al. 2020). Sand shifts and films grow, so many matches are wrong: what counts is how many
agree, how closely, and that the camera it implies is one a hand could have held.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from pratique import knowledge
from pratique.science.chemistry.domain import DomainError
from pratique.science.imaging.colour import Pixels
from pratique.science.imaging.regions import Point

_RATIO = 0.8
_FEATURES = 4000
_MATCH_PX = 1000  # the longer side at which features are looked for
_REACH_PX = 3.0
_DRAWS = 40
_SEED = 6


class NotAligned(DomainError):
    """Two pictures that cannot safely be laid over each other; the sentence says why."""


@dataclass(frozen=True)
class Alignment:
    """The homography from the earlier picture's pixels to the later one's, and how many matches agree on it.

    `corner_sd_px` is how far off the worst corner of the region may lie, one standard deviation.
    """

    matrix: NDArray[np.float64]
    agreeing: int
    matched: int
    corner_sd_px: float

    def carried(self, points: Sequence[Point]) -> list[Point]:
        """Return points of the earlier picture where they lie on the later one."""
        moved = cv2.perspectiveTransform(np.array([points], dtype=np.float64), self.matrix)[0]
        return [(float(x), float(y)) for x, y in moved]


def aligned(earlier: Pixels, later: Pixels, region: Sequence[Point]) -> Alignment:
    """Return how the earlier picture (height, width, 3) lies on the later one, of any size; safe about `region`.

    Raises NotAligned where too few matches agree, or where the region would be turned over, bent, far larger or
    smaller, or out of the picture.
    """
    (points, marks), (other_points, other_marks) = _features(earlier), _features(later)
    pairs = _matched(marks, other_marks)
    least = int(knowledge.figure("imaging.least_agreeing").value)
    if len(pairs) < least:
        raise NotAligned(_too_few(len(pairs)))
    one, other = points[pairs[:, 0]], other_points[pairs[:, 1]]
    reach_px = _REACH_PX * max(later.shape) / _MATCH_PX
    matrix, agree = cv2.findHomography(one, other, cv2.USAC_MAGSAC, reach_px, maxIters=5000, confidence=0.999)
    agreeing = 0 if matrix is None else int(agree.sum())
    if agreeing < max(least, knowledge.figure("imaging.least_agreeing_share").value * len(pairs)):
        raise NotAligned(_too_few(agreeing))
    among = agree.ravel().astype(bool)
    sd_px = _corner_sd_px(one[among], other[among], region)
    found = Alignment(np.asarray(matrix, dtype=np.float64), agreeing, len(pairs), sd_px)
    _require_likely(found, region, later.shape[:2], later.shape[1] / earlier.shape[1])
    return found


def _corner_sd_px(one: NDArray[np.float32], other: NDArray[np.float32], region: Sequence[Point]) -> float:
    """Return how far the worst corner wanders when the matches are drawn anew with replacement (Efron 1979).

    Matches that all lie on one side of the region leave its far corners loose, however many they are.
    """
    rng = np.random.default_rng(_SEED)
    corners = np.array([region], dtype=np.float64)
    wandered = []
    for _ in range(_DRAWS):
        some = rng.integers(0, len(one), len(one))
        matrix, _agree = cv2.findHomography(one[some], other[some], 0)
        if matrix is not None:
            wandered.append(cv2.perspectiveTransform(corners, matrix)[0])
    return float(np.linalg.norm(np.std(wandered, axis=0), axis=1).max()) if len(wandered) > _DRAWS // 2 else np.inf


def _too_few(agreeing: int) -> str:
    return (
        f"The later picture cannot be laid over the earlier one: only {agreeing} places of it agree. Take it from "
        "where the first was taken, with the same rocks in view, or mark the region again on this one."
    )


def _features(pixels: Pixels) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    shrink = min(1.0, _MATCH_PX / max(pixels.shape))
    grey = cv2.resize(
        cv2.cvtColor(pixels, cv2.COLOR_RGB2GRAY), None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA
    )
    found, marks = cv2.SIFT.create(nfeatures=_FEATURES).detectAndCompute(grey, None)
    if not found:  # then there are no marks either
        return np.zeros((0, 2), np.float32), np.zeros((0, 128), np.float32)
    points = np.array([one.pt for one in found], dtype=np.float32)
    return (points + np.float32(0.5)) / np.float32(shrink), np.asarray(marks, dtype=np.float32)


def _matched(marks: NDArray[np.float32], others: NDArray[np.float32]) -> NDArray[np.int64]:
    """Return the pairs that are each other's nearest, clearly nearer than the next, (n, 2)."""
    if min(len(marks), len(others)) < 2:
        return np.zeros((0, 2), dtype=np.int64)
    matcher = cv2.BFMatcher(cv2.NORM_L2)
    there = {one.queryIdx: one.trainIdx for one, next_ in matcher.knnMatch(marks, others, k=2) if _clear(one, next_)}
    back = {one.queryIdx: one.trainIdx for (one,) in matcher.knnMatch(others, marks, k=1)}
    pairs = [(one, other) for one, other in there.items() if back[other] == one]
    return np.array(pairs, dtype=np.int64).reshape(-1, 2)


def _clear(one: cv2.DMatch, next_: cv2.DMatch) -> bool:
    return one.distance < _RATIO * next_.distance


def _require_likely(found: Alignment, region: Sequence[Point], shape: tuple[int, ...], usual: float) -> None:
    """Refuse a camera no hand held; `usual` is how much larger the later picture is anyway."""
    before, after = np.array(region, dtype=np.float32), np.array(found.carried(region), dtype=np.float32)
    depth = found.matrix[2] @ np.column_stack([before, np.ones(len(before))]).T
    area, other_area = _signed_area(before), _signed_area(after)
    scale = float(np.sqrt(abs(other_area / area))) / usual if area else 0.0
    largest = knowledge.figure("imaging.largest_scale_change").value
    if depth.min() <= 0.0 or area * other_area <= 0.0 or not 1.0 / largest <= scale <= largest:
        raise NotAligned(_too_few(found.agreeing))
    if not found.corner_sd_px <= knowledge.figure("imaging.corner_sd_part").value * max(shape):
        raise NotAligned(
            "The later picture cannot safely be laid over the earlier one: what agrees on both lies too far from the "
            "marked region. Take it again with rock or glass edges in view on all sides, or mark the region again."
        )
    height, width = shape
    slack = knowledge.figure("imaging.region_out_part").value * max(shape)
    if after.min() < -slack or after[:, 0].max() > width + slack or after[:, 1].max() > height + slack:
        raise NotAligned(
            "Part of the marked region lies outside the later picture. Take it again with all of it in view."
        )


def _signed_area(corners: NDArray[np.float32]) -> float:
    return float(cv2.contourArea(corners, oriented=True))
