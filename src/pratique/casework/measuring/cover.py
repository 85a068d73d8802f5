"""The cover of each kind of growth on a photograph, from the marks set on it or on an earlier one."""

import io
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from pratique import knowledge
from pratique.casework.measuring.cover_marks import Marks, MarksRefused
from pratique.casework.measuring.decoding import Decoded, decode_picture
from pratique.casework.words import percent
from pratique.science.imaging.alignment import aligned
from pratique.science.imaging.colour import LabColour, NoWhite, colour_difference, lab, white_gains
from pratique.science.imaging.cover import Cover, cover, dabbed
from pratique.science.imaging.looks_of_pixels import Looks, looks_of
from pratique.science.imaging.picture_quality import Quality, quality, require_fit
from pratique.science.imaging.regions import Mask, disc_pixels, region_mask

_DIMMED = 0.35
_EDGE = (255, 240, 0)

_ALIKE_TOLD = 3


@dataclass(frozen=True)
class MeasuredCover:
    """The cover found, what to bear in mind with it, and the picture it was found on at the size worked at."""

    found: Cover
    notes: tuple[str, ...]
    picture: Decoded
    quality: Quality
    agreeing: int | None = None

    def to_json(self) -> dict[str, object]:
        """Return it for a script."""
        shares = self.found.shares.items()
        return {
            "cover": {name: {"fraction": one.fraction, "low": one.low, "high": one.high} for name, one in shares},
            "region_pixels": int(np.count_nonzero(self.found.kind_of >= 0)),
            "unlike_any_dab": self.found.unlike_any,
            "sharpness": self.quality.sharpness,
            "matches_agreeing": self.agreeing,
            "notes": list(self.notes),
        }

    def overlay_jpeg(self, name: str) -> bytes:
        """Return the picture darkened but for one kind, which is outlined, as JPEG, to check by eye."""
        number = list(self.found.shares).index(name)
        there = (self.found.kind_of == number).astype(np.uint8)
        shown = self.picture.pixels.astype(np.float32)
        shown[there == 0] *= _DIMMED
        edges = cv2.morphologyEx(there, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)) == 1
        shown[edges] = _EDGE
        out = io.BytesIO()
        Image.fromarray(shown.astype(np.uint8)).save(out, "JPEG", quality=80)
        return out.getvalue()


def measure_cover(photo: bytes, marks: Marks, marked_on: bytes | None = None) -> MeasuredCover:
    """Return the cover on a photograph from marks set on it or, where given, on an earlier one it is laid over.

    Raises NotDecoded, MarksRefused, and the DomainErrors of the science, each with a sentence.
    """
    picture = _decoded(photo)
    if marked_on is None:
        return _on_its_own(picture, marks)
    return _by_earlier(picture, _decoded(marked_on), marks)


def _decoded(content: bytes) -> Decoded:
    return decode_picture(content, int(knowledge.figure("imaging.working_pixels").value))


def _on_its_own(picture: Decoded, marks: Marks) -> MeasuredCover:
    marks = _scaled(marks, picture.shrunk)
    region = region_mask(marks.region, *picture.pixels.shape[:2])
    good = _fit(picture, region)
    looks, colours = _seen(picture, marks)
    taught = dabbed(looks, region, _dab_pixels(picture, marks))
    found = cover(looks, region, taught)
    return MeasuredCover(found, _notes(found, good, marks, colours), picture, good)


def _by_earlier(picture: Decoded, earlier: Decoded, marks: Marks) -> MeasuredCover:
    """Return the cover by dabs of an earlier picture; only with white on both can their colours be held together."""
    if marks.white is None:
        raise MarksRefused(
            "To use dabs of an earlier picture, both need something white or grey in view: mark it as “white”, or dab "
            "again on this picture."
        )
    x, y, radius = _times(marks.white, earlier.shrunk)
    marks = _scaled(marks, earlier.shrunk)
    region = region_mask(marks.region, *earlier.pixels.shape[:2])
    _fit(earlier, region)
    laid = aligned(earlier.pixels, picture.pixels, marks.region)
    looks, colours = _seen(earlier, marks)
    taught = dabbed(looks, region, _dab_pixels(earlier, marks))
    here = region_mask(laid.carried(marks.region), *picture.pixels.shape[:2])
    good = _fit(picture, here)
    (white,) = laid.carried([(x, y)])
    looks_here, _ = _seen(picture, marks.model_copy(update={"white": (*white, radius), "dabs": {}}))
    found = cover(looks_here, here, taught)
    return MeasuredCover(found, _notes(found, good, marks, colours), picture, good, laid.agreeing)


def _fit(picture: Decoded, region: Mask) -> Quality:
    good = quality(picture.pixels, region)
    require_fit(good)
    return good


def _scaled(marks: Marks, shrunk: float) -> Marks:
    """Return marks on the picture as it is worked on."""
    dabs = {name: tuple(_times(one, shrunk) for one in kind) for name, kind in marks.dabs.items()}
    region = tuple((x * shrunk, y * shrunk) for x, y in marks.region)
    return marks.model_copy(
        update={"region": region, "dabs": dabs, "white": _times(marks.white, shrunk) if marks.white else None}
    )


def _times(dab: tuple[float, float, float], shrunk: float) -> tuple[float, float, float]:
    x, y, radius = dab
    return x * shrunk, y * shrunk, radius * shrunk


def _seen(picture: Decoded, marks: Marks) -> tuple[Looks, Mapping[str, LabColour]]:
    """Return the looks of every pixel, balanced on white where it was marked, and the middle colour of each kind."""
    size = picture.pixels.shape[:2]
    gains = None
    if marks.white is not None:
        x, y, radius = marks.white
        patch = picture.pixels[disc_pixels((x, y), radius, *size)]
        if not patch.size:
            raise NoWhite("The white patch lies outside the picture.")
        gains = white_gains(patch)
    colours = lab(picture.pixels, gains)
    dabs = _dab_pixels(picture, marks)
    middles = {name: np.median(colours.reshape(-1, 3)[np.concatenate(kind)], axis=0) for name, kind in dabs.items()}
    return looks_of(colours), {name: (float(one[0]), float(one[1]), float(one[2])) for name, one in middles.items()}


def _dab_pixels(picture: Decoded, marks: Marks) -> dict[str, list[NDArray[np.intp]]]:
    size = picture.pixels.shape[:2]
    found: dict[str, list[NDArray[np.intp]]] = {}
    for name, kind in marks.dabs.items():
        for number, (x, y, radius) in enumerate(kind, start=1):
            rows, columns = disc_pixels((x, y), radius, *size)
            if not rows.size:
                raise MarksRefused(f"Dab {number} of “{name}” lies outside the picture.")
            found.setdefault(name, []).append(rows * size[1] + columns)
    return found


def _notes(found: Cover, good: Quality, marks: Marks, colours: Mapping[str, LabColour]) -> tuple[str, ...]:
    """Return what to bear in mind with the figures, in the keeper's words."""
    least = knowledge.figure("imaging.least_colour_difference").value
    alike = [
        (one, other)
        for one, other in combinations(colours, 2)
        if colour_difference(colours[one], colours[other]) < least
    ]
    few = [name for name, kind in marks.dabs.items() if len(kind) < knowledge.figure("imaging.fewest_dabs").value]
    notes = [
        f"“{one}” and “{other}” have nearly the same colour where you dabbed: what is told apart here is mostly chance."
        for one, other in alike[:_ALIKE_TOLD]
    ]
    if len(alike) > _ALIKE_TOLD:
        notes.append(f"So have {len(alike) - _ALIKE_TOLD} more pairs of kinds: dab fewer kinds.")
    if found.unlike_any > knowledge.figure("imaging.unlike_share").value:
        notes.append(
            f"{percent(found.unlike_any)} of the region looks like none of your dabs: dab what lies there too."
        )
    if few:
        notes.append(
            f"Few dabs of {', '.join(few)}: three or more, apart from each other, show how much one kind varies."
        )
    if good.is_soft:
        notes.append("The picture is soft: edges are less sure than the interval says.")
    if good.burnt_share > knowledge.figure("imaging.burnt_noted").value:
        notes.append(f"{percent(good.burnt_share)} of the picture is burnt out to plain white: take it darker.")
    if marks.white is None:
        notes.append("Nothing white was marked: these dabs cannot serve for another picture.")
    return tuple(notes)
