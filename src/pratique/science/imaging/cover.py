"""What share of a marked region each kind of growth covers, learnt from a few dabs, with an interval of 95 %.

Three doubts make the interval. Other dabs would have taught other means: each kind's mean is drawn anew about its
own, as far away as dabs of one kind lie apart (a parametric bootstrap; Davison and Hinkley 1997, section 2.2), and
the region is judged again by each draw. A pixel between two kinds may fall either way, its neighbours with it: the
doubts within a tile of the region are taken as one, tiles as independent. And a film has no sharp edge: where it is
drawn may lie a part of a pixel off all round alike, which counts for more the longer the edges are. The interval is
about the marked region, not about the rest of the tank.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.stats import chi2

from pratique import knowledge
from pratique.science.imaging.kinds_of_pixels import Kinds, learnt
from pratique.science.imaging.looks_of_pixels import COUNT, LIGHTNESS, Looks, reach_px
from pratique.science.imaging.regions import Mask

_Z95 = 1.959963984540054
_STEP = 4  # the lamp's light is smooth: every fourth pixel tells it
_JUDGED_AGAIN = 20_000
_DRAWS = 64
_SEED = 6
_FAR = 1e-4


@dataclass(frozen=True)
class Share:
    """The share of a region one kind covers, with its 95 % interval."""

    fraction: float
    low: float
    high: float


@dataclass(frozen=True)
class Cover:
    """Each kind's share; `kind_of` (height, width) is its number in order and -1 outside the region.

    `unlike_any` is the share of the region so far from every kind that it was probably dabbed by none.
    """

    shares: Mapping[str, Share]
    kind_of: NDArray[np.int8]
    unlike_any: float


def dabbed(looks: Looks, region: Mask, dabs: Mapping[str, Sequence[NDArray[np.intp]]]) -> dict[str, list[Looks]]:
    """Return what the dabs on a picture teach: the looks of each dab's pixels, by kind.

    `dabs` holds the flat indices of each dab's pixels, none empty. `looks` (height, width, 7) is changed: the lamp's
    uneven light is taken out of it, as far as a first judgement of the region tells it.
    """
    flat = looks.reshape(-1, COUNT)
    first = learnt({name: [flat[one] for one in kind] for name, kind in dabs.items()})
    _take_out(looks, _uneven_light(looks, region, first))
    return {name: [flat[one].copy() for one in kind] for name, kind in dabs.items()}


def cover(looks: Looks, region: Mask, taught: Mapping[str, Sequence[Looks]]) -> Cover:
    """Return the cover of a region (height, width) from its pixels' looks (height, width, 7) and what dabs taught.

    The dabs may be of this picture or, where both were balanced on white, of an earlier one; at least two kinds.
    `looks` is changed: the lamp's uneven light is taken out of it.
    """
    kinds = learnt(taught)
    _take_out(looks, _uneven_light(looks, region, kinds))
    inside = np.flatnonzero(region)
    seen = looks.reshape(-1, COUNT)[inside]
    away = kinds.distances(seen)
    kind_of = np.full(region.shape, -1, dtype=np.int8)
    kind_of.flat[inside] = away.argmin(axis=1)
    fractions = np.bincount(kind_of[region], minlength=len(kinds.names)) / inside.size
    sd = np.sqrt(
        _sd_of_dabs(kinds, taught, seen) ** 2
        + _sd_of_doubtful(away, inside, region.shape) ** 2
        + _sd_of_edges(kind_of, len(kinds.names)) ** 2
    )
    shares = {
        name: Share(float(part), float(max(0.0, part - _Z95 * one)), float(min(1.0, part + _Z95 * one)))
        for name, part, one in zip(kinds.names, fractions, sd, strict=True)
    }
    return Cover(shares, kind_of, _unlike(away, kinds))


def _uneven_light(looks: Looks, region: Mask, kinds: Kinds) -> NDArray[np.float32]:
    """Return by how much each place is lighter than its kind's dabs, smooth over the lamp's reach."""
    fewer = looks[::_STEP, ::_STEP]
    away = kinds.distances(fewer.reshape(-1, COUNT))
    kind = away.argmin(axis=1)
    lighter = (fewer.reshape(-1, COUNT)[:, LIGHTNESS[1]] - kinds.means[kind, LIGHTNESS[1]]).astype(np.float32)
    sure = (1.0 / (1.0 + (away.min(axis=1) - kinds.log_sizes[kind]) / (2.0 * COUNT))).astype(np.float32)
    shape = fewer.shape[:2]
    smooth_px = knowledge.figure("imaging.light_reach_part").value * max(shape)
    told = cv2.GaussianBlur((lighter * sure).reshape(shape), (0, 0), smooth_px)
    heard = cv2.GaussianBlur(sure.reshape(shape), (0, 0), smooth_px)
    return np.asarray(cv2.resize(told / heard, region.shape[::-1]), dtype=np.float32)


def _take_out(looks: Looks, light: NDArray[np.float32]) -> None:
    for one in LIGHTNESS:
        looks[..., one] -= light


def _sd_of_dabs(kinds: Kinds, taught: Mapping[str, Sequence[Looks]], inside: Looks) -> NDArray[np.float64]:
    """Return how much each share would differ had the keeper dabbed elsewhere, one standard deviation."""
    some = inside[:: max(1, inside.shape[0] // _JUDGED_AGAIN)]
    rng = np.random.default_rng(_SEED)
    between = np.linalg.cholesky(_between(taught))
    shares = np.empty((_DRAWS, len(kinds.names)))
    for draw in range(_DRAWS):
        moved = np.array([between @ rng.standard_normal(COUNT) / np.sqrt(len(taught[name])) for name in kinds.names])
        other = Kinds(kinds.names, kinds.means + moved, kinds.whiten, kinds.log_sizes)
        shares[draw] = np.bincount(other.distances(some).argmin(axis=1), minlength=len(kinds.names)) / some.shape[0]
    return np.asarray(shares.std(axis=0))


def _between(taught: Mapping[str, Sequence[Looks]]) -> NDArray[np.float64]:
    """Return how dabs of one kind lie apart, over all kinds, (7, 7); a little at least, for kinds with one dab each."""
    floor = np.eye(COUNT) * knowledge.figure("imaging.dab_floor").value ** 2
    middles = [np.array([one.mean(axis=0, dtype=np.float64) for one in kind]) for kind in taught.values()]
    freedom = sum(len(one) - 1 for one in middles)
    if not freedom:
        return floor
    squares = sum((one - one.mean(axis=0)).T @ (one - one.mean(axis=0)) for one in middles)
    return np.asarray(squares / freedom + floor)


def _sd_of_doubtful(away: Looks, inside: NDArray[np.intp], shape: tuple[int, int]) -> NDArray[np.float64]:
    """Return how much each share would differ had doubtful pixels fallen otherwise, one standard deviation."""
    every = max(1, away.shape[0] // _JUDGED_AGAIN)
    some, where = away[::every], inside[::every]
    chance = np.exp(-0.5 * (some - some.min(axis=1, keepdims=True)))
    chance /= chance.sum(axis=1, keepdims=True)
    doubt = np.sqrt(chance * (1.0 - chance))
    side = max(1, round(knowledge.figure("imaging.tile_part").value * max(shape)))
    tile = (where // shape[1] // side) * (shape[1] // side + 1) + where % shape[1] // side
    by_tile = np.array([np.bincount(tile, weights=one) for one in doubt.T])
    return np.asarray(np.sqrt((by_tile**2).sum(axis=1)) / some.shape[0])


def _sd_of_edges(kind_of: NDArray[np.int8], kinds: int) -> NDArray[np.float64]:
    """Return how much each share would differ had all edges been drawn a little farther out, one standard deviation."""
    lengths_px = np.zeros(kinds)
    for one, next_to in ((kind_of[:, 1:], kind_of[:, :-1]), (kind_of[1:], kind_of[:-1])):
        border = (one != next_to) & (one >= 0) & (next_to >= 0)
        for side in (one[border], next_to[border]):
            lengths_px += np.bincount(side, minlength=kinds)
    shift_px = knowledge.figure("imaging.edge_part").value * reach_px(kind_of.shape)
    # Along the pixels' sides an edge is longer than it is: by 4/pi, over all directions.
    return np.asarray(lengths_px * np.pi / 4.0 * shift_px / np.count_nonzero(kind_of >= 0))


def _unlike(away: Looks, kinds: Kinds) -> float:
    """Return the share of pixels farther from every kind than one in ten thousand of its own would be."""
    nearest = (away - kinds.log_sizes.astype(np.float32)).min(axis=1)
    return float((nearest > chi2.isf(_FAR, COUNT)).mean())
