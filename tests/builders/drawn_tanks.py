"""Photographs of a tank's sand drawn by code, with the cover of each growth on them known to the pixel.

Drawn in linear light: sand and rock with their grain, films with soft edges and uneven thickness, a lamp brighter on
one side, the bright net that waves throw, a blue cast, a lens that darkens its corners, noise of the sensor, JPEG.
Invented, all of it: what is known here is the truth, not what a tank looks like.
"""

import io
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

type Field = NDArray[np.float32]

# sRGB of what lies on the sand, near the typical ones of the reference table (common practice, not measured).
COLOURS = {
    "sand": (220, 212, 195),
    "brown": (139, 90, 43),
    "red": (110, 25, 45),
    "green": (85, 125, 45),
    "rock": (120, 112, 110),
}
BEHIND = 250  # what the rock behind is called in `shows`: no class of the region
GREY_CARD = (190, 190, 190)


@dataclass(frozen=True)
class DrawnTank:
    """A photograph as JPEG bytes, what each pixel shows, the keeper's marks on it, and the true cover in the region."""

    jpeg: bytes
    shows: NDArray[np.uint8]  # index into `classes`, after the camera's move
    classes: tuple[str, ...]
    region: list[tuple[float, float]]
    dabs: dict[str, list[tuple[float, float, float]]]
    white: tuple[float, float, float]
    move: NDArray[np.float64]  # from the unmoved picture to this one

    @property
    def pixels(self) -> NDArray[np.uint8]:
        """Return the photograph as whoever opens it sees it."""
        return np.asarray(Image.open(io.BytesIO(self.jpeg)).convert("RGB"))

    def marks(self) -> dict[str, object]:
        """Return what a keeper would write into MARKS.json."""
        return {"region": self.region, "dabs": self.dabs, "white": self.white}


def drawn_tank(
    seed: int,
    *,
    width: int = 800,
    height: int = 600,
    day: int = 0,
    moved: bool = False,
    quality: int | None = None,
    brown: float | None = None,
) -> DrawnTank:
    """Draw the tank of a seed; another `day` is the same sand and rock in another light, with more or less growth.

    `brown` is the share of the picture the brown film lies on, where it is not left to chance.
    """
    scene, today = np.random.default_rng(seed), np.random.default_rng([seed, 1 + day])
    size = (height, width)
    classes = ("sand", "brown", *(name for name in ("red", "green", "rock") if scene.random() < 0.5))
    shows, light_of_things = _things(scene, today, size, classes, brown)
    card = (0.92 * width, 0.9 * height, 0.03 * width)
    _card(light_of_things, card)
    lit = light_of_things * _light(today, size)
    move = _move(today, size) if moved else np.eye(3)
    seen = cv2.warpPerspective(lit, move, (width, height), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT)
    shows = cv2.warpPerspective(shows, move, (width, height), flags=cv2.INTER_NEAREST, borderMode=cv2.BORDER_REFLECT)
    region = _through(move, _region(scene, size))
    white = (*_through(move, [card[:2]])[0], 0.8 * card[2])
    jpeg = _photographed(today, seen, quality or int(today.integers(72, 93)))
    return DrawnTank(jpeg, shows, classes, region, _dabs(today, shows, classes, region), white, move)


def noise(rng: np.random.Generator, size: tuple[int, int], scale_px: float) -> Field:
    """Return smooth noise of mean 0 and sd 1, its features so many pixels across on a picture of 800."""
    scale = scale_px * size[1] / 800
    small = max(2, int(size[0] / scale) + 3), max(2, int(size[1] / scale) + 3)
    field = cv2.resize(rng.standard_normal(small).astype(np.float32), size[::-1], interpolation=cv2.INTER_CUBIC)
    return np.asarray((field - field.mean()) / field.std(), dtype=np.float32)


def _linear(colour: tuple[int, int, int]) -> Field:
    level = np.array(colour) / 255.0
    return np.where(level <= 0.04045, level / 12.92, ((level + 0.055) / 1.055) ** 2.4).astype(np.float32)


def _things(
    scene: np.random.Generator,
    today: np.random.Generator,
    size: tuple[int, int],
    classes: tuple[str, ...],
    brown: float | None,
) -> tuple[NDArray[np.uint8], Field]:
    """Return what each pixel shows, and the light it gives back of full light."""
    shows = np.zeros(size, dtype=np.uint8)
    grain = noise(scene, size, 1.5) * 0.08 + noise(scene, size, 6.0) * 0.05 + noise(scene, size, 60.0) * 0.05
    light = _linear(COLOURS["sand"]) * np.exp(grain)[..., None]
    for number, name in enumerate(classes[1:], start=1):
        rng = scene if name == "rock" else today
        lies = noise(scene, size, 90.0) + 0.35 * noise(rng, size, 30.0) + 0.2 * noise(rng, size, 8.0)
        share = rng.uniform(0.03, 0.6 if name == "brown" else 0.2)
        if name == "brown" and brown is not None:
            share = brown
        edge = float(np.quantile(lies, 1.0 - share))
        there = np.clip((lies - edge) / 0.08 + 0.5, 0.0, 1.0)  # the film thins out over a few pixels
        thick = np.clip(0.93 + 0.06 * noise(rng, size, 25.0), 0.7, 1.0) if name != "rock" else 1.0
        mottle = np.exp(0.10 * noise(rng, size, 5.0) + 0.05 * noise(rng, size, 2.0))[..., None]
        part = (there * thick)[..., None].astype(np.float32)
        light = (1.0 - part) * light + part * _linear(COLOURS[name]) * mottle
        shows[there > 0.5] = number
    _rockwork(scene, shows, light)
    return shows, light.astype(np.float32)


def _rockwork(scene: np.random.Generator, shows: NDArray[np.uint8], light: Field) -> None:
    """Draw the rock behind the sand, along the top, which no growth changes."""
    size = shows.shape[0], shows.shape[1]
    down = np.linspace(0.0, 1.0, size[0])[:, None]
    there = down < 0.09 + 0.01 * noise(scene, size, 50.0)
    rough = np.exp(0.5 * noise(scene, size, 20.0) + 0.3 * noise(scene, size, 7.0))[..., None]
    light[there] = (_linear(COLOURS["rock"]) * rough)[there]
    shows[there] = BEHIND


def _card(light: Field, card: tuple[float, float, float]) -> None:
    x, y, radius = (round(one) for one in card)
    light[y - radius : y + radius, x - radius : x + radius] = _linear(GREY_CARD)


def _light(today: np.random.Generator, size: tuple[int, int]) -> Field:
    """Return the lamp's light on each pixel by channel: a slope, the lens's dark corners, the waves' net and a cast."""
    down, across = np.mgrid[-1 : 1 : size[0] * 1j, -1 : 1 : size[1] * 1j]
    turn = today.uniform(0, 2 * np.pi)
    slope = 1.0 + today.uniform(0.05, 0.3) * (np.cos(turn) * across + np.sin(turn) * down)
    corners = 1.0 - today.uniform(0.02, 0.15) * (across**2 + down**2)
    waves = np.exp(-(noise(today, size, today.uniform(40, 90)) ** 2) / 0.02)
    net = 1.0 + today.uniform(0.0, 0.35) * cv2.GaussianBlur(waves.astype(np.float32), (0, 0), 2.0)
    cast = np.array([today.uniform(0.6, 1.0), today.uniform(0.85, 1.0), 1.0])
    return np.asarray((today.uniform(0.55, 0.8) * slope * corners * net)[..., None] * cast, dtype=np.float32)


def _move(today: np.random.Generator, size: tuple[int, int]) -> NDArray[np.float64]:
    """Return a camera held a little elsewhere: the corners wander by up to 3 % of the picture's width."""
    height, width = size
    corners = np.array([[0, 0], [width, 0], [width, height], [0, height]], dtype=np.float32)
    away = today.uniform(-0.03, 0.03, (4, 2)).astype(np.float32) * width
    return np.asarray(cv2.getPerspectiveTransform(corners, corners + away), dtype=np.float64)


def _through(move: NDArray[np.float64], points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    moved = cv2.perspectiveTransform(np.array([points], dtype=np.float64), move)[0]
    return [(float(x), float(y)) for x, y in moved]


def _region(scene: np.random.Generator, size: tuple[int, int]) -> list[tuple[float, float]]:
    height, width = size
    corners = np.array([[0.12, 0.15], [0.84, 0.12], [0.86, 0.82], [0.1, 0.8]]) + scene.uniform(-0.04, 0.04, (4, 2))
    return [(float(x * width), float(y * height)) for x, y in corners]


def _photographed(today: np.random.Generator, light: Field, quality: int) -> bytes:
    soft = cv2.GaussianBlur(light, (0, 0), today.uniform(0.5, 0.9))
    noisy = soft + today.normal(0.0, 1.0, soft.shape).astype(np.float32) * np.sqrt(np.maximum(soft, 0)) * 0.02
    level = np.clip(noisy, 0.0, 1.0)
    coded = np.where(level <= 0.0031308, 12.92 * level, 1.055 * level ** (1 / 2.4) - 0.055)
    out = io.BytesIO()
    Image.fromarray(np.round(coded * 255).astype(np.uint8)).save(out, "JPEG", quality=quality)
    return out.getvalue()


def _dabs(
    today: np.random.Generator, shows: NDArray[np.uint8], classes: tuple[str, ...], region: list[tuple[float, float]]
) -> dict[str, list[tuple[float, float, float]]]:
    """Return four dabs per class where a keeper would set them: well inside a patch, apart from each other."""
    radius = 0.008 * shows.shape[1]
    within = np.zeros(shows.shape, np.uint8)
    cv2.fillPoly(within, [np.array(region, dtype=np.int32)], 1)
    dabs: dict[str, list[tuple[float, float, float]]] = {}
    for number, name in enumerate(classes):
        there = ((shows == number) & (within == 1)).astype(np.uint8)
        inside = cv2.distanceTransform(there, cv2.DIST_L2, 5) > 1.3 * radius
        found: list[tuple[float, float, float]] = []
        rows, columns = np.nonzero(inside)
        for one in today.permutation(rows.size)[:4000]:
            place = (float(columns[one]) + 0.5, float(rows[one]) + 0.5)
            if all(np.hypot(place[0] - x, place[1] - y) > 5 * radius for x, y, _ in found):
                found.append((*place, radius))
            if len(found) == 4:
                break
        if found:
            dabs[name] = found
    return dabs


def true_cover(tank: DrawnTank) -> dict[str, float]:
    """Return the share of the region's pixels that shows each class."""
    within = np.zeros(tank.shows.shape, np.uint8)
    cv2.fillPoly(within, [np.round(np.array(tank.region) * 16).astype(np.int32)], 1, shift=4)
    shown = tank.shows[within == 1]
    return {name: float((shown == number).mean()) for number, name in enumerate(tank.classes)}
