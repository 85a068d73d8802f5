"""How cells on a clip move: followed one by one, freed of the water's drift, and summed up in a manner of moving."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from pratique.knowledge import figure
from pratique.science.imaging.drift import Drift, drift_of
from pratique.science.imaging.linking import Linker
from pratique.science.imaging.points import wilson
from pratique.science.imaging.scale import known_scale
from pratique.science.imaging.spots import Floats, Grey, NoMotion, detector_for
from pratique.science.imaging.tracks import TrackMotion, measured_track, path_of

type Manner = Literal["still", "gliding", "swimming", "spinning", "not told"]

_SEED = 6
_DRAWS = 400


@dataclass(frozen=True)
class Motion:
    """A whole clip. Speeds are of the cells that move, or of all where hardly any does; intervals are 95 %.

    `ways_px` are the places (n, 2) of each cell followed, on the frames as they were given.
    """

    tracks: tuple[TrackMotion, ...]
    manner: Manner
    why: str
    median_um_per_s: float
    median_interval: tuple[float, float]
    q05_um_per_s: float
    q95_um_per_s: float
    moving_fraction: float
    moving_interval: tuple[float, float]
    drift: Drift
    frames: int
    seconds: float
    ways_px: tuple[Floats, ...] = ()

    @property
    def crossings(self) -> int:
        """Return how many tracks came so near another that they may have been taken for it."""
        return sum(one.crossed for one in self.tracks)


def measured_motion(frames: Iterable[tuple[float, Grey]], um_per_px: float) -> Motion:
    """Return how cells move on frames (time in seconds, grey levels (height, width)), taken in order and once.

    Raises NoScale for a scale no microscope has, NoMotion for too few frames, too short a time, or nothing to follow.
    """
    um_per_px = known_scale(um_per_px).um_per_px
    linker = Linker(figure("imaging.clips.fastest_um_per_s").value / um_per_px)
    detector, count, first, last = None, 0, 0.0, 0.0
    for time_s, grey in frames:
        if detector is None:
            detector, first, last = detector_for(grey), time_s, time_s - 1.0
        if time_s <= last:
            continue
        linker.take(time_s, detector.spots(grey))
        count, last = count + 1, time_s
    _require_long_enough(count, last - first)
    least_s = min(figure("imaging.clips.track_s").value, 0.5 * (last - first))
    least = figure("imaging.clips.track_frames").value
    kept = [one for one in linker.tracks() if len(one.times_s) >= least and one.times_s[-1] - one.times_s[0] >= least_s]
    if not kept:
        raise NoMotion(
            "No cell could be followed for long enough. Hold the slide still, and film five seconds or more."
        )
    paths = [path_of(one, um_per_px) for one in kept]
    drift = drift_of(paths)
    tracks = tuple(measured_track(one.without(drift.um_per_s)) for one in paths)
    ways = tuple(np.array(one.middles_px) for one in kept)
    return replace(_summed_up(tracks, drift, count, last - first), ways_px=ways)


def _require_long_enough(count: int, seconds: float) -> None:
    least, least_s = figure("imaging.clips.fewest_frames").value, figure("imaging.clips.shortest_s").value
    if count < least or seconds < least_s:
        raise NoMotion(
            f"This clip is too short: {count} frames in {max(seconds, 0.0):.1f} s. Film five to ten seconds; at least "
            f"{least:.0f} frames and {least_s:g} s are needed."
        )


def _summed_up(tracks: tuple[TrackMotion, ...], drift: Drift, frames: int, seconds: float) -> Motion:
    moving = [one for one in tracks if one.is_moving or one.spins]
    are_still = len(moving) < figure("imaging.clips.moving_part").value * len(tracks)
    speeds = np.array([one.speed_um_per_s for one in (tracks if are_still else moving)])
    still: tuple[Manner, str] = ("still", "Hardly any cell moves.")
    manner, why = still if are_still else _manner(moving)
    return Motion(
        tracks=tracks,
        manner=manner,
        why=why,
        median_um_per_s=float(np.median(speeds)),
        median_interval=_interval(speeds),
        q05_um_per_s=float(np.quantile(speeds, 0.05)),
        q95_um_per_s=float(np.quantile(speeds, 0.95)),
        moving_fraction=len(moving) / len(tracks),
        moving_interval=wilson(len(moving), len(tracks)),
        drift=drift,
        frames=frames,
        seconds=seconds,
    )


def _interval(speeds: Floats) -> tuple[float, float]:
    """Return the 95 % interval of the median by drawing the cells anew with replacement (Efron 1979)."""
    rng = np.random.default_rng(_SEED)
    medians = np.median(rng.choice(speeds, (_DRAWS, speeds.size)), axis=1)
    return float(np.quantile(medians, 0.025)), float(np.quantile(medians, 0.975))


def _manner(moving: list[TrackMotion]) -> tuple[Manner, str]:
    """Return how most of the moving cells move, by the rule of the reference (common practice, no source)."""
    spinning = sum(one.spins for one in moving)
    others = [one for one in moving if not one.spins]
    if spinning >= len(others):
        return "spinning", f"{spinning} of {len(moving)} moving cells turn round and round in one place."
    middle = float(np.median([one.speed_um_per_s for one in others]))
    glides, swims = (
        figure("imaging.clips.gliding_below_um_per_s").value,
        figure("imaging.clips.swims_from_um_per_s").value,
    )
    if middle > swims:
        return "swimming", f"The middle cell moves at more than {swims:g} µm/s."
    if middle > glides:
        return "not told", f"Between {glides:g} and {swims:g} µm/s it may be either a fast glider or a slow swimmer."
    along = float(np.median([one.along_axis for one in others]))
    long = [one for one in others if one.length_um > 0.0]
    if long and along < figure("imaging.clips.along_axis").value:
        return "not told", "Cells creep, but not along their length."
    reverses = sum(one.reversals > 0 for one in others)
    back = f", and {reverses} of {len(others)} turned back" if reverses else ""
    return "gliding", f"The middle cell moves at less than {glides:g} µm/s along its length{back}."
