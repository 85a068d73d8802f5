"""What tells one pixel of a photograph from another: its colour, its surroundings' colour and their texture.

CIELAB is homogeneous in light: where a surface gets s times the light, L* + 16, a* and b* all grow by the cube root
of s (ISO/CIE 11664-4, away from black). So the two ratios a*/(L* + 16) and b*/(L* + 16) stay as they are from the
bright to the dark side of a tank and under the net of light that waves throw, and only ln(L* + 16) moves, by a third
of ln s.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from pratique import knowledge
from pratique.science.imaging.colour import Lab

# ln lightness and the two ratios, of the pixel and of its surroundings, and the roughness of these.
LIGHTNESS, ROUGHNESS = (0, 3), 6
COUNT = 7
type Looks = NDArray[np.float32]

# Black has no colour: the ratios are taken over at least this, so that noise in the dark stays small.
_OFFSET = 16.0


def looks_of(lab: Lab) -> Looks:
    """Return the seven features of each pixel, (height, width, 7), from CIELAB (height, width, 3)."""
    found = np.empty((*lab.shape[:2], COUNT), dtype=np.float32)
    around = np.asarray(cv2.GaussianBlur(lab, (0, 0), reach_px(lab.shape)), dtype=np.float32)
    found[..., 0:3] = _freed(lab)
    found[..., 3:6] = _freed(around)
    found[..., ROUGHNESS] = _roughness(found[..., 0], reach_px(lab.shape))
    return found


def reach_px(shape: tuple[int, ...]) -> float:
    """Return how far a pixel's surroundings reach in a picture of this shape: one sd of their weights."""
    return max(1.0, knowledge.figure("imaging.surroundings_part").value * max(shape[:2]))


def _freed(lab: Lab) -> Lab:
    """Return ln lightness and the two ratios that light leaves alone, all times a hundred for handy sizes."""
    light = np.maximum(lab[..., 0], 0.0) + np.float32(_OFFSET)
    return np.stack([np.log(light), lab[..., 1] / light, lab[..., 2] / light], axis=-1) * np.float32(100.0)


def _roughness(lightness: NDArray[np.float32], far_px: float) -> NDArray[np.float32]:
    """Return the standard deviation of ln lightness about each pixel."""
    level = lightness - lightness.mean()
    mean = cv2.GaussianBlur(level, (0, 0), far_px)
    square = cv2.GaussianBlur(level * level, (0, 0), far_px)
    return np.sqrt(np.maximum(square - mean * mean, 0.0))
