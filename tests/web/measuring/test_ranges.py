"""`/photos/…`: a stored clip or photo given whole or in the part that was asked for (RFC 9110, 14.2)."""

from pathlib import Path

import pytest
from django.http import HttpResponse
from tests.web.measuring.case import a_kept_clip, a_photo, tank

CLIP = Path(__file__).parents[3] / "examples" / "gliding.mp4"


@pytest.fixture(params=["clip", "photo"])
def stored(request, keeper) -> tuple[str, bytes, str]:
    """Return the address of a stored file, what is in it, and its media type."""
    if request.param == "clip":
        return f"/photos/{a_kept_clip(CLIP.read_bytes())}", CLIP.read_bytes(), "video/mp4"
    return f"/photos/{a_photo(tank().jpeg)}", tank().jpeg, "image/jpeg"


def body_of(response: HttpResponse) -> bytes:
    """Return all that was sent."""
    return b"".join(response.streaming_content) if response.streaming else response.content


@pytest.mark.parametrize(
    ("asked", "part", "told"),
    [
        ("bytes=0-9", slice(0, 10), "bytes 0-9/{size}"),
        ("bytes=0-0", slice(0, 1), "bytes 0-0/{size}"),
        ("bytes=700-1199", slice(700, 1200), "bytes 700-1199/{size}"),
        ("bytes=700-", slice(700, None), "bytes 700-{last}/{size}"),
        ("bytes=0-", slice(0, None), "bytes 0-{last}/{size}"),
        ("bytes=700-999999999", slice(700, None), "bytes 700-{last}/{size}"),
    ],
)
def test_the_part_asked_for_is_given(keeper, stored, asked, part, told):
    """206 with these bytes alone, and where they lie; past the end there is no more to give."""
    address, content, media_type = stored
    response = keeper.get(address, HTTP_RANGE=asked)
    assert response.status_code == 206
    assert body_of(response) == content[part]
    assert response.headers["Content-Range"] == told.format(size=len(content), last=len(content) - 1)
    assert response.headers["Content-Type"] == media_type
    assert int(response.headers["Content-Length"]) == len(content[part])


def test_parts_put_together_are_the_file(keeper, stored):
    """As a phone asks for a clip while it plays."""
    address, content, _ = stored
    parts = [
        body_of(keeper.get(address, HTTP_RANGE=f"bytes={first}-{first + 9999}"))
        for first in range(0, len(content), 10_000)
    ]
    assert b"".join(parts) == content


def test_a_part_beyond_the_end_is_refused_with_the_size(keeper, stored):
    """416, so that a player asks again within the file."""
    address, content, _ = stored
    response = keeper.get(address, HTTP_RANGE=f"bytes={len(content)}-")
    assert (response.status_code, body_of(response)) == (416, b"")
    assert response.headers["Content-Range"] == f"bytes */{len(content)}"


@pytest.mark.parametrize(
    "asked",
    [
        "",
        "bytes",
        "bytes=",
        "bytes=x-y",
        "pages=1-2",
        "bytes=-",
        "bytes=3.5-9",
        "0-9",
        "bytes=9-3",
        f"bytes={'9' * 5000}-",
        f"bytes=0-{'9' * 5000}",
    ],
)
def test_nonsense_is_answered_with_the_whole(keeper, stored, asked):
    """As if nothing had been asked for."""
    address, content, media_type = stored
    response = keeper.get(address, HTTP_RANGE=asked)
    assert response.status_code == 200
    assert body_of(response) == content
    assert "Content-Range" not in response.headers
    assert response.headers["Content-Type"] == media_type


def test_the_file_says_that_parts_may_be_asked_for_and_that_it_never_changes(keeper, stored):
    """Its name is its content's hash; only this browser keeps it."""
    response = keeper.get(stored[0])
    body_of(response)
    assert response.headers["Accept-Ranges"] == "bytes"
    assert "immutable" in response.headers["Cache-Control"]
    assert "private" in response.headers["Cache-Control"]


def test_no_part_is_given_of_a_file_that_is_not_kept(keeper):
    """A strange hash and a strange name."""
    for unknown in ("0" * 64, "passphrase"):
        assert keeper.get(f"/photos/{unknown}", HTTP_RANGE="bytes=0-9").status_code == 404
