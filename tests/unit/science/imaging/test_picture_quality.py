"""Pictures too poor to measure on are refused in words."""

import cv2
import numpy as np
import pytest
from skimage import data
from tests.builders.drawn_tanks import drawn_tank

from pratique.science.imaging.picture_quality import PoorPicture, quality, require_fit


def fit(pixels):
    """Judge a whole picture."""
    require_fit(quality(pixels, np.ones(pixels.shape[:2], dtype=bool)))


@pytest.mark.parametrize("name", ["coffee", "astronaut", "chelsea"])
def test_real_photographs_are_fit(name):
    """The photographs that scikit-image carries."""
    fit(getattr(data, name)())


@pytest.mark.parametrize("name", ["coffee", "astronaut", "chelsea"])
def test_the_same_out_of_focus_are_refused(name):
    """Blurred by one part in eighty of their width."""
    pixels = getattr(data, name)()
    with pytest.raises(PoorPicture, match="blurred"):
        fit(cv2.GaussianBlur(pixels, (0, 0), pixels.shape[1] / 80))


def test_burnt_out_and_dark_pictures_are_refused():
    """Plain white but for a corner; and a night."""
    seen = drawn_tank(1).pixels
    white = np.full_like(seen, 255)
    white[:80, :80] = seen[:80, :80]
    with pytest.raises(PoorPicture, match="burnt out"):
        fit(white)
    with pytest.raises(PoorPicture, match="too dark"):
        fit((seen * 0.08).astype(np.uint8))
