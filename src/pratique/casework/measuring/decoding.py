"""Pictures and clips decoded in a process of their own, so that a hostile file can neither hang nor fill this one."""

import json
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO, Any

import numpy as np
from numpy.typing import NDArray

from pratique import knowledge

# The worker's own words for what it was fed; it answers one line of JSON, then bytes.
WORKER = "pratique.casework.measuring.decode_worker"
_ENDED_BADLY = "This file could not be decoded within the memory and time allowed for it; make it smaller first."
_SECONDS_TO_END = 5.0


class NotDecoded(ValueError):
    """A file that is no picture or clip we can read; the sentence says why and what would be right."""


@dataclass(frozen=True)
class Decoded:
    """A picture upright: sRGB `pixels` (height, width, 3), made smaller from its own size: `shrunk`
    (1 or less) of its pixels stand for one of the file, along a side.
    """

    pixels: NDArray[np.uint8]
    width_px: int
    height_px: int
    shrunk: float

    def without_pixels(self) -> "Decoded":
        """Return how the picture was decoded, without the picture."""
        return Decoded(self.pixels[:0], self.width_px, self.height_px, self.shrunk)


def decode_picture(content: bytes, most_pixels: int) -> Decoded:
    """Return a JPEG, PNG or WebP picture turned upright, at no more than `most_pixels`.

    Raises NotDecoded.
    """
    _bear(content, "imaging.largest_picture_mb")
    said = _run(["picture", str(most_pixels)], "imaging.picture_seconds", input=content)
    line, _, body = said.partition(b"\n")
    told = _told(line)
    pixels = np.frombuffer(body, dtype=np.uint8).reshape(told["height"], told["width"], 3)
    return Decoded(pixels, told["full_width"], told["full_height"], told["width"] / told["full_width"])


@dataclass(frozen=True)
class Frame:
    """One frame of a clip: when it was taken, from the clip's start, and its grey levels (height, width).

    `shrunk` is how many of its pixels stand for one of the file, along a side.
    """

    time_s: float
    grey: NDArray[np.uint8]
    shrunk: float


@contextmanager
def decoding_clip(content: bytes) -> Iterator[Iterator[Frame]]:
    """Give the frames of a clip one by one, in order; times are the file's own, since phones film unevenly.

    Raises NotDecoded, when the clip is opened or, where it breaks off, among its frames.
    """
    _bear(content, "imaging.largest_clip_mb")
    with tempfile.TemporaryFile() as file:
        file.write(content)
        file.seek(0)
        worker = subprocess.Popen(  # noqa: S603 - our own module, by this interpreter
            [sys.executable, "-m", WORKER, "clip"], stdin=file, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
        try:
            assert worker.stdout is not None  # noqa: S101 - asked for one line above
            yield _frames(worker.stdout)
        finally:
            worker.kill()
            worker.communicate(timeout=_SECONDS_TO_END)


@dataclass(frozen=True)
class BareClip:
    """A clip without sound, place, maker or any word: a file of its own, and what it shows for how long."""

    content: bytes
    media_type: str
    width_px: int
    height_px: int
    seconds: float


def bare_clip(content: bytes) -> BareClip:
    """Return a clip stripped of everything but its pictures, fit to be kept. Raises NotDecoded."""
    _bear(content, "imaging.largest_clip_mb")
    with tempfile.TemporaryFile() as file:
        file.write(content)
        file.seek(0)
        line, _, body = _run(["bare"], "imaging.clip_seconds", stdin=file).partition(b"\n")
    told = _told(line)
    media_type = {"mp4": "video/mp4", "matroska": "video/x-matroska"}[str(told["kind"])]
    return BareClip(body, media_type, told["width"], told["height"], float(told["seconds"]))


def _run(arguments: list[str], seconds: str, **source: Any) -> bytes:
    """Return what the worker said of what it was fed."""
    try:
        done = subprocess.run(  # noqa: S603 - our own module, by this interpreter
            [sys.executable, "-m", WORKER, *arguments],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            check=False,
            timeout=knowledge.figure(seconds).value,
            **source,
        )
    except subprocess.TimeoutExpired:
        raise NotDecoded(_ENDED_BADLY) from None
    return bytes(done.stdout)


def _frames(stream: IO[bytes]) -> Iterator[Frame]:
    while True:
        told = _told(stream.readline())
        if told.get("end"):
            return
        wanted = told["height"] * told["width"]
        body = stream.read(wanted)
        if len(body) < wanted:
            raise NotDecoded(_ENDED_BADLY)
        grey = np.frombuffer(body, dtype=np.uint8).reshape(told["height"], told["width"])
        yield Frame(told["time_s"], grey, told["width"] / told["full_width"])


def _told(line: bytes) -> dict[str, Any]:
    """Return what the worker said; one that died said nothing."""
    try:
        told: dict[str, Any] = json.loads(line)
    except ValueError:
        raise NotDecoded(_ENDED_BADLY) from None
    if "refused" in told:
        raise NotDecoded(str(told["refused"]))
    return told


def _bear(content: bytes, key: str) -> None:
    most = knowledge.figure(key).value
    if len(content) > most * 1e6:
        raise NotDecoded(f"This file is larger than {most:.0f} MB, the most that is read; make it smaller first.")
    if not content:
        raise NotDecoded("This file is empty.")
