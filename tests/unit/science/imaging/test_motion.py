"""How cells move on drawn clips of known ways and speeds: the truth is the drawing's own."""

from dataclasses import replace

import cv2
import numpy as np
import pytest
from tests.builders.drawn_clips import DrawnClip, random_clip

from pratique.science.chemistry.domain import DomainError
from pratique.science.imaging.motion import Motion, measured_motion

# Not among the seeds the figures of `imaging.clips.` were held against.
SEEDS = range(5000, 5100)


def measured(clip: DrawnClip) -> Motion:
    """Measure a drawn clip at its own scale."""
    return measured_motion(clip.frames(), clip.um_per_px)


PLAIN = [("gliding", 3.0, 0.5), ("gliding", 10.0, 0.5), ("swimming", 80.0, 1.0), ("swimming", 200.0, 2.0)]


@pytest.mark.parametrize(("way", "speed", "um_per_px"), PLAIN)
def test_the_middle_speed_is_within_five_per_cent(way, speed, um_per_px):
    """The speeds named for the job, with noise and crossings."""
    found = measured(DrawnClip(way, speed, um_per_px=um_per_px, seed=21))
    assert found.manner == way
    assert found.median_um_per_s == pytest.approx(speed, rel=0.05)
    assert found.q05_um_per_s <= found.median_um_per_s <= found.q95_um_per_s
    assert found.median_interval[0] <= found.median_um_per_s <= found.median_interval[1]


def test_cells_that_lie_still_are_told_to():
    """Under the bar of 0.5 µm/s, for all the noise of seeing."""
    found = measured(DrawnClip("still", 0.0, noise=8.0, seed=22))
    assert found.manner == "still"
    assert found.median_um_per_s < 0.5
    assert found.moving_fraction == 0.0


def test_cells_that_lie_still_in_drifting_water_are_told_to():
    """12 µm/s of current are no movement of theirs."""
    found = measured(DrawnClip("still", 0.0, drift_um_per_s=(9.6, -7.2), seed=23))
    assert found.manner == "still"
    assert found.drift.um_per_s == pytest.approx([9.6, -7.2], abs=0.3)


@pytest.mark.parametrize(("way", "speed"), [("gliding", 20.0), ("spinning", 60.0)])
def test_drift_is_taken_out_of_what_moves(way, speed):
    """Boats by what they move across their length, spinning drops by where they stay."""
    clip = DrawnClip(way, speed, length_um=40, um_per_px=1.0, width=480, height=360, cells=10, seed=24)
    drifting = measured(replace(clip, drift_um_per_s=(6.0, 8.0)))
    assert drifting.manner == measured(clip).manner == way
    assert drifting.median_um_per_s == pytest.approx(speed, rel=0.1)


def test_a_hundred_clips_of_every_way_are_told_apart():
    """At least 95 of 100 rightly, and of each speed the middle clip within 5 %; at rest under 0.5 µm/s."""
    right = 0
    off: dict[tuple[str, float], list[float]] = {}
    for seed in SEEDS:
        clip = random_clip(seed)
        found = measured(clip)
        right += found.manner == clip.way
        share = found.median_um_per_s / clip.speed_um_per_s - 1.0 if clip.speed_um_per_s else found.median_um_per_s
        off.setdefault((clip.way, clip.speed_um_per_s), []).append(share)
    assert right >= 95, f"{right} right"
    for (way, speed), shares in off.items():
        assert abs(np.median(shares)) < (0.05 if speed else 0.5), (way, speed, np.median(shares))


def test_boats_turn_back_and_swimmers_do_not():
    """Reversals are the sign of a raphid diatom (Edgar 1979)."""
    boats = measured(DrawnClip("gliding", 10.0, seconds=8.0, seed=25))
    swimmers = measured(DrawnClip("swimming", 80.0, um_per_px=1.0, seed=25))
    assert sum(one.reversals > 0 for one in boats.tracks) >= len(boats.tracks) / 3
    assert sum(one.reversals > 0 for one in swimmers.tracks) <= len(swimmers.tracks) / 4
    assert np.median([one.straightness for one in swimmers.tracks]) > 0.8


def test_twice_the_scale_is_twice_the_speed():
    """The same frames read at half a micrometre to a pixel and at one."""
    frames = list(DrawnClip("swimming", 60.0, um_per_px=0.5, seed=26).frames())
    half, whole = (measured_motion(iter(frames), scale) for scale in (0.5, 1.0))
    assert whole.median_um_per_s == pytest.approx(2.0 * half.median_um_per_s, rel=0.02)


def test_a_clip_run_backwards_moves_as_fast():
    """Nothing in a speed knows the arrow of time."""
    frames = list(DrawnClip("gliding", 10.0, seed=27).frames())
    end = frames[-1][0]
    back = measured_motion(((end - time_s, grey) for time_s, grey in reversed(frames)), 0.5)
    assert back.median_um_per_s == pytest.approx(measured_motion(iter(frames), 0.5).median_um_per_s, rel=0.03)
    assert back.manner == "gliding"


def test_uneven_times_are_taken_as_they_are():
    """A phone that films unevenly moves no speed."""
    found = measured(DrawnClip("swimming", 80.0, um_per_px=1.0, is_uneven=True, frames_per_s=20, seed=28))
    assert found.median_um_per_s == pytest.approx(80.0, rel=0.05)


def test_pale_cells_on_dark_ground_move_as_dark_ones_on_pale():
    """Dark field is the same slide."""
    frames = [(time_s, 255 - grey) for time_s, grey in DrawnClip("gliding", 10.0, seed=29).frames()]
    assert measured_motion(iter(frames), 0.5).median_um_per_s == pytest.approx(10.0, rel=0.05)


def blank(count: int) -> list[tuple[float, np.ndarray]]:
    """Return frames of nothing but noise."""
    rng = np.random.default_rng(1)
    return [(one / 25, rng.normal(150, 4, (120, 160)).clip(0, 255).astype(np.uint8)) for one in range(count)]


@pytest.mark.parametrize(
    ("frames", "scale", "words"),
    [
        (blank(50), 0.5, "stands out|followed for long enough"),
        ([], 0.5, "too short"),
        (list(DrawnClip("gliding", 10.0, seed=30).frames())[:5], 0.5, "too short: 5 frames"),
        (list(replace(DrawnClip("gliding", 10.0, seed=30), seconds=0.6).frames()), 0.5, "too short"),
        (list(DrawnClip("gliding", 10.0, seed=30).frames()), 500.0, "Calibrate"),
        (list(DrawnClip("gliding", 10.0, seed=30).frames()), float("nan"), "Calibrate"),
    ],
    ids=["nothing but noise", "no frame", "five frames", "half a second", "no scale", "not a number"],
)
def test_what_gives_no_movement_is_refused_in_words(frames, scale, words):
    """Each with what would be right."""
    with pytest.raises(DomainError, match=words):
        measured_motion(iter(frames), scale)


def test_a_picture_out_of_focus_is_refused_or_still_followed_rightly():
    """A blur that hides the cells is said; one that does not changes no speed."""
    frames = [
        (time_s, cv2.GaussianBlur(grey, (0, 0), 3.0)) for time_s, grey in DrawnClip("gliding", 10.0, seed=31).frames()
    ]
    assert measured_motion(iter(frames), 0.5).median_um_per_s == pytest.approx(10.0, rel=0.08)
