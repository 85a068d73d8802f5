"""Photos and clips of the brown dust, its pages as text, and what a browser without script sends from them."""

import io
import re
from functools import cache
from html import unescape
from html.parser import HTMLParser

import numpy as np
from django.test import Client
from numpy.typing import NDArray
from PIL import Image
from tests.builders.drawn_tanks import DrawnTank, drawn_tank
from tests.web.writing.household import newest, put

from pratique.ledger.entries import new_entry_id
from pratique.ledger.kinds.care import Photo
from pratique.ledger.kinds.measured import Clip
from pratique.ledger.kinds.payload import Payload
from pratique.ledger.photos import store

CASE = "brown-dust"
SUBJECTS = (f"case/{CASE}",)
WRITE_IT = "Write it into the ledger"


@cache
def tank(seed: int = 8, *, day: int = 0, moved: bool = False) -> DrawnTank:
    """Return a drawn tank; seed 8 is the one that ships as an example."""
    return drawn_tank(seed, day=day, moved=moved, quality=80)


def a_photo(content: bytes, *, days_ago: float = 1.0) -> str:
    """Keep a photo of the brown dust as it came, and return its hash."""
    with Image.open(io.BytesIO(content)) as picture:
        kind, (width, height) = str(picture.format).lower(), picture.size
    sha256 = store(content, {"jpeg": "jpg"}.get(kind, kind))
    photo = Photo(sha256=sha256, media_type=f"image/{kind}", width_px=width, height_px=height, subjects=SUBJECTS)
    put(photo, days_ago=days_ago)
    return sha256


def a_kept_clip(content: bytes, *, size: tuple[int, int] = (320, 240), days_ago: float = 1.0) -> str:
    """Keep a clip of the brown dust as it came, and return its hash."""
    sha256 = store(content, "mp4")
    width, height = size
    clip = Clip(sha256=sha256, media_type="video/mp4", width_px=width, height_px=height, seconds=4.0, subjects=SUBJECTS)
    put(clip, days_ago=days_ago)
    return sha256


def marks_as_text(drawn: DrawnTank) -> str:
    """Return the marks of a drawn tank as a keeper may type them."""
    lines = {"region": drawn.region, **drawn.dabs, "white": [drawn.white]}
    return "\n".join(
        f"{name}: {'; '.join(' '.join(f'{one:.1f}' for one in place) for place in places)}"
        for name, places in lines.items()
    )


class Page(str):
    """A page as text, every space plain and single; `html` is the page as it came."""

    html: str

    def __new__(cls, html: str) -> "Page":
        """Return the text of a page."""
        page = super().__new__(cls, re.sub(r"\s+", " ", unescape(html)))
        page.html = html
        return page


def shown(client: Client, path: str, **given: str | list[str]) -> Page:
    """Return the page at an address."""
    response = client.get(path, given)
    assert response.status_code == 200
    return Page(response.content.decode())


def picture_of(page: str, name: str) -> str:
    """Return the address of the picture on a page whose address holds a name."""
    return next(one for one in re.findall(r'<img[^>]*src="([^"]*)"', page) if name in one)


def jpeg_of(pixels: NDArray[np.uint8]) -> bytes:
    """Return pixels (height, width, 3) as a phone's JPEG."""
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=90)
    return out.getvalue()


def link_of(page: str, words: str) -> str:
    """Return where the link with these words leads; nothing where there is none."""
    found = re.search(rf'<a[^>]*href="([^"]*)"[^>]*>\s*{re.escape(words)}', page)
    return found[1] if found else ""


def write_it(client: Client, page: Page) -> Payload | None:
    """Follow the way into the ledger, send the form as it comes filled in, and return what was written."""
    address = link_of(page, WRITE_IT)
    assert address, "no way into the ledger is offered"
    response = client.post(address, {**sent_from(shown(client, address)), "entry_id": str(new_entry_id())})
    assert response.status_code == 303
    return newest()[0].payload


def sent_from(page: Page) -> dict[str, list[str]]:
    """Return what a browser without script would send from the boxes of a page, none of them touched."""
    boxes = _Boxes()
    boxes.feed(page.html)
    return boxes.sent


class _Boxes(HTMLParser):
    """Every box of a page that has a name, with what stands in it."""

    def __init__(self) -> None:
        super().__init__()
        self.sent: dict[str, list[str]] = {}
        self._text_of = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take what an input holds, or begin a longer text."""
        told = dict(attrs)
        name = told.get("name") or ""
        is_left_out = told.get("type") in {"radio", "checkbox"} and "checked" not in told
        if tag == "input" and name and told.get("type") != "file" and not is_left_out:
            self.sent.setdefault(name, []).append(told.get("value") or "")
        elif tag == "textarea":
            self._text_of = name
            self.sent[name] = [""]

    def handle_data(self, data: str) -> None:
        """Take what stands in a longer text."""
        if self._text_of:
            self.sent[self._text_of][0] += data

    def handle_endtag(self, tag: str) -> None:
        """End a longer text."""
        if tag == "textarea":
            self._text_of = ""
