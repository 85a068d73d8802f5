"""Cover on a picture whose answer is counted: the horse silhouette that scikit-image carries."""

import json

import numpy as np
import pytest
from skimage.data import horse
from tests.builders.pictures import png_of

from pratique.casework.measuring.cover import measure_cover
from pratique.casework.measuring.cover_marks import read_marks

HORSE_PX, ALL_PX = 43_412, 131_200


@pytest.fixture(scope="module")
def silhouette():
    """Black on white, as PNG."""
    picture = horse().astype(bool)
    picture = picture if (~picture).sum() == HORSE_PX else ~picture
    return png_of(np.repeat(np.where(picture, 255, 0).astype(np.uint8)[..., None], 3, axis=2))


def test_the_silhouette_is_exact_to_the_pixel_from_ideal_dabs(silhouette):
    """One dab on the horse and one beside it; the whole picture is the region."""
    marks = {
        "region": [[0, 0], [400, 0], [400, 328], [0, 328]],
        "dabs": {"horse": [[200, 100, 6]], "ground": [[10, 10, 6]]},
    }
    told = measure_cover(silhouette, read_marks(json.dumps(marks))).to_json()
    found = told["cover"]["horse"]
    assert told["region_pixels"] == ALL_PX
    assert found["fraction"] * ALL_PX == pytest.approx(HORSE_PX, abs=1e-6)
    assert found["low"] < HORSE_PX / ALL_PX < found["high"]
    assert found["high"] - found["low"] < 0.03
