"""Cover on a photograph of 12 million pixels, beside the plain way with two general libraries."""

import io
import json
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from PIL import Image
from tests.builders.drawn_tanks import DrawnTank, drawn_tank, true_cover

from benchmarks.duels import Duel
from pratique.casework.measuring.cover import measure_cover
from pratique.casework.measuring.cover_marks import read_marks
from pratique.science.imaging.regions import disc_pixels, region_mask

SEED, WIDTH, HEIGHT, QUALITY = 3, 4000, 3000, 90
# A child counts its parent's memory from before it became itself: the parent must be a small process.
_PEAK = (
    "import resource, subprocess, sys; subprocess.run(sys.argv[1:], check=True, stdout=subprocess.DEVNULL); "
    "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
)
_TREES, _DEPTH, _SLICE = 50, 10, 1_000_000


def _plainly(tank: DrawnTank) -> dict[str, float]:
    """Return the cover by every pixel's CIELAB and its blurred surroundings, and a forest taught by the dabs."""
    from skimage.color import rgb2lab  # noqa: PLC0415 - slow to load, and not ours
    from skimage.filters import gaussian  # noqa: PLC0415
    from sklearn.ensemble import RandomForestClassifier  # noqa: PLC0415

    lab = rgb2lab(np.asarray(Image.open(io.BytesIO(tank.jpeg)))).astype(np.float32)
    looks = np.concatenate([lab, gaussian(lab, sigma=4, channel_axis=2)], axis=2)
    taught, kinds = [], []
    for name, dabs in tank.dabs.items():
        for x, y, radius in dabs:
            pixels = looks[disc_pixels((x, y), radius, *lab.shape[:2])]
            taught.append(pixels)
            kinds += [name] * len(pixels)
    forest = RandomForestClassifier(_TREES, max_depth=_DEPTH, n_jobs=2, random_state=1)
    forest.fit(np.concatenate(taught), kinds)
    inside = looks[region_mask(tank.region, *lab.shape[:2])]
    found = np.concatenate([forest.predict(inside[at : at + _SLICE]) for at in range(0, len(inside), _SLICE)])
    return {str(name): float((found == name).mean()) for name in tank.dabs}


def _peak_mb(tank: DrawnTank) -> float:
    """Return the most memory the command holds, itself or the process it decodes in."""
    with tempfile.TemporaryDirectory() as folder:
        photo, marks = Path(folder) / "tank.jpg", Path(folder) / "marks.json"
        photo.write_bytes(tank.jpeg)
        marks.write_text(json.dumps(tank.marks()))
        command = [sys.executable, "-m", "pratique", "measure", "cover", str(photo), "--marks", str(marks), "--json"]
        told = subprocess.run([sys.executable, "-c", _PEAK, *command], check=True, capture_output=True, text=True)
    return int(told.stdout) / 1024


def cover_of_twelve_million() -> Duel:
    """From the JPEG file to the interval of every kind."""
    tank = drawn_tank(SEED, width=WIDTH, height=HEIGHT, quality=QUALITY)
    marks = read_marks(json.dumps(tank.marks()))

    def apart() -> str:
        truth = true_cover(tank)
        ours = {name: one.fraction for name, one in measure_cover(tank.jpeg, marks).found.shares.items()}
        off, theirs = (max(abs(found[name] - truth[name]) for name in truth) for found in (ours, _plainly(tank)))
        return (
            f"worst of {len(truth)} kinds: ours {100 * off:.1f} points off the truth, theirs {100 * theirs:.1f}; "
            f"the command at most {_peak_mb(tank):.0f} MB (bar 800)"
        )

    return Duel(
        what="cover of a 12-megapixel JPEG (bar 3,000 ms)",
        peer=f"scikit-image CIELAB and blur, scikit-learn forest of {_TREES} trees",
        bar="at least 3 times",
        ours=lambda: measure_cover(tank.jpeg, marks),
        theirs=lambda: _plainly(tank),
        rounds=3,
        apart=apart,
    )


DUELS = (cover_of_twelve_million,)
