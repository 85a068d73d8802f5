"""Cover by points judged one at a time: where to look, and how sure the share of hits is.

The region is cut into as many equal pieces as there are points and one pixel is drawn from each, so that points neither
crowd nor line up (stratified sampling with one unit per stratum; Cochran 1977, chapters 5 and 5A).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.science.chemistry.domain import DomainError
from pratique.science.imaging.regions import Mask

_Z95 = 1.959963984540054
_MOST_GAIN = 4.0


class NoPoints(DomainError):
    """The points asked for or judged give no share; the sentence says why."""


@dataclass(frozen=True)
class PointShare:
    """A share of hits among points, its standard error and its 95 % interval."""

    fraction: float
    standard_error: float
    low: float
    high: float


def spread_points(region: Mask, count: int, seed: int) -> NDArray[np.int64]:
    """Return (count, 2) points, across and down, one from each of `count` equal pieces of the region, in their order.

    The pieces follow the region in strips about as high as a piece is wide, there and back, so that pieces next to
    each other in order lie next to each other. Raises NoPoints for fewer than two points or more than there are pixels.
    """
    rows, columns = np.nonzero(region)
    if count < 2:
        raise NoPoints(f"A share needs two points at least; {count} were asked for.")
    if rows.size < count:
        raise NoPoints(f"The region is too small for {count} points: it holds {rows.size} places to look at.")
    strip = (rows - rows.min()) // max(1, round(math.sqrt(rows.size / count)))
    along = np.where(strip % 2 == 0, columns, -columns)
    order = np.lexsort((rows, along, strip))
    bounds = np.linspace(0, rows.size, count + 1)
    drawn = np.random.default_rng(seed).uniform(bounds[:-1], bounds[1:])
    chosen = order[np.minimum(drawn.astype(np.int64), rows.size - 1)]
    return np.column_stack([columns[chosen], rows[chosen]])


def wilson(hits: int, count: float) -> tuple[float, float]:
    """Return Wilson's 95 % interval of a share (Wilson 1927); `count` may be a fraction where strata stand for more.

    Raises NoPoints unless 0 <= hits <= count and count is above 0.
    """
    if not (count > 0 and 0 <= hits <= count):
        raise NoPoints(f"{hits} hits of {count:g} points are no share.")
    return _wilson(hits / count, count)


def _wilson(share: float, count: float) -> tuple[float, float]:
    square = _Z95**2
    middle = (share + square / (2.0 * count)) / (1.0 + square / count)
    half = _Z95 / (1.0 + square / count) * math.sqrt(share * (1.0 - share) / count + square / (4.0 * count**2))
    return max(0.0, middle - half), min(1.0, middle + half)


def random_share(hits: int, count: int) -> PointShare:
    """Return the share of points thrown at random, with the binomial error."""
    low, high = wilson(hits, count)
    share = hits / count
    return PointShare(share, math.sqrt(share * (1.0 - share) / count), low, high)


def spread_share(judged: Sequence[bool]) -> PointShare:
    """Return the share of hits among points of `spread_points`, in their order.

    Each piece holds one point, so its variance is read from pairs of neighbouring pieces (collapsed strata; Cochran
    1977, section 5A.12), which makes the error too large rather than too small. It is never taken as larger than that
    of points thrown at random, nor the interval as narrower than four times as many such points would give.

    Raises NoPoints for fewer than two points.
    """
    count = len(judged)
    if count < 2:
        raise NoPoints("A share needs at least two points judged.")
    hits = np.array(judged, dtype=float)
    share = float(hits.mean())
    pairs = hits[: count - count % 2].reshape(-1, 2)
    variance = float(((pairs[:, 0] - pairs[:, 1]) ** 2).sum()) / (count * (count - count % 2))
    at_random = share * (1.0 - share) / count
    standing_for = count if not at_random else count * min(_MOST_GAIN, max(1.0, at_random / max(variance, 1e-12)))
    low, high = _wilson(share, standing_for)
    return PointShare(share, math.sqrt(share * (1.0 - share) / standing_for), low, high)
