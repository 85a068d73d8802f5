"""What one cell's track says: its speed freed of the noise of seeing, how straight it goes, its turns and reversals."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pratique.knowledge import figure
from pratique.science.imaging.linking import Track
from pratique.science.imaging.spots import Floats

_LN2 = math.log(2.0)
_LONGEST_PART = 1.0 / 3.0
_LARGEST_HALF_TURN = 1.2


@dataclass(frozen=True)
class Path:
    """A track in the units of the slide: times (n, s), middles (n, 2, µm), angles of the long axis (n, radians)."""

    times_s: Floats
    middles_um: Floats
    angles: Floats
    ratio: float
    length_um: float
    crossed: bool

    @property
    def seconds(self) -> float:
        """Return how long it was followed."""
        return float(self.times_s[-1] - self.times_s[0])

    def without(self, drift_um_per_s: Floats) -> "Path":
        """Return the path as it would be in water at rest."""
        gone = (self.times_s - self.times_s[0])[:, None] * drift_um_per_s
        return Path(self.times_s, self.middles_um - gone, self.angles, self.ratio, self.length_um, self.crossed)


@dataclass(frozen=True)
class TrackMotion:
    """One cell's movement; `turns` are whole revolutions of its axis or heading, `extent_um` how far it ever was."""

    speed_um_per_s: float
    is_moving: bool
    straightness: float
    reversals: int
    turns: float
    extent_um: float
    along_axis: float
    length_um: float
    seconds: float
    crossed: bool

    @property
    def spins(self) -> bool:
        """Say whether it turned on one point, as if tethered: well round, on a circle no wider than a thread allows."""
        if self.turns < figure("imaging.clips.least_turns").value:
            return False
        radius_um = self.speed_um_per_s * self.seconds / (2.0 * math.pi * self.turns)
        return radius_um <= figure("imaging.clips.tether_lengths").value * self.length_um


def path_of(track: Track, um_per_px: float) -> Path:
    """Return a track as a path on the slide."""
    ratio, area_px = float(np.median(track.ratios)), float(np.median(track.areas_px))
    length_um = math.sqrt(4.0 * area_px * ratio / math.pi) * um_per_px
    middles_um = np.array(track.middles_px) * um_per_px
    return Path(np.array(track.times_s), middles_um, np.array(track.angles), ratio, length_um, track.crossed)


def measured_track(path: Path) -> TrackMotion:
    """Return what a path of at least four points says."""
    noise_um = seeing_noise_um(path)
    speed, lag_s = _speed(path, noise_um)
    steps, gone_s = _steps(path, lag_s)
    extent = float(np.ptp(path.middles_um, axis=0).max())
    least = max(figure("imaging.clips.still_um_per_s").value, 2.0 * noise_um / max(path.seconds, 1e-9))
    is_moving = speed > least
    way = float(np.hypot(*(path.middles_um[-1] - path.middles_um[0])))
    turns = _turns(path, steps, is_moving)
    return TrackMotion(
        speed_um_per_s=speed * _bend(turns, lag_s, path.seconds),
        is_moving=is_moving,
        straightness=min(1.0, way / (speed * path.seconds)) if is_moving else 0.0,
        reversals=_reversals(steps / gone_s[:, None], noise_um / lag_s) if is_moving else 0,
        turns=turns,
        extent_um=extent,
        along_axis=_along_axis(path, steps) if is_moving else 0.0,
        length_um=path.length_um,
        seconds=path.seconds,
        crossed=path.crossed,
    )


def seeing_noise_um(path: Path) -> float:
    """Return the noise of a middle along one axis, one standard deviation, from how far each lies off its neighbours.

    Off the straight line between its neighbours in time a middle lies by the noise of three; the median of the squares
    is not moved by the few places where the cell turns.
    """
    t, r = path.times_s, path.middles_um
    part = ((t[1:-1] - t[:-2]) / (t[2:] - t[:-2]))[:, None]
    off = r[1:-1] - (1.0 - part) * r[:-2] - part * r[2:]
    share = 1.0 + part[:, 0] ** 2 + (1.0 - part[:, 0]) ** 2
    return float(np.sqrt(np.median((off**2).sum(axis=1) / share) / (2.0 * _LN2)))


def pairs_apart(times_s: Floats, lag_s: float) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the numbers of points about a lag apart, each the first that is; the ends where the track is shorter."""
    last = np.searchsorted(times_s, times_s + lag_s - 1e-9)
    starts = np.flatnonzero(last < len(times_s))
    if not starts.size:
        return np.array([0]), np.array([len(times_s) - 1])
    return starts, np.maximum(last[starts], starts + 1)


def _steps(path: Path, lag_s: float) -> tuple[Floats, Floats]:
    """Return the ways gone (n, 2, µm) over about a lag from each point on, and the time each took."""
    starts, ends = pairs_apart(path.times_s, lag_s)
    return path.middles_um[ends] - path.middles_um[starts], path.times_s[ends] - path.times_s[starts]


def _speed(path: Path, noise_um: float) -> tuple[float, float]:
    """Return the speed, and the lag over which it was read: long enough that noise does not count as a way gone.

    The lag doubles until the way gone stands well above the noise. What noise adds to the middle squared way is taken
    off again: 4 ln 2 times its variance for a cell at rest (the median of an exponential distribution).
    """
    lag_s = figure("imaging.clips.shortest_lag_s").value
    longest_s = min(figure("imaging.clips.longest_lag_s").value, _LONGEST_PART * path.seconds)
    while True:
        steps, gone_s = _steps(path, lag_s)
        squares = (steps**2).sum(axis=1) / gone_s**2
        noise = 4.0 * _LN2 * noise_um**2 / float(np.median(gone_s)) ** 2
        speed = math.sqrt(max(0.0, float(np.median(squares)) - noise))
        if speed * lag_s >= 6.0 * noise_um or 2.0 * lag_s > longest_s:
            onward = _onward(path, lag_s)
            if speed * lag_s >= 3.0 * noise_um and onward.any():
                speed = math.sqrt(max(0.0, float(np.median(squares[onward])) - noise))
            return speed, lag_s
        lag_s *= 2.0


def _onward(path: Path, lag_s: float) -> NDArray[np.bool_]:
    """Return on which of the ways the cell went on in its second half: one that turned back is shorter than its way."""
    starts, ends = pairs_apart(path.times_s, lag_s)
    half = (starts + ends) // 2
    there = path.middles_um[half] - path.middles_um[starts]
    on = path.middles_um[ends] - path.middles_um[half]
    return np.asarray(((there * on).sum(axis=1) > 0.0) | (ends - starts < 2))


def _reversals(paces: Floats, noise_um_per_s: float) -> int:
    """Return how often the cell turned back along the line it moves on."""
    _, axes = np.linalg.eigh(paces.T @ paces)
    along = paces @ axes[:, -1]
    sure = along[np.abs(along) > max(3.0 * noise_um_per_s, 0.3 * float(np.median(np.abs(along))))]
    return int(np.count_nonzero(np.diff(np.sign(sure))))


def _bend(turns: float, lag_s: float, seconds: float) -> float:
    """Return how much longer the way round is than the straight one, for a cell that turned so often in all."""
    half = min(math.pi * turns * lag_s / max(seconds, 1e-9), _LARGEST_HALF_TURN)
    return half / math.sin(half) if half > 0.0 else 1.0


def _turns(path: Path, steps: Floats, is_moving: bool) -> float:
    """Return whole revolutions of the long axis or, of a cell too round to have one, of its heading."""
    turned = 0.0
    if path.ratio >= figure("imaging.clips.long_ratio").value:
        axis = np.unwrap(2.0 * path.angles) / 2.0
        turned = abs(float(axis[-1] - axis[0]))
    if is_moving:
        # Twice the angle, so that turning back along its own way is no turn.
        heading = np.unwrap(2.0 * np.arctan2(steps[:, 1], steps[:, 0])) / 2.0
        turned = max(turned, abs(float(heading[-1] - heading[0])))
    return turned / (2.0 * math.pi)


def _along_axis(path: Path, steps: Floats) -> float:
    """Return how well a cell moves along its long axis: 1 always, 0.64 by chance."""
    angles = path.angles[: len(steps)]
    ways = np.hypot(steps[:, 0], steps[:, 1])
    along = np.abs(steps[:, 0] * np.cos(angles) + steps[:, 1] * np.sin(angles))
    return float(along.sum() / max(float(ways.sum()), 1e-12))
