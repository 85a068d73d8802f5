"""Colour against published pairs and a standard's own numbers."""

import numpy as np
import pytest

from pratique.science.imaging.colour import NoWhite, colour_difference, lab, white_gains

# Sharma, Wu and Dalal 2005, table 1; from memory, checked by running a general library.
SHARMA = [
    ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
    ((50.0, 3.1571, -77.2803), (50.0, 0.0, -82.7485), 2.8615),
    ((50.0, 2.8361, -74.0200), (50.0, 0.0, -82.7485), 3.4412),
    ((50.0, 0.0, 0.0), (50.0, -1.0, 2.0), 2.3669),
    ((50.0, 2.5, 0.0), (50.0, 0.0, -2.5), 4.3065),
    ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]


@pytest.mark.parametrize(("one", "other", "published"), SHARMA)
def test_ciede2000_is_that_of_the_published_pairs(one, other, published):
    """To the four places printed, and the same from either side."""
    assert colour_difference(one, other) == pytest.approx(published, abs=5e-5)
    assert colour_difference(other, one) == pytest.approx(published, abs=5e-5)


def test_colours_agree_with_a_general_library():
    """CIELAB of a thousand colours as scikit-image reckons it, in double precision."""
    color = pytest.importorskip("skimage.color")
    pixels = np.random.default_rng(1).integers(0, 256, (40, 25, 3), dtype=np.uint8)
    assert np.abs(lab(pixels) - color.rgb2lab(pixels)).max() < 0.05


def test_differences_agree_with_a_general_library():
    """CIEDE2000 of 500 pairs over the whole solid, as scikit-image reckons it."""
    color = pytest.importorskip("skimage.color")
    drawn = np.random.default_rng(2).uniform((0, -90, -90), (100, 90, 90), (500, 2, 3))
    theirs = color.deltaE_ciede2000(drawn[:, 0], drawn[:, 1])
    ours = [colour_difference(tuple(one), tuple(other)) for one, other in drawn]
    assert np.abs(ours - theirs).max() < 1e-9


def test_a_grey_card_under_a_blue_lamp_becomes_grey():
    """The card is neutral once balanced; green, and so the brightness, stays."""
    patch = np.tile(np.array([90, 130, 200], dtype=np.uint8), (50, 1))
    balanced = lab(patch[None], white_gains(patch))[0, 0]
    assert np.abs(balanced[1:]).max() < 0.05
    assert white_gains(patch)[1] == 1.0


@pytest.mark.parametrize(
    ("colour", "words"),
    [((255, 255, 255), "burnt out"), ((5, 5, 5), "too dark"), ((70, 100, 250), "strongly coloured")],
)
def test_a_patch_that_is_no_white_is_refused(colour, words):
    """Each with what is wrong and what would be right."""
    with pytest.raises(NoWhite, match=words):
        white_gains(np.tile(np.array(colour, dtype=np.uint8), (9, 1)))
