"""Files fed to the decoder: good ones come out upright and small enough, hostile ones as a sentence."""

import io
import struct
import zlib

import av
import pytest
from PIL import Image
from tests.builders.clips import a_clip

from pratique.casework.measuring.decoding import NotDecoded, bare_clip, decode_picture, decoding_clip

MOST = 3_000_000


def a_picture(kind: str, size: tuple[int, int] = (40, 20), **more: object) -> bytes:
    """Return a picture whose upper left quarter is red."""
    picture = Image.new("RGB", size, "teal")
    picture.paste("red", (0, 0, size[0] // 2, size[1] // 2))
    out = io.BytesIO()
    picture.save(out, kind, **more)
    return out.getvalue()


def a_bomb(width: int, height: int) -> bytes:
    """Return a PNG whose head promises far more than its few bytes hold."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(999))) + chunk(b"IEND", b"")


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP"])
def test_a_picture_keeps_its_pixels_where_they_are_few(kind):
    """Red in the corner, and nothing is made smaller."""
    found = decode_picture(a_picture(kind), MOST)
    assert found.pixels.shape == (20, 40, 3)
    assert found.shrunk == 1.0
    assert found.pixels[2, 2, 0] > 200
    assert found.pixels[15, 30, 0] < 60


def test_a_large_picture_is_made_smaller_and_says_by_how_much():
    """8 million pixels at no more than 2."""
    found = decode_picture(a_picture("JPEG", (4000, 2000)), 2_000_000)
    assert found.pixels.shape == (1000, 2000, 3)
    assert found.shrunk == 0.5
    assert (found.width_px, found.height_px) == (4000, 2000)


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP"])
def test_a_picture_taken_on_its_side_is_turned_upright(kind):
    """Orientation 6 of EXIF: the right side of what was stored is at the bottom; the red corner is now upper right."""
    turned = Image.Exif()
    turned[0x0112] = 6
    found = decode_picture(a_picture(kind, exif=turned), MOST)
    assert found.pixels.shape == (40, 20, 3)
    assert (found.width_px, found.height_px) == (20, 40)
    assert found.pixels[3, 17, 0] > 200


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"brown dust on the sand", "not a picture"),
        (a_picture("JPEG")[:200], "damaged"),
        (a_picture("GIF"), "choose a JPEG, PNG or WebP"),
        (a_bomb(50_000, 50_000), "up to 80 million"),
        (a_bomb(10_000, 10_000), "up to 80 million"),
        (a_bomb(8_900, 8_900), "damaged"),
        (bytes(60_000_001), "larger than 60 MB"),
    ],
    ids=["empty", "text", "cut off", "another kind", "bomb", "100 MP", "promises too much", "huge"],
)
def test_what_is_no_picture_is_refused_in_words(content, words):
    """A clear sentence, and what would be right."""
    with pytest.raises(NotDecoded, match=words):
        decode_picture(content, MOST)


def test_frames_come_in_order_with_the_times_of_the_file():
    """A phone films unevenly: 0, 40, 80, 200 ms."""
    with decoding_clip(a_clip([0, 40, 80, 200])) as frames:
        found = list(frames)
    assert [one.time_s for one in found] == pytest.approx([0.0, 0.04, 0.08, 0.2], abs=0.002)
    levels = [float(one.grey.mean()) for one in found]
    assert levels == sorted(levels)
    assert found[0].grey.shape == (48, 64)
    assert found[0].shrunk == 1.0


def test_whoever_stops_looking_stops_the_decoder():
    """The first frame is enough."""
    with decoding_clip(a_clip([0, 40, 80])) as frames:
        assert next(frames).time_s == 0.0


PLAYLIST = b"#EXTM3U\n#EXT-X-TARGETDURATION:10\n#EXTINF:10,\nfile:///etc/hostname\n#EXT-X-ENDLIST\n"


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"boats", "not a clip"),
        (a_picture("JPEG"), "not a clip"),
        (PLAYLIST, "not a clip"),
        (a_clip([0, 40, 80])[:300], "not a clip"),
    ],
    ids=["empty", "text", "a picture", "a list of other files", "cut off"],
)
def test_what_is_no_clip_is_refused_in_words(content, words):
    """A list of other files is never followed."""
    with pytest.raises(NotDecoded, match=words), decoding_clip(content) as frames:
        list(frames)


def test_a_clip_is_kept_without_sound_place_and_maker():
    """What a phone writes beside the pictures is gone; the pictures and their times stay."""
    filmed = a_clip([0, 40, 80, 200], words={"location": "+50.3660-004.1430/", "comment": "a maker"}, with_sound=True)
    with av.open(io.BytesIO(filmed)) as before:
        assert before.streams.audio
        assert "comment" in before.metadata
    assert b"loci" in filmed  # the box in which a phone keeps the place
    bare = bare_clip(filmed)
    with av.open(io.BytesIO(bare.content)) as after:
        assert not after.streams.audio
        assert not {"location", "comment"} & set(after.metadata)
    assert b"loci" not in bare.content
    assert (bare.width_px, bare.height_px, bare.media_type) == (64, 48, "video/mp4")
    assert bare.seconds == pytest.approx(0.2, abs=0.002)
    with decoding_clip(bare.content) as frames:
        assert [one.time_s for one in frames] == pytest.approx([0.0, 0.04, 0.08, 0.2], abs=0.002)


@pytest.mark.parametrize("content", [b"boats", PLAYLIST, a_picture("PNG")], ids=["text", "a list", "a picture"])
def test_what_is_no_clip_is_not_kept(content):
    """The same sentence as where it is measured."""
    with pytest.raises(NotDecoded, match="not a clip"):
        bare_clip(content)
