"""The ground of a microscope picture: a picture fit to be measured, in grey, with uneven light taken off it."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from pratique.knowledge import figure
from pratique.science.chemistry.domain import DomainError
from pratique.science.imaging.masks import Mask, Plane, as_mask, filled, grown, opened, parted

type Picture = NDArray[np.uint8]

_SIDE_PX = 96  # of the small copy the surface is laid through: enough for light, and quick
_LARGEST_COPY = 200_000  # values drawn for a quantile of a large picture
_NORMAL_MEDIAN = 1.4826  # sd over the median absolute deviation of a normal distribution


class NoCells(DomainError):
    """The picture cannot be measured; the sentence says why, and what would be right."""


@dataclass(frozen=True, eq=False)
class Flattened:
    """How far each pixel stands out from its ground towards the cells' side, smoothed, H × W, in greys of 255."""

    height: Plane
    noise: float
    threshold: float
    faint_threshold: float
    cells_are_darker: bool


def flattened(picture: Picture) -> Flattened:
    """Return a picture with its ground at 0 and its cells above it, whether they were darker or lighter.

    First a surface is laid through the half of the pixels that lie closest to it (least trimmed squares, Rousseeuw
    1984); cells are on the side on which more stands out. Then the ground around each cell is taken from its own
    surroundings. The threshold is Otsu's (1979), with a lower one for faint cells apart from the strong; neither is
    below so many sd of the ground. Raises NoCells for a
    picture that cannot be measured.
    """
    grey = _grey(picture)
    smooth = np.asarray(cv2.GaussianBlur(grey, (0, 0), figure("imaging.cells.smoothing_px").value), dtype=np.float32)
    surface = _surface(smooth)
    height = smooth - surface
    middle, noise = _ground_of(height)
    height -= middle
    margin = figure("imaging.cells.stands_out").value * noise
    is_darker = float(np.clip(-height - margin, 0.0, None).sum()) > float(np.clip(height - margin, 0.0, None).sum())
    sign = np.float32(-1.0 if is_darker else 1.0)
    height *= sign
    cells = _standing_out(height, noise)
    height = sign * (smooth - _ground_around(smooth, surface, cells))
    _, noise = _ground_of(height)
    threshold, faint_threshold = _thresholds(height, noise)
    return Flattened(height, noise, threshold, faint_threshold, is_darker)


def _grey(picture: Picture) -> Plane:
    """Return the picture in grey, or in the one colour that shows far more; refuse what cannot be measured."""
    if picture.dtype != np.uint8 or picture.ndim not in (2, 3) or (picture.ndim == 3 and picture.shape[2] != 3):
        raise NoCells("The picture must be grey or in red, green and blue, with 256 steps each.")
    least = int(figure("imaging.cells.smallest_side_px").value)
    if min(picture.shape[:2]) < least:
        raise NoCells(f"The picture is too small: each side must have at least {least} pixels.")
    most = figure("imaging.cells.most_megapixels").value
    if picture.shape[0] * picture.shape[1] > most * 1e6:
        raise NoCells(f"The picture is too large: scale it to at most {most:g} megapixels, and set its scale there.")
    grey = picture if picture.ndim == 2 else np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), dtype=np.uint8)
    if picture.ndim == 3:
        spreads = [float(picture[:, :, colour].std()) for colour in range(3)]
        if max(spreads) > figure("imaging.cells.channel_gain").value * float(grey.std()):
            grey = picture[:, :, spreads.index(max(spreads))]
    _require_exposed(grey)
    return grey.astype(np.float32)


def _require_exposed(grey: Picture) -> None:
    """Refuse a picture whose light or dark parts have run into the end of the scale."""
    clipped = figure("imaging.cells.clipped_grey").value
    if float((grey >= clipped).mean()) > figure("imaging.cells.most_clipped").value:
        raise NoCells("The picture is overexposed: much of it is plain white. Take it with less light.")
    if float(np.percentile(grey, 99.9)) < figure("imaging.cells.least_bright_grey").value:
        raise NoCells("The picture is underexposed: nothing in it is bright. Take it with more light or longer.")


def _surface(smooth: Plane) -> Plane:
    """Return a low polynomial surface through the ground, H × W."""
    high, wide = smooth.shape
    shrink = min(1.0, _SIDE_PX / max(high, wide))
    size = (max(8, round(wide * shrink)), max(8, round(high * shrink)))
    values = np.asarray(cv2.resize(smooth, size, interpolation=cv2.INTER_AREA), dtype=np.float64).ravel()
    terms = _terms(size)
    fits = [_trimmed(terms, values, start) for start in np.percentile(values, (25, 50, 75))]
    _, weights = min(fits, key=lambda fit: fit[0])
    for _ in range(5):  # then every pixel that lies close counts, not the closest half alone
        away = np.abs(values - terms @ weights)
        close = away <= 2.5 * max(_NORMAL_MEDIAN * float(np.median(away)), 0.5)
        weights = np.linalg.lstsq(terms[close], values[close], rcond=None)[0]
    surface = (terms @ weights).reshape(size[1], size[0]).astype(np.float32)
    return np.asarray(cv2.resize(surface, (wide, high), interpolation=cv2.INTER_LINEAR), dtype=np.float32)


def _terms(size: tuple[int, int]) -> NDArray[np.float64]:
    """Return the powers of across and down up to the degree of the surface, one row for each pixel of the copy."""
    degree = int(figure("imaging.cells.ground_degree").value)
    across, down = np.meshgrid(*((np.arange(side) + 0.5) * 2.0 / side - 1.0 for side in size))
    powers = [(i, j) for i in range(degree + 1) for j in range(degree + 1 - i)]
    return np.stack([across.ravel() ** i * down.ravel() ** j for i, j in powers], axis=1)


def _trimmed(
    terms: NDArray[np.float64], values: NDArray[np.float64], start: float
) -> tuple[float, NDArray[np.float64]]:
    """Return the squares left over in the closest half, and the surface's weights, from a level ground to start at."""
    weights = np.zeros(terms.shape[1])
    weights[0] = start
    half = values.size // 2
    for _ in range(30):
        away = np.abs(values - terms @ weights)
        close = away <= np.partition(away, half)[half]
        better = np.linalg.lstsq(terms[close], values[close], rcond=None)[0]
        if np.allclose(better, weights, atol=1e-3):
            break
        weights = better
    left = np.partition(np.abs(values - terms @ weights), half)[: half + 1]
    return float((left**2).sum()), weights


def _ground_of(height: Plane) -> tuple[float, float]:
    """Return the middle and the sd of the ground: of the narrowest stretch that holds half of the values."""
    drawn = np.sort(height.ravel()[:: max(1, height.size // _LARGEST_COPY)])
    half = drawn.size // 2
    widths = drawn[half:] - drawn[: drawn.size - half]
    first = int(np.argmin(widths))
    # The half of a normal distribution closest to its middle is 2 × 0.6745 sd wide.
    return float(np.median(drawn[first : first + half])), max(float(widths[first]) / 1.349, 0.1)


def _thresholds(height: Plane, noise: float) -> tuple[float, float]:
    """Return Otsu's threshold and one for faint cells; a few very bright cells are held back from pulling them up."""
    least = figure("imaging.cells.stands_out").value * noise
    threshold, level = _otsu(height), 0.0
    for _ in range(10):
        above = height[height > max(threshold, least)]
        if not above.size:
            return least, least
        level = float(np.median(above))
        lower = _otsu(np.minimum(height, np.float32(1.5 * level)))
        is_settled = abs(lower - threshold) < 0.5
        threshold = lower
        if is_settled:
            break
    threshold = max(threshold, least)
    return threshold, min(threshold, max(least, figure("imaging.cells.faintest").value * level))


def _otsu(height: Plane) -> float:
    """Return Otsu's threshold of the heights, in their unit."""
    low, high = float(height.min()), float(height.max())
    if high - low < 1.0:
        return high
    steps = ((height - low) * (255.0 / (high - low))).astype(np.uint8)
    step, _ = cv2.threshold(steps, 0.0, 255.0, cv2.THRESH_BINARY | cv2.THRESH_OTSU)
    return low + float(step) * (high - low) / 255.0


def _standing_out(height: Plane, noise: float) -> Mask:
    """Return roughly where cells are."""
    cells = opened(filled(as_mask(height > _thresholds(height, noise)[1])), 1.0)
    if not cells.any():
        raise NoCells(
            "Nothing stands out from the ground: focus on the cells, close the diaphragm a little, try again."
        )
    return cells


def _ground_around(smooth: Plane, surface: Plane, cells: Mask) -> Plane:
    """Return the ground as the mean of what lies around, weighted by distance, with the cells left out, H × W.

    Where no ground is near, as in the middle of a large clump, the surface stands in for it.
    """
    diameter_px = middle_area(parted(cells)[1][1:]) ** 0.5
    shrink = min(1.0, 8.0 / diameter_px)  # a ground that changes over a cell's width needs no more than this
    size = (max(8, round(smooth.shape[1] * shrink)), max(8, round(smooth.shape[0] * shrink)))
    free = (grown(cells, max(1.0, 0.05 * diameter_px)) == 0).astype(np.float32)
    if not free.any():
        raise NoCells("The cells cover the whole picture: thin the sample with water from the tank and try again.")
    reach = figure("imaging.cells.ground_reach").value * diameter_px * shrink
    sums = [
        cv2.GaussianBlur(cv2.resize(plane, size, interpolation=cv2.INTER_AREA), (0, 0), reach)
        for plane in ((smooth - surface) * free, free)
    ]
    ground = sums[0] / (sums[1] + np.float32(0.01))
    wide = cv2.resize(ground, (smooth.shape[1], smooth.shape[0]), interpolation=cv2.INTER_LINEAR)
    return surface + np.asarray(wide, dtype=np.float32)


def middle_area(areas: NDArray[np.int32]) -> float:
    """Return the area of the shape in which half of all area is reached: grains, however many, hardly move it."""
    ordered = np.sort(areas)
    return float(ordered[np.searchsorted(np.cumsum(ordered), ordered.sum() / 2.0)])
