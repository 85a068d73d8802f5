"""How cells move on a clip, decoded apart and followed frame by frame."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import chain
from statistics import median

from pratique.casework.measuring.decoding import Frame, NotDecoded, decoding_clip
from pratique.casework.words import amount
from pratique.science.imaging.motion import Motion, measured_motion
from pratique.science.imaging.spots import Grey

_MANY_CROSSINGS = 0.5


@dataclass(frozen=True)
class MeasuredClip:
    """The movement found, and what to bear in mind with it."""

    found: Motion
    notes: tuple[str, ...]
    frame_width_px: int

    def to_json(self) -> dict[str, object]:
        """Return it for a script; intervals are 95 %."""
        found = self.found
        return {
            "tracks": len(found.tracks),
            "speed_um_per_s": {
                "median": found.median_um_per_s,
                "median_low": found.median_interval[0],
                "median_high": found.median_interval[1],
                "q05": found.q05_um_per_s,
                "q95": found.q95_um_per_s,
            },
            "moving_fraction": found.moving_fraction,
            "moving_low": found.moving_interval[0],
            "moving_high": found.moving_interval[1],
            "manner": found.manner,
            "why": found.why,
            "spinning": sum(one.spins for one in found.tracks),
            "reversing": sum(one.reversals > 0 and not one.spins for one in found.tracks),
            "straightness_median": median(one.straightness for one in found.tracks),
            "length_um_median": median(one.length_um for one in found.tracks),
            "drift_um_per_s": [float(one) for one in found.drift.um_per_s],
            "drift_by": found.drift.by,
            "crossings": found.crossings,
            "frames": found.frames,
            "seconds": found.seconds,
            "notes": list(self.notes),
        }


def measure_clip(content: bytes, um_per_px: float, seen: Callable[[int], None] = lambda _: None) -> MeasuredClip:
    """Return how cells move on a clip; `seen` is told the number of each frame as it is done.

    Raises NotDecoded, NoScale, and NoMotion where it gives no movement that can be measured.
    """
    with decoding_clip(content) as frames:
        first = next(frames, None)
        if first is None:
            raise NotDecoded("No frame of this clip could be decoded; save it as an MP4 file and try again.")
        # A frame made smaller has larger pixels.
        found = measured_motion(_told(chain([first], frames), seen), um_per_px / first.shrunk)
    return MeasuredClip(found, _notes(found), first.grey.shape[1])


def _told(frames: Iterator[Frame], seen: Callable[[int], None]) -> Iterator[tuple[float, Grey]]:
    for number, one in enumerate(frames, start=1):
        seen(number)
        yield one.time_s, one.grey


def cells_counted(count: int) -> str:
    """Return how many cells were, with its verb."""
    return "1 cell was" if count == 1 else f"{amount(count, 0)} cells were"


def moving_words(found: Motion) -> str:
    """Return how many of the cells followed move."""
    count, moving = len(found.tracks), round(found.moving_fraction * len(found.tracks))
    if moving in {0, count}:
        return "none of them moves" if not moving else "all of them move" if count > 1 else "it moves"
    return f"{moving} of them {'moves' if moving == 1 else 'move'}"


def _notes(found: Motion) -> tuple[str, ...]:
    """Return what to bear in mind with the figures, in the keeper's words."""
    notes = []
    if found.manner == "still":
        notes.append(
            "No movement counts only where the sample is under 30 minutes old and as warm as the tank: cold and stale "
            "cells stop."
        )
    if found.drift.by == "none" and found.manner != "still":
        notes.append("Whether the water drifted could not be told; speeds hold what drift there was.")
    if found.crossings > _MANY_CROSSINGS * len(found.tracks):
        notes.append("Many cells came near each other and may have been taken for one another: thin the sample.")
    few = len(found.tracks)
    if few < 10:
        notes.append(f"Only {cells_counted(few)} followed: film another part of the slide too.")
    return tuple(notes)
