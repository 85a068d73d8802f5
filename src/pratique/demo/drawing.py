"""A picture no camera took: brown film on sand beside a rock, drawn from the seed."""

import io
from functools import cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image

WIDTH_PX, HEIGHT_PX = 640, 420

type Field = NDArray[np.float64]

_SAND = np.array([214.0, 202.0, 178.0])
_FILM = np.array([118.0, 78.0, 38.0])
_ROCK = np.array([126.0, 116.0, 120.0])


@cache
def brown_dust(seed: int) -> bytes:
    """Return a JPEG of sand under a patchy brown film, with new rock along its left side."""
    rng = np.random.Generator(np.random.PCG64(seed))
    film = np.clip(1.6 * (_smooth(rng, 7) + 0.5 * _smooth(rng, 24)) - 0.75, 0.0, 0.85)
    edge = 0.24 + 0.16 * _smooth(rng, 5)
    across = np.linspace(0.0, 1.0, WIDTH_PX)[None, :]
    rock = np.clip((edge - across) * 60.0, 0.0, 1.0)
    grain = rng.normal(0.0, 9.0, (HEIGHT_PX, WIDTH_PX, 1))
    relief = 70.0 * (_smooth(rng, 30) - 0.5)[..., None]
    ground = _mixed(np.broadcast_to(_SAND, (*grain.shape[:2], 3)), _ROCK + relief, rock)
    # The film lies thinner on the rock than on the sand before it.
    seen = _mixed(ground, _FILM + 0.3 * relief, film * (1.0 - 0.55 * rock))
    down = np.linspace(1.04, 0.86, HEIGHT_PX)[:, None, None]
    pixels = np.clip((seen + grain) * down, 0.0, 255.0).astype(np.uint8)
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=88)
    return out.getvalue()


def _smooth(rng: np.random.Generator, cells: int) -> Field:
    """Return smooth noise between 0 and 1, with about so many patches across."""
    coarse = Image.fromarray(rng.random((max(2, cells * 2 // 3), cells)).astype(np.float32), "F")
    return np.asarray(coarse.resize((WIDTH_PX, HEIGHT_PX), Image.Resampling.BICUBIC), dtype=np.float64)


def _mixed(under: Field, over: Field, share: Field) -> Field:
    return under * (1.0 - share[..., None]) + over * share[..., None]
