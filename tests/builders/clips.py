"""Small clips made by code, with the times of their frames chosen."""

import io
from fractions import Fraction

import av
import numpy as np


def a_clip(
    times_ms: list[int],
    *,
    size: tuple[int, int] = (64, 48),
    words: dict[str, str] | None = None,
    with_sound: bool = False,
) -> bytes:
    """Return an MP4 whose frames, each a little lighter than the last, were taken at these times."""
    out = io.BytesIO()
    with av.open(out, "w", format="mp4") as file:
        file.metadata.update(words or {})
        sound = file.add_stream("aac", rate=16_000) if with_sound else None
        stream = file.add_stream("mpeg4", rate=25)
        stream.width, stream.height = size
        stream.pix_fmt = "yuv420p"
        stream.time_base = stream.codec_context.time_base = Fraction(1, 1000)
        for number, time_ms in enumerate(times_ms):
            grey = np.full((size[1], size[0], 3), 40 + 20 * number, dtype=np.uint8)
            frame = av.VideoFrame.from_ndarray(grey, format="rgb24")
            frame.pts = time_ms
            file.mux(stream.encode(frame))
        file.mux(stream.encode())
        if sound is not None:
            heard = av.AudioFrame.from_ndarray(np.zeros((1, 1024), dtype=np.float32), format="fltp", layout="mono")
            heard.sample_rate, heard.pts = 16_000, 0
            file.mux(sound.encode(heard))
            file.mux(sound.encode())
    return out.getvalue()
