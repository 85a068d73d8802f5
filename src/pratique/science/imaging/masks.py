"""Shapes in a picture as ones among noughts: grown, shrunk, filled, parted, and how they look.

A mask is an H × W array of bytes, 1 where the shape is. Radii are in pixels and need not be whole: growing and
shrinking go by distance, so that a large radius costs no more than a small one.
"""

from collections.abc import Iterator

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import find_objects

type Mask = NDArray[np.uint8]
type Labels = NDArray[np.int32]
type Plane = NDArray[np.float32]

_FOUR = 4
_AREA = 4  # the column of an area among the figures of the parts


def as_mask(where: NDArray[np.bool_]) -> Mask:
    """Return truths as a mask."""
    return where.astype(np.uint8)


def depths(mask: Mask) -> Plane:
    """Return how far each pixel of the shape is from the nearest pixel outside it, 0 outside."""
    return np.asarray(cv2.distanceTransform(mask, cv2.DIST_L2, cv2.DIST_MASK_PRECISE), dtype=np.float32)


def shrunk(mask: Mask, radius_px: float) -> Mask:
    """Return the shape without its rim of that width; what lies past the picture's border counts as shape."""
    return as_mask(depths(mask) > radius_px) if mask.min() == 0 else mask


def grown(mask: Mask, radius_px: float) -> Mask:
    """Return the shape with a rim of that width around it."""
    return as_mask(depths(as_mask(mask == 0)) <= radius_px) if mask.any() else mask


def opened(mask: Mask, radius_px: float) -> Mask:
    """Return the shape without what is too narrow for a disc of that radius."""
    return mask & grown(shrunk(mask, radius_px), radius_px)


def closed(mask: Mask, radius_px: float) -> Mask:
    """Return the shape with the gaps filled that are too narrow for a disc of that radius."""
    return mask | shrunk(grown(mask, radius_px), radius_px)


def filled(mask: Mask) -> Mask:
    """Return the shape without holes."""
    outlines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return np.asarray(cv2.drawContours(mask.copy(), outlines, -1, 1.0, cv2.FILLED), dtype=np.uint8)


def parted(mask: Mask) -> tuple[Labels, NDArray[np.int32]]:
    """Return the shape's separate parts as labels from 1, and the area of each (the ground's first)."""
    _, labels, figures, _ = cv2.connectedComponentsWithStats(mask, connectivity=_FOUR, ltype=cv2.CV_32S)
    return np.asarray(labels, dtype=np.int32), np.asarray(figures[:, _AREA], dtype=np.int32)


def parts_of(mask: Mask, *, least_area_px: float) -> list[Mask]:
    """Return the separate parts of the shape that are large enough, largest first."""
    labels, areas = parted(mask)
    large = [label for label in np.argsort(-areas[1:], kind="stable") + 1 if areas[label] >= least_area_px]
    return [as_mask(labels == label) for label in large]


def crops(labels: Labels, *, margin_px: int) -> Iterator[tuple[int, tuple[slice, slice]]]:
    """Yield every label with the part of the picture that holds it and so much around it, as far as there is any."""
    for label, box in enumerate(find_objects(labels), start=1):
        if box is not None:
            down, across = box
            yield (
                label,
                (
                    slice(max(0, down.start - margin_px), down.stop + margin_px),
                    slice(max(0, across.start - margin_px), across.stop + margin_px),
                ),
            )


def nearest_label(labels: Labels, within: Mask) -> Labels:
    """Return for each pixel of `within` the label of the nearest labelled pixel, 0 elsewhere."""
    outside = as_mask(labels == 0)
    if outside.all():
        return labels
    _, nearest = cv2.distanceTransformWithLabels(outside, cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_PIXEL)
    named = np.zeros(int(nearest.max()) + 1, dtype=np.int32)
    inside = labels > 0
    named[nearest[inside]] = labels[inside]
    return np.where(within > 0, named[nearest], 0).astype(np.int32)


def rim(mask: Mask) -> NDArray[np.float64]:
    """Return the outer pixels of a shape in order around it, n × 2, across and down; of its largest part."""
    outlines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return np.asarray(max(outlines, key=len), dtype=np.float64).reshape(-1, 2)


def solidity(mask: Mask) -> float:
    """Return the area over that of the convex hull, both counted in pixels; 1 for a shape without any hollow."""
    outlines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    hull = cv2.convexHull(np.concatenate(outlines))
    # Pick's theorem: a hull through pixel centres holds its area, half its rim and one more pixel.
    pixels = cv2.contourArea(hull) + cv2.arcLength(hull, closed=True) / 2.0 + 1.0
    return min(1.0, float(mask.sum()) / pixels)
