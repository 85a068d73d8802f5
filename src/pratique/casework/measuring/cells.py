"""Cells on a microscope still: found, outlined, measured to scale, and those rejected left out."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pratique import knowledge
from pratique.casework.measuring.decoding import Decoded, decode_picture
from pratique.casework.words import amount, percent
from pratique.science.imaging.cell_sizes import Cell, CellSize, size_of
from pratique.science.imaging.cells import find_cells
from pratique.science.imaging.counting import count_interval, median_interval, relative_error_of_count
from pratique.science.imaging.scale import Scale

_FEWEST_COUNTED = 4  # of fewer the count's error is as large as the count


@dataclass(frozen=True)
class FoundOnStill:
    """The cells that lie wholly in a picture, in its pixels as it was decoded, and what was left out."""

    cells: tuple[Cell, ...]
    cut_by_border: int
    specks: int
    picture: Decoded


def cells_on(content: bytes) -> FoundOnStill:
    """Return the cells of a picture. Raises NotDecoded, and NoCells where it cannot be measured on."""
    picture = decode_picture(content, int(knowledge.figure("imaging.still_pixels").value))
    found = find_cells(np.asarray(picture.pixels))
    return FoundOnStill(found.whole, len(found.cut_by_border), found.specks, picture)


@dataclass(frozen=True)
class Accepted:
    """The cells that were not rejected: their numbers from 0, and their sizes on the slide."""

    numbers: tuple[int, ...]
    sizes: tuple[CellSize, ...]


def accepted(found: FoundOnStill, scale: Scale, rejected: Sequence[int] = ()) -> Accepted:
    """Return the sizes of every cell but those rejected, by number from 0; `scale` is that of the picture's file."""
    numbers = tuple(number for number in range(len(found.cells)) if number not in rejected)
    decoded = scale.on_smaller(found.picture.shrunk)
    return Accepted(numbers, tuple(size_of(found.cells[number], decoded) for number in numbers))


def sizes_json(found: FoundOnStill, kept: Accepted) -> dict[str, object]:
    """Return the cells for a script: each with its sizes and 95 % errors, and their count's."""
    shrunk = found.picture.shrunk
    lengths = [size.length.value for size in kept.sizes]
    counted = count_interval(len(kept.sizes))
    cells = [(number, found.cells[number], size) for number, size in zip(kept.numbers, kept.sizes, strict=True)]
    return {
        "count": len(kept.sizes),
        "count_low": counted.lower,
        "count_high": counted.upper,
        "length_um": _middle(lengths),
        "width_um": _middle([size.width.value for size in kept.sizes]),
        "cut_by_border": found.cut_by_border,
        "specks": found.specks,
        "cells": [_cell_json(number, cell, size, shrunk) for number, cell, size in cells],
    }


def _middle(sizes: Sequence[float]) -> dict[str, float | None] | None:
    if not sizes:
        return None
    middle = median_interval(sizes)
    return {"median": middle.median, "low": middle.lower, "high": middle.upper}


def _cell_json(number: int, cell: Cell, size: CellSize, shrunk: float) -> dict[str, object]:
    return {
        "cell": number + 1,
        "at_px": [cell.centre.x_px / shrunk, cell.centre.y_px / shrunk],
        "length_um": size.length.value,
        "length_plus_minus_um": size.length.plus_minus,
        "width_um": size.width.value,
        "width_plus_minus_um": size.width.plus_minus,
        "ratio": size.ratio.value,
        "area_um2": size.area.value,
    }


def count_words(count: int) -> str:
    """Return how sure a count is, in words (Lund et al. 1958)."""
    if not count:
        return "No cell was accepted."
    words = "1 cell" if count == 1 else f"{amount(count, 0)} cells"
    if count < _FEWEST_COUNTED:
        return f"{words} counted, too few to tell how many there are"
    return f"{words} counted, which tells how many there are give or take {percent(relative_error_of_count(count))}"
