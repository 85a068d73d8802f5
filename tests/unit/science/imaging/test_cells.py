"""Cells drawn with a known size, and found again: how far length, width, count and refusals can be trusted."""

import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.builders.drawn_cells import DrawnCell, boat, crescent, drawn_picture, ellipse

from pratique.science.chemistry.domain import DomainError
from pratique.science.imaging.cell_ground import NoCells
from pratique.science.imaging.cell_sizes import measured_cell, size_of
from pratique.science.imaging.cells import find_cells
from pratique.science.imaging.scale import Scale

TEN = 10
SHAPES = [
    ellipse(60.0, 40.0),
    ellipse(90.0, 30.0),
    boat(60.0, 20.0),
    boat(110.0, 24.0),
    crescent(60.0, 20.0),
    crescent(100.0, 22.0, bend_degrees=120.0),
]


def lengths_off(cell: DrawnCell, *, seeds: range = range(3), **picture) -> tuple[float, float]:
    """Return the median and the worst error of length of ten such cells in each of three pictures, as parts of it."""
    off = []
    for seed in seeds:
        found = find_cells(drawn_picture([cell] * TEN, seed=seed, side_px=(700, 900), **picture))
        assert len(found.whole) == TEN
        assert found.cut_by_border == ()
        off += [one.length_px / cell.length_px - 1.0 for one in found.whole]
    return float(np.median(off)), max(off, key=abs)


@pytest.mark.parametrize("cell", SHAPES, ids=lambda cell: f"{cell.shape}-{cell.length_px:.0f}")
@pytest.mark.parametrize("contrast", [-70.0, 60.0], ids=["dark", "light"])
def test_a_drawn_cell_has_its_length_within_3_percent(cell, contrast):
    """Drawn at random places and angles in uneven light with blur and grain: the median within 3 %, each within 6 %."""
    median, worst = lengths_off(cell, contrast=contrast, ground=150.0)
    print(f"{cell.shape} {cell.length_px:.0f} px, contrast {contrast:+.0f}: median {median:+.1%}, worst {worst:+.1%}")  # noqa: T201
    assert abs(median) <= 0.03
    assert abs(worst) <= 0.06


@pytest.mark.parametrize(
    "picture",
    [{"shading": 0.5}, {"blur_px": 2.0}, {"grain": 9.0}, {"contrast": -35.0}, {"ground": 30.0, "contrast": 120.0}],
    ids="-".join,
)
def test_worse_light_focus_and_grain_are_borne(picture):
    """The same drawn ellipse where half the light is lost, out of focus, grainy, faint, or glowing on black."""
    median, worst = lengths_off(ellipse(90.0, 30.0), **picture)
    assert abs(median) <= 0.03
    assert abs(worst) <= 0.06


@pytest.mark.parametrize("cell", SHAPES, ids=lambda cell: f"{cell.shape}-{cell.length_px:.0f}")
def test_a_drawn_cell_has_its_width_within_5_percent(cell):
    """The largest circle inside: the drawn width of an ellipse, a boat and, unlike its caliper, a crescent."""
    found = find_cells(drawn_picture([cell] * TEN, seed=5, side_px=(700, 900)))
    assert np.median([one.width_px for one in found.whole]) == pytest.approx(cell.width_px, rel=0.05)


def test_a_drawn_cell_has_its_area():
    """An ellipse covers π/4 of length times width; within 3 %."""
    found = find_cells(drawn_picture([ellipse(80.0, 36.0)] * TEN, seed=2))
    area_px = math.pi / 4.0 * 80.0 * 36.0
    assert np.median([cell.area_px for cell in found.whole]) == pytest.approx(area_px, rel=0.03)


def test_faint_and_strong_cells_of_one_picture_are_as_long_as_each_other():
    """One threshold for all would draw strong ones larger: half of each cell's own height does not."""
    faint = drawn_picture([ellipse(60.0, 30.0)] * 4, seed=1, side_px=(300, 400), contrast=-40.0, shading=0.0)
    strong = drawn_picture([ellipse(60.0, 30.0)] * 4, seed=3, side_px=(300, 400), contrast=-120.0, shading=0.0)
    found = find_cells(np.concatenate([faint, strong], axis=1))
    lengths = {
        is_left: np.median([cell.length_px for cell in found.whole if (cell.centre.x_px < 400) is is_left])
        for is_left in (True, False)
    }
    assert len(found.whole) == 8
    assert lengths[True] == pytest.approx(lengths[False], rel=0.02)


def test_cells_that_touch_are_parted():
    """Two drawn ellipses end to end, two side by side, and one alone: five, each with its own length within 6 %."""
    one = ellipse(70.0, 36.0)
    down, across = np.mgrid[0:300, 0:400]
    middles = [(100.0, 80.0), (100.0, 149.0), (200.0, 80.0), (234.0, 80.0), (200.0, 300.0)]
    ink = np.zeros((300, 400))
    for middle in middles:
        ink[((across - middle[1]) / 35.0) ** 2 + ((down - middle[0]) / 18.0) ** 2 <= 1.0] = 1.0
    grain = np.random.default_rng(4).normal(0.0, 3.0, ink.shape)
    found = find_cells(np.clip(170.0 - 80.0 * ink + grain, 0, 255).astype(np.uint8))
    assert len(found.whole) == 5
    assert [cell.length_px for cell in found.whole] == pytest.approx([one.length_px] * 5, rel=0.06)


def test_a_cell_seen_as_a_ring_is_filled():
    """A clear cell shows a dark wall around an inside like the ground: its area is that of the whole ellipse."""
    down, across = np.mgrid[0:200, 0:300]
    outer, inner = (
        ((across - 150.0) / long) ** 2 + ((down - 90.0) / short) ** 2 <= 1.0 for long, short in ((45, 25), (40, 20))
    )
    grain = np.random.default_rng(6).normal(0.0, 3.0, outer.shape)
    (cell,) = find_cells(np.clip(170.0 - 90.0 * (outer & ~inner) + grain, 0, 255).astype(np.uint8)).whole
    assert cell.area_px == pytest.approx(math.pi * 45.0 * 25.0, rel=0.04)


def test_a_cell_cut_by_the_border_is_told_apart():
    """A picture cut through the middle of one of its cells: that one has no true length."""
    picture = drawn_picture([ellipse(60.0, 30.0)] * TEN, seed=8)
    through = find_cells(picture).whole[0].centre
    found = find_cells(np.ascontiguousarray(picture[int(through.y_px) :]))
    assert len(found.cut_by_border) >= 1
    assert all(cell.touches_border for cell in found.cut_by_border)
    assert not any(cell.touches_border for cell in found.whole)


def test_grains_are_left_out_and_told():
    """Six cells with twelve grains of 7 pixels between them, under a twentieth of a cell's area."""
    cells = [ellipse(70.0, 40.0)] * 6 + [ellipse(7.0, 7.0)] * 12
    found = find_cells(drawn_picture(cells, seed=2, side_px=(600, 800)))
    assert (len(found.whole), found.specks) == (6, 12)


def test_who_says_how_long_the_cells_are_has_the_small_ones_counted():
    """Small cells among a few large ones look like grains, until the keeper says that cells are so small."""
    cells = [ellipse(120.0, 90.0)] * 3 + [ellipse(20.0, 12.0)] * 12
    picture = drawn_picture(cells, seed=3, side_px=(700, 900))
    assert len(find_cells(picture).whole) == 3
    assert len(find_cells(picture, expected_length_px=20.0).whole) == 15


def test_one_colour_is_looked_at_where_it_alone_shows():
    """Cells that glow blue on black are as long as in grey."""
    grey = drawn_picture([ellipse(60.0, 30.0)] * 6, seed=1, ground=20.0, contrast=60.0, shading=0.0)
    blue = np.zeros((*grey.shape, 3), np.uint8)
    blue[:, :, 2] = grey
    assert [cell.length_px for cell in find_cells(blue).whole] == [cell.length_px for cell in find_cells(grey).whole]


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(seed=st.integers(0, 10_000), quarters=st.integers(1, 3), cell=st.sampled_from(SHAPES[:3]))
def test_a_picture_turned_by_quarters_shows_the_same_cells(seed, quarters, cell):
    """Turning by 90° moves no pixel apart from another: count, and total area and length within 0.5 %."""
    picture = drawn_picture([cell] * 6, seed=seed)
    upright, turned = (find_cells(np.ascontiguousarray(np.rot90(picture, turn))).whole for turn in (0, quarters))
    assert len(turned) == len(upright)
    assert sum(one.area_px for one in turned) == pytest.approx(sum(one.area_px for one in upright), rel=0.005)
    assert sum(one.length_px for one in turned) == pytest.approx(sum(one.length_px for one in upright), rel=0.005)


@settings(max_examples=30, deadline=None)
@given(um_per_px=st.floats(0.02, 20.0), times=st.floats(0.1, 10.0))
def test_sizes_go_with_the_scale_and_ratios_do_not(um_per_px, times):
    """Lengths so many times longer, areas with the square, the ratio as it was."""
    cell = CELL_OF_80_BY_30
    plain, large = (size_of(cell, Scale(scale, 0.01 * scale)) for scale in (um_per_px, um_per_px * times))
    assert large.length.value == pytest.approx(times * plain.length.value)
    assert large.width.sd == pytest.approx(times * plain.width.sd)
    assert large.area.value == pytest.approx(times**2 * plain.area.value)
    assert large.ratio == plain.ratio


def test_the_error_of_a_length_is_that_of_its_ends_and_of_the_scale():
    """Half a pixel at each end of 80 (√2 × 0.5/80), with 1 % of scale: added as squares, by hand."""
    size = size_of(CELL_OF_80_BY_30, Scale(0.5, 0.005))
    ends = math.sqrt(2.0) * 0.5 / CELL_OF_80_BY_30.length_px
    assert size.length.relative_sd == pytest.approx(math.hypot(ends, 0.01))


PLAIN = np.random.default_rng(1).normal(150.0, 4.0, (300, 400))
CELLS = drawn_picture([ellipse(60.0, 30.0)] * TEN, seed=1)


@pytest.mark.parametrize(
    ("picture", "sentence"),
    [
        (PLAIN.astype(np.uint8), "Nothing .*stands out from the ground"),
        (np.full((300, 400), 120, np.uint8), "Nothing stands out from the ground"),
        (CELLS[:40], "too small: each side must have at least 64 pixels"),
        (np.minimum(CELLS.astype(int) + 110, 255).astype(np.uint8), "overexposed"),
        ((CELLS // 12).astype(np.uint8), "underexposed"),
        (CELLS.astype(float), "256 steps"),
        (np.dstack([CELLS] * 4), "red, green and blue"),
        (drawn_picture([ellipse(30.0, 16.0)] * 8, seed=2, blur_px=8.0, contrast=-150.0, grain=1.0), "blurred"),
    ],
    ids=["grain", "plain", "small", "white", "black", "numbers", "four-colours", "blurred"],
)
def test_a_picture_that_cannot_be_measured_is_refused_in_words(picture, sentence):
    """Each refusal says what would be right."""
    with pytest.raises(NoCells, match=sentence):
        find_cells(picture)


def test_a_patch_without_an_edge_is_not_blurred_for_minutes():
    """A flat margin beside a grainy still has no steepness at all, so that its blur comes out as thousands of pixels.

    What such a blur took from the tips is not reckoned; the picture is refused as a blurred one is.
    """
    mask = np.pad(np.ones((20, 60), np.uint8), 2)
    plain = measured_cell(mask, left_px=0, top_px=0, touches_border=False, blur_px=0.0)
    flat = measured_cell(mask, left_px=0, top_px=0, touches_border=False, blur_px=1e7)
    assert (flat.length_px, flat.width_px) == (plain.length_px, plain.width_px)


@pytest.mark.parametrize("length_px", [0.0, -5.0, math.nan, math.inf])
def test_a_length_expected_must_be_a_length(length_px):
    """Refused, not taken for no answer."""
    with pytest.raises(DomainError, match="The length expected of a cell must be above 0"):
        find_cells(CELLS, expected_length_px=length_px)


CELL_OF_80_BY_30 = find_cells(drawn_picture([ellipse(80.0, 30.0)], seed=1)).whole[0]
