"""Cells followed on clips, beside a general tracker of particles; and a whole clip of full HD."""

import contextlib
import io
import warnings

import numpy as np
from tests.builders.drawn_clips import DrawnClip

from benchmarks.duels import Duel
from pratique.science.imaging.motion import measured_motion
from pratique.science.imaging.spots import Grey

SMALL = DrawnClip("swimming", 60.0, um_per_px=1.0, width=640, height=480, cells=25, length_um=14, ratio=1.3, seed=5)
LARGE = DrawnClip("gliding", 10.0, um_per_px=0.25, width=1920, height=1080, cells=60, length_um=24, seed=1)
# What the library is told to look for: an odd number a little over a cell's size, and how far one goes in a frame.
_DIAMETER, _REACH = 17, 8


def _by_library(frames: list[tuple[float, Grey]], um_per_px: float) -> float:
    """Return the middle speed by the library's finding and linking, everything else as it comes."""
    with warnings.catch_warnings(), contextlib.redirect_stdout(io.StringIO()):
        warnings.simplefilter("ignore")
        import trackpy  # noqa: PLC0415 - slow to load, and not ours

        trackpy.quiet()
        found = trackpy.batch(np.array([255 - grey for _, grey in frames]), _DIAMETER, processes=1)
        linked = trackpy.link(found, _REACH)
    times = np.array([time_s for time_s, _ in frames])
    speeds = []
    for _, track in linked.groupby("particle"):
        if len(track) >= 8:
            steps = np.hypot(np.diff(track["x"]), np.diff(track["y"])) / np.diff(times[track["frame"]])
            speeds.append(float(np.median(steps)) * um_per_px)
    return float(np.median(speeds))


def against_the_library() -> Duel:
    """A hundred small frames, 25 cells at 60 µm/s."""
    frames = list(SMALL.frames())
    ours = measured_motion(iter(frames), SMALL.um_per_px).median_um_per_s
    return Duel(
        what=f"{len(frames)} frames of {SMALL.width} by {SMALL.height}, {SMALL.cells} cells",
        peer="trackpy, locate and link",
        bar="printed",
        ours=lambda: measured_motion(iter(frames), SMALL.um_per_px),
        theirs=lambda: _by_library(frames, SMALL.um_per_px),
        rounds=3,
        apart=lambda: (
            f"of {SMALL.speed_um_per_s:g} µm/s: ours {ours:.1f}, theirs {_by_library(frames, SMALL.um_per_px):.1f}"
        ),
    )


def full_hd() -> Duel:
    """A hundred frames of full HD, beside the library with the small ones only."""
    frames, few = list(LARGE.frames()), list(SMALL.frames())
    return Duel(
        what=f"{len(frames)} frames of {LARGE.width} by {LARGE.height}",
        peer=f"trackpy with frames of {SMALL.width} by {SMALL.height} only",
        bar="at most 6,000 ms",
        ours=lambda: measured_motion(iter(frames), LARGE.um_per_px),
        theirs=lambda: _by_library(few, SMALL.um_per_px),
        rounds=3,
    )


DUELS = (against_the_library, full_hd)
