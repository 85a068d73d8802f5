"""Draw the pictures the demo ships, and the clips of the examples; measure the cover as the demo's ledger has it.

    PYTHONPATH=. .venv/bin/python tools/draw_demo_pictures.py

Nobody photographed these: tests/builders draws them, from a seed. A test measures them anew and compares.
"""

import json
import os
import tempfile
from pathlib import Path

from tests.builders.drawn_clips import DrawnClip, mp4_of
from tests.builders.drawn_tanks import DrawnTank, drawn_tank

ROOT = Path(__file__).resolve().parent.parent
PICTURES = ROOT / "src" / "pratique" / "demo" / "pictures"
EXAMPLES = ROOT / "examples"

SEED = 23
# Name, day of the story, share of the picture under the brown film; the last one is left for the visitor to measure.
DRAWN = (
    ("first", 26, 0.28),
    ("spread", 33, 0.38),
    ("siphoned", 34, 0.07),
    ("back", 35, 0.30),
    ("newest", 37, 0.33),
)
# One pixel of these clips is a micrometre.
CLIPS = {
    "gliding.mp4": ("gliding", 10.0, 4.0),
    "spinning.mp4": ("spinning", 60.0, 1.5),
}


def main() -> None:
    """Write the pictures, their marks and their cover, and the clips."""
    tanks = {
        name: drawn_tank(SEED, day=day, moved=name != "first", quality=78, brown=share) for name, day, share in DRAWN
    }
    for name, tank in tanks.items():
        (PICTURES / f"{name}.jpg").write_bytes(tank.jpeg)
    (PICTURES / "sand.json").write_text(json.dumps(_measured(tanks), indent=1) + "\n", "utf-8")
    for name, (way, speed_um_per_s, ratio) in CLIPS.items():
        clip = DrawnClip(way, speed_um_per_s, 1.0, width=400, height=300, length_um=34.0, ratio=ratio, seed=4)
        (EXAMPLES / name).write_bytes(mp4_of(clip))


def _measured(tanks: dict[str, DrawnTank]) -> dict[str, object]:
    from pratique.casework.measuring.cover import measure_cover  # noqa: PLC0415 - once it has a home
    from pratique.casework.measuring.cover_marks import read_marks  # noqa: PLC0415

    first = tanks["first"]
    marks = read_marks(json.dumps(_rounded(first.marks())))
    covers = {}
    for name, tank in tanks.items():
        if name != "newest":
            found = measure_cover(tank.jpeg, marks, None if tank is first else first.jpeg)
            covers[name] = {
                kind: [round(part, 3) for part in (share.low, share.fraction, share.high)]
                for kind, share in found.found.shares.items()
            }
    return {"marks": json.loads(marks.model_dump_json()), "cover": covers}


def _rounded(told: object) -> object:
    """Return marks as taps give them, to a tenth of a pixel."""
    match told:
        case dict():
            return {name: _rounded(one) for name, one in told.items()}
        case list() | tuple():
            return [_rounded(one) for one in told]
        case float():
            return round(told, 1)
    return told


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as home:
        os.environ["PRATIQUE_HOME"] = home
        os.environ["DJANGO_SETTINGS_MODULE"] = "pratique.settings"
        main()
