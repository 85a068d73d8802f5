"""Whether a photograph is good enough to judge cover on: sharp, neither burnt out nor dark."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from pratique import knowledge
from pratique.science.chemistry.domain import DomainError
from pratique.science.imaging.colour import Pixels, linear
from pratique.science.imaging.regions import Mask

_BURNT = 254
_WIDER = 4.0


class PoorPicture(DomainError):
    """The picture is too poor to measure on; the sentence says why and what would be right."""


@dataclass(frozen=True)
class Quality:
    """How sharp a picture is, the share of it burnt out in every channel, and its middle light (share of full)."""

    sharpness: float
    burnt_share: float
    middle_light: float

    @property
    def is_soft(self) -> bool:
        """Say whether edges are so soft that the cover's error is likely larger than its interval."""
        return self.sharpness < knowledge.figure("imaging.soft").value


def quality(pixels: Pixels, region: Mask) -> Quality:
    """Return the quality of the part of a picture (height, width, 3) that holds a region (height, width)."""
    rows, columns = np.flatnonzero(region.any(axis=1)), np.flatnonzero(region.any(axis=0))
    part = np.ascontiguousarray(pixels[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1])
    grey = np.asarray(cv2.cvtColor(part, cv2.COLOR_RGB2GRAY), dtype=np.uint8)
    fine_px = max(1.0, knowledge.figure("imaging.surroundings_part").value * max(pixels.shape))
    wide = _steepness(grey, _WIDER * fine_px)
    return Quality(
        sharpness=_steepness(grey, fine_px) / wide if wide > 0.0 else 0.0,
        burnt_share=float((part.min(axis=2) >= _BURNT).mean()),
        middle_light=float(np.median(linear(grey))),
    )


def require_fit(found: Quality) -> None:
    """Raise PoorPicture for a picture burnt out, dark or blurred: without light nothing is sharp."""
    if found.burnt_share > knowledge.figure("imaging.burnt_share").value:
        raise PoorPicture("This picture is burnt out: nearly all of it is plain white. Take it darker.")
    if found.middle_light < knowledge.figure("imaging.least_light").value:
        raise PoorPicture(
            "This picture is too dark to tell colours on. Take it under white light, without the night lamp."
        )
    if found.sharpness < knowledge.figure("imaging.blurred").value:
        raise PoorPicture(
            "This picture is blurred: edges of a film cannot be told. Wipe the glass, let the camera focus, and hold "
            "it still against something."
        )


def _steepness(grey: NDArray[np.uint8], blur_px: float) -> float:
    """Return the root mean square slope after a blur: where the lens blurred as much already, a blur changes little."""
    soft = cv2.GaussianBlur(grey.astype(np.float32), (0, 0), blur_px)
    across, down = cv2.Sobel(soft, cv2.CV_32F, 1, 0), cv2.Sobel(soft, cv2.CV_32F, 0, 1)
    return float(np.sqrt(np.mean(across * across + down * down)))
