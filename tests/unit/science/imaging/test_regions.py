"""Which pixels a polygon and a dab hold."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pratique.science.imaging.regions import NoRegion, disc_pixels, region_mask


def test_a_rectangle_holds_the_pixels_whose_centres_it_holds():
    """Corners on pixel borders: 3 by 2, no rim more and none less."""
    mask = region_mask([(1, 1), (4, 1), (4, 3), (1, 3)], 6, 6)
    assert mask.sum() == 6
    assert mask[1:3, 1:4].all()


def test_the_whole_picture_and_more_is_the_whole_picture():
    """Corners outside are cut off."""
    assert region_mask([(-5, -5), (20, -5), (20, 20), (-5, 20)], 7, 9).all()


@pytest.mark.parametrize("corners", [[(1, 1), (4, 4)], [(1, 1), (2, 1), (3, 1)], [(50, 50), (60, 50), (60, 60)]])
def test_no_region_is_refused(corners):
    """Two corners, a line, and one outside."""
    with pytest.raises(NoRegion):
        region_mask(corners, 6, 6)


corner = st.tuples(st.floats(-5, 45), st.floats(-5, 35))


@given(st.lists(corner, min_size=3, max_size=3))
def test_a_triangle_holds_about_its_area_whichever_way_round(corners):
    """Pick's theorem in reverse: within its own border's length of the area, and no turn or start matters."""
    try:
        mask = region_mask(corners, 30, 40)
    except NoRegion:
        return
    # Where a side runs exactly through a pixel's middle, rounding may tip it either way.
    assert (region_mask(corners[::-1], 30, 40) != mask).sum() <= 3
    assert (region_mask([*corners[1:], corners[0]], 30, 40) != mask).sum() <= 3
    points = np.array([*corners, corners[0]])
    x, y = points.T
    if points.min() >= 0 and x.max() <= 40 and y.max() <= 30:
        area = 0.5 * abs(np.dot(x[:-1], y[1:]) - np.dot(x[1:], y[:-1]))
        border = np.hypot(np.diff(x), np.diff(y)).sum()
        assert abs(mask.sum() - area) <= border + 1


def test_a_dab_holds_what_lies_within_its_radius():
    """Radius 2 about the corner of four pixels holds twelve; a tiny one the pixel it touches; outside none."""
    rows, columns = disc_pixels((5.0, 5.0), 2.0, 10, 10)
    assert rows.size == columns.size == 12
    assert [one.tolist() for one in disc_pixels((3.9, 2.2), 0.01, 10, 10)] == [[2], [3]]
    assert disc_pixels((-1.0, 2.0), 3.0, 10, 10)[0].size == 0
