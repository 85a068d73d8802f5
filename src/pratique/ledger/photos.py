"""The photo store: pictures named by their content, with the place and everything else about the maker stripped."""

import hashlib
import io
import os
import re
import secrets
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from pratique.settings import CONFIG

# A picture of this many pixels takes about a third of a gigabyte of memory to decode.
PIXEL_CAP = 80_000_000
_TOO_LARGE = (
    f"This picture is too large: up to {PIXEL_CAP // 1_000_000} million pixels can be kept. Make it smaller first."
)
MEDIA_TYPES = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}
EXTENSIONS = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp"}
CLIP_EXTENSIONS = {"video/mp4": "mp4", "video/x-matroska": "mkv"}
KEPT_AS = (*EXTENSIONS.values(), *CLIP_EXTENSIONS.values())
_EXIF_TAKEN, _EXIF_SUB_IFD, _EXIF_CHANGED = 0x9003, 0x8769, 0x0132


class PhotoRefused(ValueError):
    """The bytes cannot be kept as a picture; the sentence says why."""


@dataclass(frozen=True, slots=True)
class KeptPhoto:
    """A picture in the store; `taken_at` is what its camera said, by a clock whose zone is not known."""

    sha256: str
    media_type: str
    width_px: int
    height_px: int
    taken_at: datetime | None


def keep_photo(content: bytes) -> KeptPhoto:
    """Keep a JPEG, PNG or WebP picture, turned upright and without its metadata; the same one twice is one file.

    Raises PhotoRefused.
    """
    try:
        return _keep(content)
    except PhotoRefused:
        raise
    except UnidentifiedImageError:
        raise PhotoRefused("This file is not a picture; choose a JPEG, PNG or WebP file.") from None
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise PhotoRefused(_TOO_LARGE) from None
    except (OSError, SyntaxError, ValueError) as error:
        raise PhotoRefused("This picture is damaged and cannot be read; take it or send it again.") from error


def photo_path(sha256: str) -> Path | None:
    """Return where the picture with this hash is kept, or None where there is none."""
    if not re.fullmatch(r"[0-9a-f]{64}", sha256):
        return None
    return next(photos_folder().joinpath(sha256[:2]).glob(f"{sha256}.*"), None)


def photos_folder() -> Path:
    """Return the folder of all pictures of this home."""
    return CONFIG.home / "photos"


def store(content: bytes, extension: str) -> str:
    """Write bytes under their SHA-256, wholly or not at all, on disk before it returns; return the hash."""
    sha256 = hashlib.sha256(content).hexdigest()
    folder = photos_folder() / sha256[:2]
    target = folder / f"{sha256}.{extension}"
    if target.exists():
        return sha256
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    draft = folder / f".{secrets.token_hex(8)}"
    with draft.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    draft.replace(target)
    for changed in (folder, folder.parent, folder.parent.parent):
        _sync_folder(changed)
    return sha256


def _sync_folder(folder: Path) -> None:
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _keep(content: bytes) -> KeptPhoto:
    with Image.open(io.BytesIO(content), formats=tuple(MEDIA_TYPES)) as picture:
        # Only the head has been read so far; nothing is decoded before the size is known to be bearable.
        if picture.width * picture.height > PIXEL_CAP:
            raise PhotoRefused(_TOO_LARGE)
        kind = str(picture.format)
        taken_at = _taken_at(picture.getexif())
        upright = _plain_pixels(ImageOps.exif_transpose(picture), kind)
    out = io.BytesIO()
    upright.save(out, kind, quality=90)
    media_type = MEDIA_TYPES[kind]
    sha256 = store(out.getvalue(), EXTENSIONS[media_type])
    return KeptPhoto(sha256, media_type, upright.width, upright.height, taken_at)


def _plain_pixels(picture: Image.Image, kind: str) -> Image.Image:
    """Return the pixels alone, in sRGB, so that no profile, comment or place can travel with them."""
    mode = "RGBA" if kind != "JPEG" and picture.has_transparency_data else "RGB"
    profile = picture.info.get("icc_profile")
    plain = picture.convert(mode)
    if profile and picture.mode in {"RGB", "RGBA"}:
        try:
            plain = _in_srgb(plain, profile, mode)
        except (ImageCms.PyCMSError, OSError):
            # A broken profile only shifts the colours a little; the picture is worth more than the shift.
            plain = plain.copy()
    plain.info.clear()
    return plain


def _in_srgb(picture: Image.Image, profile: bytes, mode: str) -> Image.Image:
    srgb = ImageCms.createProfile("sRGB")
    turned = ImageCms.profileToProfile(picture, ImageCms.ImageCmsProfile(io.BytesIO(profile)), srgb, outputMode=mode)
    return picture if turned is None else turned


def _taken_at(exif: Image.Exif) -> datetime | None:
    said = exif.get_ifd(_EXIF_SUB_IFD).get(_EXIF_TAKEN) or exif.get(_EXIF_CHANGED)
    try:
        return datetime.strptime(str(said).strip("\0 "), "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007 - a camera names no zone
    except ValueError:
        return None
