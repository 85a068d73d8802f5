"""Colour as the eye orders it: sRGB to CIELAB, balanced on a white or grey patch, and how far two colours lie apart.

sRGB is that of IEC 61966-2-1, CIELAB that of ISO/CIE 11664-4 with its D65 white, the distance that of ISO/CIE 11664-6.
"""

import math

import cv2
import numpy as np
from numpy.typing import NDArray

from pratique import knowledge
from pratique.science.chemistry.domain import DomainError

type Pixels = NDArray[np.uint8]
type Lab = NDArray[np.float32]
type LabColour = tuple[float, float, float]

_LEVELS = np.arange(256, dtype=np.float64) / 255.0
_LINEAR = np.where(_LEVELS <= 0.04045, _LEVELS / 12.92, ((_LEVELS + 0.055) / 1.055) ** 2.4).astype(np.float32)
_FULL = 255


class NoWhite(DomainError):
    """The patch cannot serve as white or grey; the sentence says why."""


def linear(pixels: Pixels) -> NDArray[np.float32]:
    """Return sRGB levels (0 to 255, any shape) as parts of full light, 0 to 1."""
    return _LINEAR[pixels]


def lab(pixels: Pixels, gains: NDArray[np.float32] | None = None) -> Lab:
    """Return the CIELAB of sRGB pixels (height, width, 3), their linear light first multiplied by `gains` (3)."""
    light = linear(pixels)
    if gains is not None:
        light *= gains
    return np.asarray(cv2.cvtColor(light, cv2.COLOR_LRGB2Lab), dtype=np.float32)


def white_gains(patch: Pixels) -> NDArray[np.float32]:
    """Return what each channel's light is multiplied by so that a patch, pixels (n, 3), becomes neutral.

    Green stays as it is, so that brightness hardly changes. Raises NoWhite for a patch burnt out, too dark, or so
    coloured that it is no white.
    """
    burnt = float((patch >= _FULL - 1).any(axis=1).mean())
    if burnt > knowledge.figure("imaging.white_burnt_share").value:
        raise NoWhite("The white patch is burnt out: its colour is lost. Take the picture darker, or use a grey card.")
    light = linear(patch).mean(axis=0, dtype=np.float64)
    if light.min() < knowledge.figure("imaging.white_least_light").value:
        raise NoWhite("The white patch is too dark to balance colours by: set it on something white or grey, in light.")
    gains = light[1] / light
    if max(gains.max(), 1.0 / gains.min()) > knowledge.figure("imaging.white_largest_gain").value:
        raise NoWhite("The white patch is strongly coloured: is it white or grey, and was the lamp's blue turned down?")
    return np.asarray(gains, dtype=np.float32)


def colour_difference(one: LabColour, other: LabColour) -> float:
    """Return CIEDE2000 between two CIELAB colours, with all weights 1 (Sharma, Wu and Dalal 2005)."""
    lightness, chroma, hue, mean_chroma, mean_hue = _primed(one, other)
    mean_lightness = (one[0] + other[0]) / 2.0
    turn = (
        1.0
        - 0.17 * math.cos(math.radians(mean_hue - 30.0))
        + 0.24 * math.cos(math.radians(2.0 * mean_hue))
        + 0.32 * math.cos(math.radians(3.0 * mean_hue + 6.0))
        - 0.20 * math.cos(math.radians(4.0 * mean_hue - 63.0))
    )
    off = (mean_lightness - 50.0) ** 2
    by_lightness = lightness / (1.0 + 0.015 * off / math.sqrt(20.0 + off))
    by_chroma = chroma / (1.0 + 0.045 * mean_chroma)
    by_hue = hue / (1.0 + 0.015 * mean_chroma * turn)
    blue = 60.0 * math.exp(-(((mean_hue - 275.0) / 25.0) ** 2))
    rotation = -math.sin(math.radians(blue)) * 2.0 * _saturation(mean_chroma)
    return math.sqrt(by_lightness**2 + by_chroma**2 + by_hue**2 + rotation * by_chroma * by_hue)


def _saturation(chroma: float) -> float:
    return math.sqrt(chroma**7 / (chroma**7 + 25.0**7))


def _primed(one: LabColour, other: LabColour) -> tuple[float, float, float, float, float]:
    """Return the differences in lightness, chroma and hue, and mean chroma and hue (degrees), with a* stretched."""
    stretch = 1.5 - 0.5 * _saturation((math.hypot(*one[1:]) + math.hypot(*other[1:])) / 2.0)
    a, b = one[1] * stretch, other[1] * stretch
    chroma, other_chroma = math.hypot(a, one[2]), math.hypot(b, other[2])
    hue, other_hue = (math.degrees(math.atan2(y, x)) % 360.0 for x, y in ((a, one[2]), (b, other[2])))
    apart = (other_hue - hue + 180.0) % 360.0 - 180.0
    if not chroma * other_chroma:  # a neutral colour has no hue: the other's counts, and there is no difference
        return other[0] - one[0], other_chroma - chroma, 0.0, (chroma + other_chroma) / 2.0, hue + other_hue
    by_hue = 2.0 * math.sqrt(chroma * other_chroma) * math.sin(math.radians(apart / 2.0))
    mean_hue = (hue + apart / 2.0) % 360.0
    return other[0] - one[0], other_chroma - chroma, by_hue, (chroma + other_chroma) / 2.0, mean_hue
