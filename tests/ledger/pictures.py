"""Small pictures drawn by code, with or without what a camera writes into them."""

import io

from PIL import Image
from PIL.TiffImagePlugin import IFDRational

_TAKEN, _MAKER, _ORIENTATION, _GPS, _EXIF = 0x9003, 0x010F, 0x0112, 0x8825, 0x8769


def a_picture(kind: str = "PNG", *, size: tuple[int, int] = (40, 20), colour: str = "teal") -> bytes:
    """Return a plain picture, its left half another colour."""
    out = io.BytesIO()
    _drawn(size, colour).save(out, kind)
    return out.getvalue()


def a_camera_picture(kind: str = "JPEG", *, taken: str = "2026:11:03 18:30:05") -> bytes:
    """Return a picture lying on its side, with a place, a maker and a time in its metadata."""
    exif = Image.Exif()
    exif[_ORIENTATION] = 6
    exif[_MAKER] = "a maker"
    exif.get_ifd(_EXIF)[_TAKEN] = taken
    exif.get_ifd(_GPS).update({1: "N", 2: (IFDRational(50), IFDRational(22), IFDRational(0))})
    out = io.BytesIO()
    _drawn((40, 20), "teal").save(out, kind, exif=exif)
    return out.getvalue()


def _drawn(size: tuple[int, int], colour: str) -> Image.Image:
    picture = Image.new("RGB", size, colour)
    picture.paste("white", (0, 0, size[0] // 2, size[1]))
    return picture
