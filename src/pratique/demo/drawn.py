"""Pictures no camera took: sand under a brown film on several days, drawn by code, and what was measured on them.

They were made by tools/draw_demo_pictures.py, which holds how.
"""

import hashlib
import json
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from pratique.ledger.kinds.measured import CoverShare

WIDTH_PX, HEIGHT_PX = 800, 600

_FOLDER = files("pratique.demo").joinpath("pictures")
# In the order they were taken; the marks stand on the first.
PICTURES = ("first", "spread", "siphoned", "back", "newest")


@dataclass(frozen=True)
class Sand:
    """The keeper's marks on the first picture, as JSON, and the cover measured by them on each but the newest."""

    marks: str
    shares: dict[str, tuple[CoverShare, ...]]


@cache
def picture(name: str) -> bytes:
    """Return a picture as JPEG."""
    return _FOLDER.joinpath(f"{name}.jpg").read_bytes()


@cache
def sha256_of(name: str) -> str:
    """Return the name under which a picture is stored."""
    return hashlib.sha256(picture(name)).hexdigest()


@cache
def sand() -> Sand:
    """Return what was measured on the pictures."""
    told = json.loads(_FOLDER.joinpath("sand.json").read_text(encoding="utf-8"))
    shares = {
        name: tuple(
            CoverShare(name=kind, low=low, fraction=fraction, high=high)
            for kind, (low, fraction, high) in kinds.items()
        )
        for name, kinds in told["cover"].items()
    }
    return Sand(json.dumps(told["marks"]), shares)
