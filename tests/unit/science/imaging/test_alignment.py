"""Laying a later photograph over an earlier one: right where it is done, refused where it is unsafe."""

import numpy as np
import pytest
from tests.builders.drawn_tanks import drawn_tank

from pratique.science.imaging.alignment import NotAligned, aligned


def test_corners_are_carried_within_two_pixels_or_refused():
    """Of twenty tanks on two days, at 800 pixels across; plain sand with rock on one side only is refused."""
    carried = 0
    for seed in range(20):
        first, later = drawn_tank(seed), drawn_tank(seed, day=3, moved=True)
        try:
            found = aligned(first.pixels, later.pixels, first.region)
        except NotAligned:
            continue
        carried += 1
        assert np.abs(np.subtract(found.carried(first.region), later.region)).max() < 3.0
    assert 6 <= carried < 20


def test_another_tank_is_refused():
    """Nothing agrees, and the sentence says what would."""
    with pytest.raises(NotAligned, match="same rocks in view"):
        aligned(drawn_tank(1).pixels, drawn_tank(21).pixels, drawn_tank(1).region)


def test_a_picture_without_any_feature_is_refused():
    """A plain grey wall."""
    first = drawn_tank(1)
    with pytest.raises(NotAligned):
        aligned(first.pixels, np.full((600, 800, 3), 120, dtype=np.uint8), first.region)


def test_a_region_half_out_of_the_later_picture_is_refused():
    """The camera swung to one side."""
    first = drawn_tank(8)
    with pytest.raises(NotAligned, match="outside the later picture"):
        aligned(first.pixels, np.ascontiguousarray(first.pixels[:, 200:]), first.region)


def test_the_same_picture_lies_on_itself():
    """Every corner stays, at half the size too."""
    first = drawn_tank(8)
    same = aligned(first.pixels, first.pixels, first.region)
    half = aligned(first.pixels, np.ascontiguousarray(first.pixels[::2, ::2]), first.region)
    assert np.abs(np.subtract(same.carried(first.region), first.region)).max() < 0.1
    assert np.abs(2 * np.array(half.carried(first.region)) - first.region).max() < 3.0
