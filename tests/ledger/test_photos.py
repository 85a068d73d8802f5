"""Pictures are kept by their content: upright, without the place, once."""

import hashlib
import zlib
from datetime import datetime
from pathlib import Path

import pytest
from PIL import Image
from tests.ledger.pictures import a_camera_picture, a_picture

from pratique.ledger import photos
from pratique.ledger.photos import PhotoRefused, keep_photo, photo_path


@pytest.mark.parametrize(("kind", "media_type"), [("JPEG", "image/jpeg"), ("PNG", "image/png"), ("WEBP", "image/webp")])
def test_a_picture_is_kept_under_its_hash(home: Path, kind: str, media_type: str) -> None:
    """The name of the file is the hash of what is in it."""
    kept = keep_photo(a_picture(kind))
    path = photo_path(kept.sha256)
    assert path is not None
    assert path.parent == home / "photos" / kept.sha256[:2]
    assert hashlib.sha256(path.read_bytes()).hexdigest() == kept.sha256
    assert (kept.media_type, kept.width_px, kept.height_px, kept.taken_at) == (media_type, 40, 20, None)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_place_maker_and_all_else_are_stripped(home: Path, kind: str) -> None:
    """Nothing of the metadata is left in the file, not even its bytes."""
    path = photo_path(keep_photo(a_camera_picture(kind)).sha256)
    assert path is not None
    with Image.open(path) as picture:
        assert dict(picture.getexif()) == {}
        assert not {"exif", "icc_profile", "comment", "xmp"} & set(picture.info)
    assert b"a maker" not in path.read_bytes()


def test_a_picture_lying_on_its_side_is_set_upright(home: Path) -> None:
    """The camera's note of how it was held is applied to the pixels before it is dropped."""
    kept = keep_photo(a_camera_picture("PNG"))
    path = photo_path(kept.sha256)
    assert path is not None
    assert (kept.width_px, kept.height_px) == (20, 40)
    with Image.open(path) as picture:
        # The left half was white; turned a quarter clockwise it is the upper half.
        assert picture.getpixel((10, 5)) == (255, 255, 255)
        assert picture.getpixel((10, 35)) != (255, 255, 255)


def test_when_it_was_taken_is_offered(home: Path) -> None:
    """As the camera's clock had it, without a zone, for the keeper to accept or not."""
    assert keep_photo(a_camera_picture()).taken_at == datetime(2026, 11, 3, 18, 30, 5)  # noqa: DTZ001 - as offered


@pytest.mark.parametrize("taken", ["0000:00:00 00:00:00", "yesterday", ""])
def test_a_senseless_time_is_not_offered(home: Path, taken: str) -> None:
    """A camera whose clock was never set says nothing."""
    assert keep_photo(a_camera_picture(taken=taken)).taken_at is None


def test_the_same_picture_twice_is_one_file(home: Path) -> None:
    """Sending again changes nothing."""
    first, again = keep_photo(a_camera_picture()), keep_photo(a_camera_picture())
    assert first == again
    assert len([path for path in (home / "photos").rglob("*") if path.is_file()]) == 1


@pytest.mark.parametrize("content", [b"", b"hello", b"%PDF-1.7", b"<svg xmlns='http://www.w3.org/2000/svg'/>"])
def test_what_is_not_a_picture_is_refused(home: Path, content: bytes) -> None:
    """The sentence says what can be chosen."""
    with pytest.raises(PhotoRefused, match="choose a JPEG, PNG or WebP file"):
        keep_photo(content)


def test_other_kinds_of_picture_are_refused(home: Path) -> None:
    """A GIF is a picture, but not one that is kept here."""
    with pytest.raises(PhotoRefused, match="choose a JPEG, PNG or WebP file"):
        keep_photo(a_picture("GIF"))


def test_a_damaged_picture_is_refused(home: Path) -> None:
    """Half a file is not kept, and no half-written file stays behind."""
    whole = a_picture("PNG", size=(400, 300))
    with pytest.raises(PhotoRefused, match="damaged"):
        keep_photo(whole[: len(whole) // 2])
    assert not (home / "photos").exists()


@pytest.mark.parametrize("side", [9_400, 20_000])
def test_a_huge_picture_is_refused_before_it_is_decoded(home: Path, side: int) -> None:
    """A few bytes that would unfold to gigabytes are turned away by what their head says."""
    content = bytearray(a_picture("PNG"))
    head = b"IHDR" + side.to_bytes(4) + side.to_bytes(4) + content[24:29]
    content[12:33] = head + zlib.crc32(head).to_bytes(4)
    with pytest.raises(PhotoRefused, match="too large"):
        keep_photo(bytes(content))


def test_the_pixel_cap_holds(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A picture of just too many pixels is refused, one of just enough is kept."""
    monkeypatch.setattr(photos, "PIXEL_CAP", 800)
    assert keep_photo(a_picture(size=(40, 20))).width_px == 40
    with pytest.raises(PhotoRefused, match="too large"):
        keep_photo(a_picture(size=(41, 20)))


@pytest.mark.parametrize("sha256", ["../../etc/passwd", "*", "", "A" * 64, "0" * 64])
def test_only_hashes_of_kept_pictures_lead_to_files(home: Path, sha256: str) -> None:
    """Nothing else is ever looked up on the disk."""
    assert photo_path(sha256) is None
