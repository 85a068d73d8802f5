"""The drift of the water under a microscope: what cells share in their movement, taken out of each."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pratique.knowledge import figure
from pratique.science.imaging.spots import Floats
from pratique.science.imaging.tracks import Path, pairs_apart

_STAYS, _SHORT_S, _LONG_S = 0.4, 0.15, 0.8
_ALONG = 0.35
_LAG_S = 0.4
_ROUNDS = 5


@dataclass(frozen=True)
class Drift:
    """The water's velocity (µm/s), and how it is known: by cells at rest in it, by the middle of all, or not at all."""

    um_per_s: Floats
    by: str


def drift_of(paths: Sequence[Path]) -> Drift:
    """Return the drift that paths share.

    Long cells that move along their axes tell it by what they move across them. Cells at rest in the water all move
    alike: the densest bunch of velocities. Cells that turn on one point go where the water goes: the middle of all.
    Otherwise it is not known, and taken as none.
    """
    if len(paths) < figure("imaging.clips.drift_cells").value:
        return Drift(np.zeros(2), "none")
    paces = np.array([_pace(one) for one in paths])
    across = _by_axes(paths)
    if across is not None:
        return Drift(across + _left_at_rest(paths, paces, across), "movement across their axes")
    bunch = _bunch(paces)
    if bunch is not None:
        return Drift(bunch, "cells at rest")
    middle = np.median(paces, axis=0)
    net = float(np.median(np.hypot(*(paces - middle).T)))
    if net <= _STAYS * float(np.median([_way_um_per_s(one, middle, _SHORT_S) for one in paths])):
        return Drift(middle, "cells that stay in place")
    return Drift(np.zeros(2), "none")


def _left_at_rest(paths: Sequence[Path], paces: Floats, drift: Floats) -> Floats:
    """Return by how much cells that lie still, seen in drifting water, say that a drift is off."""
    slow = figure("imaging.clips.bunch_um_per_s").value
    resting = [one for one, path in enumerate(paths) if _way_um_per_s(path, drift, _LONG_S) <= slow]
    return np.median(paces[resting] - drift, axis=0) if len(resting) > 1 else np.zeros(2)


def _way_um_per_s(path: Path, drift: Floats, lag_s: float) -> float:
    """Return how fast a cell goes along its own way, turns and all."""
    starts, ends = pairs_apart(path.times_s, lag_s)
    gone_s = path.times_s[ends] - path.times_s[starts]
    paces = (path.middles_um[ends] - path.middles_um[starts]) / gone_s[:, None] - drift
    return float(np.median(np.hypot(paces[:, 0], paces[:, 1])))


def _bunch(paces: Floats) -> Floats | None:
    near = np.hypot(*(paces[:, None] - paces[None]).transpose(2, 0, 1)) <= figure("imaging.clips.bunch_um_per_s").value
    most = near[int(near.sum(axis=1).argmax())]
    if most.sum() < max(3, figure("imaging.clips.bunch_part").value * len(paces)):
        return None
    return np.asarray(np.median(paces[most], axis=0))


def _by_axes(paths: Sequence[Path]) -> Floats | None:
    """Return the drift that leaves long cells moving along their axes, by least squares; None where they do not."""
    long = [one for one in paths if one.ratio >= figure("imaging.clips.long_ratio").value]
    if len(long) < figure("imaging.clips.drift_cells").value:
        return None
    steps, gone_s, angles = (np.concatenate(some) for some in zip(*(_lagged(one) for one in long), strict=True))
    paces, across = steps / gone_s[:, None], np.column_stack([-np.sin(angles), np.cos(angles)])
    drift = _solved(across, (across * paces).sum(axis=1))
    off = (across * (paces - drift)).sum(axis=1)
    whole = paces - drift
    if np.median(np.abs(off)) > _ALONG * np.median(np.hypot(whole[:, 0], whole[:, 1])):
        return None
    return drift


def _lagged(path: Path) -> tuple[Floats, Floats, Floats]:
    """Return the ways gone over a while, the time each took and the axis half way."""
    starts, ends = pairs_apart(path.times_s, min(_LAG_S, path.seconds / 2.0))
    return (
        path.middles_um[ends] - path.middles_um[starts],
        path.times_s[ends] - path.times_s[starts],
        path.angles[(starts + ends) // 2],
    )


def _solved(across: Floats, seen: Floats) -> Floats:
    """Return the vector whose parts along `across` are nearest to what was seen, the farthest off weighing less."""
    weight = np.ones(len(seen))
    found = np.zeros(2)
    for _ in range(_ROUNDS):
        found = np.linalg.lstsq(across * weight[:, None], seen * weight, rcond=None)[0]
        off = np.abs(seen - across @ found)
        weight = 1.0 / np.sqrt(1.0 + (off / max(1.4826 * float(np.median(off)), 1e-9)) ** 2)
    return np.asarray(found)


def _pace(path: Path) -> Floats:
    """Return the velocity of the line through a path."""
    t = path.times_s - path.times_s.mean()
    return np.asarray((t @ (path.middles_um - path.middles_um.mean(axis=0))) / (t @ t))
