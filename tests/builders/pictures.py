"""Arrays as the files a phone or a microscope would give."""

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image


def png_of(pixels: NDArray[np.uint8]) -> bytes:
    """Return pixels (height, width[, 3]) as a PNG file."""
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "PNG")
    return out.getvalue()
