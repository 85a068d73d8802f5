"""Microscope pictures drawn with cells of known size: any shape, place and turn, uneven light, blur and grain."""

import math
from dataclasses import dataclass

import cv2
import numpy as np
from scipy.ndimage import gaussian_filter

_FINER = 8  # shapes are drawn so many times finer and averaged down, so that edges fall between pixels
_CORNERS = 400


@dataclass(frozen=True)
class DrawnCell:
    """A cell to draw: its outline in pixels around its own middle, and its true length and width."""

    shape: str
    outline: np.ndarray
    length_px: float
    width_px: float


def ellipse(length_px: float, width_px: float) -> DrawnCell:
    """Return an ellipse with these axes."""
    turn = np.linspace(0.0, 2.0 * math.pi, _CORNERS, endpoint=False)
    outline = np.stack([np.cos(turn) * length_px / 2.0, np.sin(turn) * width_px / 2.0], axis=1)
    return DrawnCell("ellipse", outline, length_px, width_px)


def boat(length_px: float, width_px: float) -> DrawnCell:
    """Return a boat with pointed ends."""
    along = np.linspace(-1.0, 1.0, _CORNERS)
    half = (np.cos(along * math.pi / 2.0) ** 0.8) * width_px / 2.0
    upper = np.stack([along * length_px / 2.0, half], axis=1)
    return DrawnCell("boat", np.concatenate([upper, upper[::-1] * [1.0, -1.0]]), length_px, width_px)


def crescent(length_px: float, width_px: float, bend_degrees: float = 90.0) -> DrawnCell:
    """Return a boat bent along an arc of so many degrees, `length_px` from tip to tip in a straight line.

    Its sides are those of the boat as measured along the arc. A crescent as wide as it is long would be longest aslant.
    """
    bend = math.radians(bend_degrees)
    radius = length_px / 2.0 / math.sin(bend / 2.0)
    along = np.linspace(-1.0, 1.0, _CORNERS)
    half = (np.cos(along * math.pi / 2.0) ** 0.8) * width_px / 2.0
    angle = along * bend / 2.0
    sides = [
        np.stack([(radius + side * half) * np.sin(angle), (radius + side * half) * np.cos(angle)], axis=1)
        for side in (1.0, -1.0)
    ]
    outline = np.concatenate([sides[0], sides[1][::-1]])
    return DrawnCell("crescent", outline - outline.mean(axis=0), length_px, width_px)


def drawn_picture(
    cells: list[DrawnCell],
    *,
    seed: int,
    side_px: tuple[int, int] = (480, 640),
    ground: float = 180.0,
    contrast: float = -70.0,
    shading: float = 0.25,
    blur_px: float = 1.0,
    grain: float = 4.0,
) -> np.ndarray:
    """Return a grey picture (bytes) with the cells spread over it, apart from each other and from the border.

    `contrast` is what a cell adds to the ground (below 0 it is darker), `shading` the part of the light lost from the
    brightest place to the darkest, `blur_px` the sd of the focus and `grain` that of the camera's noise.
    """
    chance = np.random.default_rng(seed)
    ink = np.zeros(side_px)
    for cell, middle in zip(cells, _places(cells, side_px, chance), strict=True):
        ink = np.maximum(ink, _inked(cell, middle, chance.uniform(0.0, 2.0 * math.pi), side_px))
    down, across = np.mgrid[0 : side_px[0], 0 : side_px[1]]
    lamp = chance.uniform(0.2, 0.8, 2) * side_px
    away = np.hypot(down - lamp[0], across - lamp[1])
    light = 1.0 - shading * (away / away.max()) ** 2
    seen = gaussian_filter(light * (ground + contrast * ink), blur_px) + chance.normal(0.0, grain, side_px)
    return np.clip(np.rint(seen), 0, 255).astype(np.uint8)


def _places(cells: list[DrawnCell], side_px: tuple[int, int], chance: np.random.Generator) -> list[np.ndarray]:
    """Return the middles of cells that do not touch, anywhere in the picture."""
    placed: list[tuple[np.ndarray, float]] = []
    for cell in cells:
        reach = float(np.hypot(*cell.outline.T).max()) + 6.0
        for _ in range(10_000):
            middle = chance.uniform((reach, reach), (side_px[1] - reach, side_px[0] - reach))
            if all(np.hypot(*(middle - other)) > reach + its for other, its in placed):
                placed.append((middle, reach))
                break
        else:
            raise ValueError("There is no room for so many cells: draw fewer or a larger picture.")
    return [middle for middle, _ in placed]


def _inked(cell: DrawnCell, middle: np.ndarray, turn: float, side_px: tuple[int, int]) -> np.ndarray:
    """Return how much of each pixel a cell covers."""
    turned = cell.outline @ np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]]) + middle
    canvas = np.zeros(side_px)
    low = np.maximum(np.floor(turned.min(axis=0)).astype(int) - 1, 0)
    high = np.minimum(np.ceil(turned.max(axis=0)).astype(int) + 2, (side_px[1], side_px[0]))
    wide, tall = high - low
    fine = np.zeros((tall * _FINER, wide * _FINER), np.uint8)
    # OpenCV puts the middle of the first pixel at 0; here its corner is.
    cv2.fillPoly(fine, [np.rint((turned - low) * _FINER - 0.5).astype(np.int32)], 1.0)
    canvas[low[1] : high[1], low[0] : high[0]] = fine.reshape(tall, _FINER, wide, _FINER).mean(axis=(1, 3))
    return canvas
