"""What was measured of a growth goes out of the ledger and back in unchanged."""

from pathlib import Path

import pytest
from tests.ledger.builders import a_household_for_a_while, an_entry, harbour_row
from tests.ledger.pictures import a_picture

from pratique.ledger.append import append
from pratique.ledger.archive import export, restore
from pratique.ledger.kinds.care import GrowthCase, Photo
from pratique.ledger.kinds.measured import Cells, Clip, Cover, CoverShare, Motion
from pratique.ledger.kinds.payload import Payload
from pratique.ledger.photos import keep_photo, photo_path, store
from pratique.ledger.queries import entries_about
from pratique.ledger.verify import verify
from pratique.settings import CONFIG

pytestmark = pytest.mark.django_db

CLIP = Path(__file__).parents[2] / "examples" / "gliding.mp4"
SUBJECT = "case/brown-dust"


def measured(photo: str) -> list[Payload]:
    """Return one of each kind of measurement."""
    shares = (
        CoverShare(name="sand", fraction=0.666, low=0.63, high=0.7),
        CoverShare(name="brown", fraction=0.223, low=0.203, high=0.243),
    )
    return [
        Cover(case="brown-dust", photo=photo, by="dabs", shares=shares, marks='{"region": [[1, 1], [9, 1], [9, 9]]}'),
        Cells(case="brown-dust", photo=photo, lengths_um=(44.3, 1e-07), widths_um=(11.0, 0.5), um_per_px=0.4998),
        Motion(
            case="brown-dust",
            manner="not told",
            median_um_per_s=27.25,
            q05_um_per_s=0.0,
            q95_um_per_s=31.0,
            moving_fraction=1.0,
            tracks=12,
            um_per_px=0.5,
            minutes_old=12.5,
            words="Fast gliders, or slow swimmers — 濁り.",
        ),
    ]


def a_photo() -> Photo:
    """Keep a picture of the dust."""
    kept = keep_photo(a_picture("PNG"))
    return Photo(
        sha256=kept.sha256,
        media_type="image/png",
        width_px=kept.width_px,
        height_px=kept.height_px,
        subjects=(SUBJECT,),
    )


def a_clip() -> Clip:
    """Keep a clip of the dust."""
    sha256 = store(CLIP.read_bytes(), "mp4")
    return Clip(sha256=sha256, media_type="video/mp4", width_px=320, height_px=240, seconds=4.0, subjects=(SUBJECT,))


def write(*payloads: Payload) -> None:
    """Set the household up with a growth, and write these about it, an hour apart."""
    case = GrowthCase(key="brown-dust", name="Brown dust", system="skerry")
    append([*harbour_row(), an_entry(case, hours=2)])
    append([an_entry(one, hours=3.0 + number) for number, one in enumerate(payloads)])


def test_measurements_come_back_as_they_were(home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every share, length and speed of them, found by the growth they are about; and the ledger proves clean."""
    with a_household_for_a_while():
        photo = a_photo()
        told = measured(photo.sha256)
        clip = a_clip()
        write(photo, clip, *told)
        export(tmp_path / "out")
    monkeypatch.setattr(CONFIG, "home", tmp_path / "another home")
    restore(tmp_path / "out")
    assert [one.payload for one in entries_about(SUBJECT, ["cover", "cells", "motion"])] == told
    assert photo_path(clip.sha256).read_bytes() == CLIP.read_bytes()
    assert verify().problems == ()


@pytest.mark.usefixtures("home")
def test_a_clip_that_was_lost_or_changed_is_noticed() -> None:
    """As a photo is."""
    clip = a_clip()
    write(clip)
    assert verify().problems == ()
    photo_path(clip.sha256).write_bytes(b"another")
    (changed,) = verify().problems
    assert "has a clip that was changed after it was kept." in changed
    photo_path(clip.sha256).unlink()
    (lost,) = verify().problems
    assert "has lost its clip" in lost
