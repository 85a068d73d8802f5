"""Cells found in two public pictures with a known answer, by the same settings: nothing is told about either.

The coins are scikit-image's `coins`, 24 coins on dark cloth in uneven light. The nuclei are the micrograph that the
stardist package carries with the labels people drew: 125 nuclei, the middle one of 440 pixels.
"""

import importlib.util
from pathlib import Path

import numpy as np
import pytest
import skimage.data
import skimage.io

from pratique.science.imaging.cells import FoundCells, find_cells


def pictures_of_nuclei() -> tuple[np.ndarray, np.ndarray]:
    """Return the micrograph, its greys all below 256, and its labels, without importing the package they come with."""
    package = importlib.util.find_spec("stardist")
    folder = Path(package.submodule_search_locations[0]) / "data" / "images"
    picture, labels = skimage.io.imread(folder / "img2d.tif"), skimage.io.imread(folder / "mask2d.tif")
    assert picture.max() < 256
    return picture.astype(np.uint8), labels


def all_of(found: FoundCells):
    return found.whole + found.cut_by_border


def nearest_of(found: FoundCells, x_px: float, y_px: float) -> float:
    return min(np.hypot(cell.centre.x_px - x_px, cell.centre.y_px - y_px) for cell in all_of(found))


@pytest.fixture(scope="module")
def nuclei() -> FoundCells:
    return find_cells(pictures_of_nuclei()[0])


def test_there_are_24_coins():
    """scikit-image's coins: its watershed recipe has 25 regions of which 24 are coins of 1,077 to 3,141 pixels."""
    found = find_cells(skimage.data.coins())
    assert len(found.whole) == 24
    assert found.cut_by_border == ()
    assert not found.cells_are_darker
    areas = [cell.area_px for cell in found.whole]
    assert min(areas) == pytest.approx(1077.0, rel=0.05)
    assert max(areas) == pytest.approx(3141.0, rel=0.05)


@pytest.mark.parametrize("expected_length_px", [30.0, 45.0, 70.0])
def test_a_rough_word_about_their_size_changes_no_count(expected_length_px):
    """The coins are 37 to 63 pixels across; who says 30 or 70 still counts 24."""
    assert len(find_cells(skimage.data.coins(), expected_length_px=expected_length_px).whole) == 24


def test_the_nuclei_are_counted_within_5_percent(nuclei):
    """The labels drawn by people: 125 nuclei, 13 of them on the picture's border."""
    assert len(np.unique(pictures_of_nuclei()[1])) - 1 == 125
    assert len(all_of(nuclei)) == pytest.approx(125, rel=0.05)
    assert len(nuclei.cut_by_border) == pytest.approx(13, abs=4)


def test_the_middle_nucleus_is_as_large_as_its_label_within_10_percent(nuclei):
    """The labels drawn by people: median area 440 pixels."""
    assert np.median([cell.area_px for cell in all_of(nuclei)]) == pytest.approx(440.0, rel=0.10)


def test_nearly_every_nucleus_drawn_by_people_is_found_where_it_is(nuclei):
    """A right count could be misses made up by cuts: 9 in 10 labels have the middle of a cell within 5 pixels."""
    labels = pictures_of_nuclei()[1]
    middles = [np.argwhere(labels == label).mean(axis=0) + 0.5 for label in np.unique(labels) if label]
    near = [nearest_of(nuclei, x_px=middle[1], y_px=middle[0]) <= 5.0 for middle in middles]
    assert np.mean(near) >= 0.9


def test_a_negative_shows_the_same_cells(nuclei):
    """Dark cells on a light ground are found as light ones on a dark ground are."""
    found = find_cells(255 - pictures_of_nuclei()[0])
    assert found.cells_are_darker
    assert len(all_of(found)) == len(all_of(nuclei))
    assert np.median([cell.length_px for cell in found.whole]) == pytest.approx(
        np.median([cell.length_px for cell in nuclei.whole]), rel=0.01
    )
