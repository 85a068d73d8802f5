"""Kinds of pixels learnt from a few dabs: one normal distribution each, after the rule of least Mahalanobis distance.

Quadratic discriminants (Fisher 1936; Hastie, Tibshirani and Friedman 2009, section 4.3) with each kind's covariance
drawn towards what all kinds share (regularised as by Friedman 1989), since a handful of dabs tells little of it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pratique import knowledge
from pratique.science.imaging.looks_of_pixels import COUNT, LIGHTNESS, ROUGHNESS, Looks

type Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Kinds:
    """Means (kinds, 7), whitening matrices (kinds, 7, 7) and ln of the determinants of the kinds learnt."""

    names: tuple[str, ...]
    means: Floats
    whiten: Floats
    log_sizes: Floats

    def distances(self, looks: Looks) -> NDArray[np.float32]:
        """Return the squared Mahalanobis distance plus ln determinant of pixels (n, 7) from each kind: (n, kinds)."""
        means, whiten, sizes = (one.astype(np.float32) for one in (self.means, self.whiten, self.log_sizes))
        return _distances(np.ascontiguousarray(looks, dtype=np.float32), means, whiten, sizes)


@njit(cache=True, error_model="numpy")
def _distances(looks: Looks, means: Looks, whiten: Looks, sizes: Looks) -> NDArray[np.float32]:
    """Return `Kinds.distances` in one pass over the pixels; the whitening matrices are lower triangles."""
    found = np.empty((looks.shape[0], means.shape[0]), dtype=np.float32)
    for pixel in range(looks.shape[0]):
        for kind in range(means.shape[0]):
            total = sizes[kind]
            for column in range(COUNT):
                away = np.float32(0.0)
                for row in range(column, COUNT):
                    away += (looks[pixel, row] - means[kind, row]) * whiten[kind, row, column]
                total += away * away
            found[pixel, kind] = total
    return found


def learnt(dabs: Mapping[str, Sequence[Looks]]) -> Kinds:
    """Return the kinds from the pixels (n, 7) of each dab; every kind has at least one dab."""
    names = tuple(dabs)
    means = np.array([np.mean([dab.mean(axis=0, dtype=np.float64) for dab in dabs[name]], axis=0) for name in names])
    own = [_spread(dabs[name]) for name in names]
    shared = np.mean(own, axis=0)
    draw = knowledge.figure("imaging.covariance_shared_part").value
    floor = np.eye(COUNT) * knowledge.figure("imaging.colour_floor").value ** 2
    for one in LIGHTNESS:
        floor[one, one] = knowledge.figure("imaging.lightness_floor").value ** 2
    floor[ROUGHNESS, ROUGHNESS] = knowledge.figure("imaging.roughness_floor").value ** 2
    covariances = np.array([(1.0 - draw) * one + draw * shared + floor for one in own])
    roots = np.linalg.cholesky(np.linalg.inv(covariances))
    return Kinds(names, means, roots, np.linalg.slogdet(covariances)[1])


def _spread(dabs: Sequence[Looks]) -> Floats:
    """Return the covariance of a kind's pixels: within its dabs, and between them as far as their number tells."""
    within = np.mean([np.cov(dab, rowvar=False, bias=True) for dab in dabs], axis=0)
    if len(dabs) == 1:
        return np.asarray(within, dtype=np.float64)
    middles = np.array([dab.mean(axis=0, dtype=np.float64) for dab in dabs])
    return np.asarray(within + np.cov(middles, rowvar=False), dtype=np.float64)
