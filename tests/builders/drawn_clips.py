"""Clips of cells under a microscope drawn by code, with every cell's way known.

Boats and ovals in bright field with a pale rim, under a lamp brighter on one side, in water that may drift, seen by a
noisy sensor at uneven times. Invented, all of it: what is known here is the truth, not what a slide looks like.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

type Way = Literal["still", "gliding", "swimming", "spinning"]
type Floats = NDArray[np.float64]


@dataclass(frozen=True)
class DrawnClip:
    """What to draw: `speed_um_per_s` is every cell's, but for those that lie still (`resting`, a share)."""

    way: Way
    speed_um_per_s: float
    um_per_px: float = 0.5
    width: int = 320
    height: int = 240
    cells: int = 14
    length_um: float = 24.0
    ratio: float = 2.5
    seconds: float = 4.0
    frames_per_s: float = 25.0
    is_uneven: bool = False
    drift_um_per_s: tuple[float, float] = (0.0, 0.0)
    noise: float = 4.0
    contrast: float = 55.0
    resting: float = 0.0
    seed: int = 0

    def times(self) -> Floats:
        """Return when each frame is taken."""
        even = np.arange(round(self.seconds * self.frames_per_s)) / self.frames_per_s
        if not self.is_uneven:
            return even
        return even + np.random.default_rng([self.seed, 7]).uniform(0, 0.6 / self.frames_per_s, even.size)

    def frames(self) -> Iterator[tuple[float, NDArray[np.uint8]]]:
        """Draw the frames one by one."""
        rng = np.random.default_rng([self.seed, 1])
        sensor = np.random.default_rng([self.seed, 2])
        cells = [_Cell(self, rng) for _ in range(self.cells)]
        ground = _ground(self, rng)
        grain = sensor.normal(0.0, self.noise, (8, *ground.shape)).astype(np.float32)
        before = 0.0
        for number, time_s in enumerate(self.times()):
            frame = ground.copy()
            for cell in cells:
                cell.go(time_s - before)
                cell.draw(frame, time_s)
            noisy = frame + np.roll(grain[number % 8], int(sensor.integers(0, 97)), axis=1)
            yield float(time_s), np.clip(noisy, 0, 255).astype(np.uint8)
            before = time_s


def _ground(clip: DrawnClip, rng: np.random.Generator) -> NDArray[np.float32]:
    down, across = np.mgrid[-1 : 1 : clip.height * 1j, -1 : 1 : clip.width * 1j]
    turn = rng.uniform(0, 2 * np.pi)
    slope = 1.0 + 0.12 * (np.cos(turn) * across + np.sin(turn) * down) - 0.05 * (across**2 + down**2)
    return np.asarray(165.0 * slope, dtype=np.float32)


class _Cell:
    """One cell: where it is, how it heads, and how it goes on."""

    def __init__(self, clip: DrawnClip, rng: np.random.Generator) -> None:
        size = np.array([clip.width, clip.height]) * clip.um_per_px
        self.clip, self.rng = clip, rng
        self.at = rng.uniform(-0.05, 1.05, 2) * size
        self.heading = rng.uniform(0, 2 * np.pi)
        self.length_um = clip.length_um * rng.uniform(0.85, 1.15)
        self.rests = clip.way == "still" or rng.random() < clip.resting
        self.sense = rng.choice([-1.0, 1.0])
        self.tether = self.at.copy()
        self.next_turn_s = rng.exponential(3.0)

    def go(self, seconds: float) -> None:
        """Move on by the way of the clip."""
        drift = np.array(self.clip.drift_um_per_s) * seconds
        self.tether = self.tether + drift
        self.at = self.at + drift
        if self.rests:
            return
        speed = self.clip.speed_um_per_s
        if self.clip.way == "spinning":
            # About a thread half a cell long: the rim speed gives the rate of turning.
            radius = 0.4 * self.length_um
            self.heading += self.sense * speed / radius * seconds
            self.at = self.tether + radius * np.array([np.cos(self.heading), np.sin(self.heading)])
            return
        wander = 0.25 if self.clip.way == "gliding" else 0.6
        self.heading += self.rng.normal(0.0, wander * np.sqrt(seconds))
        if self.clip.way == "gliding":
            self.next_turn_s -= seconds
            if self.next_turn_s <= 0.0:
                self.sense, self.next_turn_s = -self.sense, self.rng.exponential(3.0)
        forward = self.sense if self.clip.way == "gliding" else 1.0
        self.at = self.at + forward * speed * seconds * np.array([np.cos(self.heading), np.sin(self.heading)])
        if self.clip.way == "swimming":
            # Others swim in where one swims out.
            room = np.array([self.clip.width, self.clip.height]) * self.clip.um_per_px
            out = (self.at < -self.length_um) | (self.at > room + self.length_um)
            if out.any():
                self.at = np.where(
                    out, np.where(self.at < 0, room + 0.9 * self.length_um, -0.9 * self.length_um), self.at
                )

    def draw(self, frame: NDArray[np.float32], _time_s: float) -> None:
        """Draw it into a frame, darker than the ground, with a pale rim."""
        clip = self.clip
        middle = self.at / clip.um_per_px
        half = np.array([self.length_um, self.length_um / clip.ratio]) / 2.0 / clip.um_per_px
        reach = int(np.ceil(half[0] * 1.4)) + 3
        left, top = int(middle[0]) - reach, int(middle[1]) - reach
        x0, y0 = max(left, 0), max(top, 0)
        x1, y1 = min(left + 2 * reach + 1, clip.width), min(top + 2 * reach + 1, clip.height)
        if x0 >= x1 or y0 >= y1:
            return
        dx, dy = np.arange(x0, x1) - middle[0], np.arange(y0, y1)[:, None] - middle[1]
        along = dx * np.cos(self.heading) + dy * np.sin(self.heading)
        off = -dx * np.sin(self.heading) + dy * np.cos(self.heading)
        from_rim = np.hypot(along / half[0], off / half[1]) - 1.0
        softness = 1.0 / half[1]
        body = 1.0 / (1.0 + np.exp(np.clip(from_rim / (0.35 * softness), -30, 30)))
        rim = np.exp(-((from_rim - 1.5 * softness) ** 2) / (0.8 * softness) ** 2)
        frame[y0:y1, x0:x1] += (clip.contrast * (0.25 * rim * (1 - body) - body)).astype(np.float32)


def mp4_of(clip: DrawnClip) -> bytes:
    """Return a drawn clip as the MP4 file a phone would give."""
    import io  # noqa: PLC0415 - only for those who want a file
    from fractions import Fraction  # noqa: PLC0415

    import av  # noqa: PLC0415

    out = io.BytesIO()
    with av.open(out, "w", format="mp4") as file:
        stream = file.add_stream("libx264", rate=round(clip.frames_per_s), options={"crf": "23", "preset": "veryfast"})
        stream.width, stream.height, stream.pix_fmt = clip.width, clip.height, "yuv420p"
        stream.time_base = stream.codec_context.time_base = Fraction(1, 1000)
        for time_s, grey in clip.frames():
            frame = av.VideoFrame.from_ndarray(cv2.cvtColor(grey, cv2.COLOR_GRAY2RGB), format="rgb24")
            frame.pts = round(1000 * time_s)
            file.mux(stream.encode(frame))
        file.mux(stream.encode())
    return out.getvalue()


# What is drawn of each: speeds of the issue, and cells of the reference's sizes.
_DRAWN: tuple[tuple[Way, float], ...] = (
    ("still", 0.0),
    ("gliding", 3.0),
    ("gliding", 10.0),
    ("swimming", 80.0),
    ("swimming", 200.0),
    ("spinning", 40.0),
    ("spinning", 80.0),
)


def random_clip(seed: int) -> DrawnClip:
    """Return one clip of a hundred: any way, size, scale, noise, drift and unevenness that a keeper may film."""
    rng = np.random.default_rng([seed, 99])
    way, speed = _DRAWN[seed % len(_DRAWN)]
    length_um = float(rng.uniform(30, 90) if way == "gliding" else rng.uniform(12, 60))
    # A keeper zooms until a cell is a good many pixels long.
    um_per_px = length_um / float(rng.uniform(18, 40))
    drifts = rng.uniform(-1, 1, 2) * rng.choice([0.0, 5.0, 15.0])
    return DrawnClip(
        way=way,
        speed_um_per_s=speed,
        um_per_px=um_per_px,
        cells=int(rng.integers(6, 16)),
        length_um=length_um,
        ratio=float(rng.uniform(2.5, 6.0) if way == "gliding" else rng.uniform(1.2, 2.5)),
        seconds=float(rng.uniform(3, 6)),
        frames_per_s=float(rng.choice([15, 25, 30])),
        is_uneven=bool(rng.random() < 0.5),
        drift_um_per_s=(float(drifts[0]), float(drifts[1])),
        noise=float(rng.uniform(1, 8)),
        contrast=float(rng.uniform(35, 90)),
        resting=float(rng.choice([0.0, 0.0, 0.3])),
        seed=seed,
    )
