"""Cells of one frame linked to those of the next: each track is expected where its own pace would bring it.

The pairs are those of least total squared distance (Kuhn 1955, by scipy), within a reach. A track that is lost for a
few frames, behind another cell or in the noise, is waited for.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import linear_sum_assignment

from pratique.knowledge import figure
from pratique.science.imaging.spots import Floats, Spots

_FAR = 1e12
_SMOOTH = 0.5
_SURE_AFTER = 3


@dataclass
class Track:
    """One cell through the frames it was seen on; lists grow together."""

    times_s: list[float] = field(default_factory=list)
    middles_px: list[Floats] = field(default_factory=list)
    angles: list[float] = field(default_factory=list)
    ratios: list[float] = field(default_factory=list)
    areas_px: list[float] = field(default_factory=list)
    pace_px_s: Floats = field(default_factory=lambda: np.zeros(2))
    missed: int = 0
    crossed: bool = False

    def expected(self, time_s: float) -> Floats:
        """Return where the cell should be by its own pace."""
        return self.middles_px[-1] + self.pace_px_s * (time_s - self.times_s[-1])

    def add(self, time_s: float, spots: Spots, number: int) -> None:
        """Take a spot of a frame as this cell."""
        if self.times_s:
            pace = (spots.middles_px[number] - self.middles_px[-1]) / (time_s - self.times_s[-1])
            self.pace_px_s = pace if len(self.times_s) == 1 else self.pace_px_s + _SMOOTH * (pace - self.pace_px_s)
        self.times_s.append(time_s)
        self.middles_px.append(spots.middles_px[number])
        self.angles.append(float(spots.angles[number]))
        self.ratios.append(float(spots.ratios[number]))
        self.areas_px.append(float(spots.areas_px[number]))
        self.missed = 0


class Linker:
    """Takes the frames of a clip in order and keeps their tracks.

    `reach_px_s` is how far the fastest cell goes in a second. A cell never comes farther than half way to the next.
    """

    def __init__(self, reach_px_s: float) -> None:
        self._reach_px_s = reach_px_s
        self._patience = int(figure("imaging.clips.frames_waited").value)
        self.open: list[Track] = []
        self.done: list[Track] = []

    def take(self, time_s: float, spots: Spots) -> None:
        """Link one frame's cells to the tracks that are open."""
        taken = self._linked(time_s, spots)
        for number in range(len(spots.middles_px)):
            if number not in taken:
                track = Track()
                track.add(time_s, spots, number)
                self.open.append(track)
        for track in [one for one in self.open if one.missed > self._patience]:
            self.open.remove(track)
            self.done.append(track)

    def tracks(self) -> list[Track]:
        """Return every track, ended or not."""
        return [*self.done, *self.open]

    def _linked(self, time_s: float, spots: Spots) -> set[int]:
        """Link the tracks whose pace is known first, close to where they are expected, then the rest within reach."""
        taken: set[int] = set()
        sure = [one for one in self.open if len(one.times_s) >= _SURE_AFTER]
        unsure = [one for one in self.open if len(one.times_s) < _SURE_AFTER]
        lost = self._pairs(sure, time_s, spots, taken, _near)
        for track in self._pairs([*lost, *unsure], time_s, spots, taken, self._within):
            track.missed += 1
        return taken

    def _within(self, track: Track, time_s: float) -> float:
        return self._reach_px_s * (time_s - track.times_s[-1]) + 2.0

    def _pairs(
        self,
        tracks: list[Track],
        time_s: float,
        spots: Spots,
        taken: set[int],
        reach_of: Callable[[Track, float], float],
    ) -> list[Track]:
        """Link tracks to spots not yet taken; return the tracks that found none."""
        free = [one for one in range(len(spots.middles_px)) if one not in taken]
        if not tracks or not free:
            return tracks
        expected = np.array([one.expected(time_s) for one in tracks])
        away = ((expected[:, None] - spots.middles_px[free][None]) ** 2).sum(axis=2)
        reach = np.array([reach_of(one, time_s) for one in tracks]) ** 2
        costs = np.where(away <= reach[:, None], away, _FAR)
        rows, columns = linear_sum_assignment(costs)
        found = {row: free[column] for row, column in zip(rows, columns, strict=True) if costs[row, column] < _FAR}
        for row, number in found.items():
            tracks[row].crossed |= bool((away[row] <= reach[row]).sum() > 1)
            tracks[row].add(time_s, spots, number)
            taken.add(number)
        return [one for row, one in enumerate(tracks) if row not in found]


def _near(track: Track, time_s: float) -> float:
    """Return how far from where it is expected a cell of known pace may turn up: a cell's own size, and a turn."""
    gone = time_s - track.times_s[-1]
    return 0.5 * float(np.sqrt(track.areas_px[-1])) + 0.5 * float(np.hypot(*track.pace_px_s)) * gone + 2.0
