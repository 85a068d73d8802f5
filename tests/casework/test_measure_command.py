"""`pratique measure`: figures for a terminal and for a script, and bad files as one sentence."""

import json
from pathlib import Path

import numpy as np
import pytest
import typer
from PIL import Image
from tests.builders.drawn_clips import DrawnClip, mp4_of
from tests.builders.drawn_tanks import drawn_tank, true_cover
from typer.testing import CliRunner, Result

from pratique.cli import measure

EXAMPLE, MARKS = Path("examples/brown_sand.jpg"), Path("examples/brown_sand_marks.json")


def run(*arguments: object) -> Result:
    """Run the command."""
    app = typer.Typer()
    measure.register(app)
    app.command("other")(lambda: None)
    return CliRunner().invoke(app, ["measure", *(str(one) for one in arguments)])


def test_a_script_gets_each_kind_with_its_interval():
    """The example is a drawn tank, so what is on it is known."""
    told = json.loads(run("cover", EXAMPLE, "--marks", MARKS, "--json").stdout)
    truth = true_cover(drawn_tank(8, quality=80))
    assert set(told["cover"]) == set(truth)
    for name, share in truth.items():
        found = told["cover"][name]
        assert found["low"] <= found["fraction"] <= found["high"]
        assert found["fraction"] == pytest.approx(share, abs=0.02)


def test_a_terminal_gets_percentages_and_pictures_to_check(tmp_path):
    """One line to a kind, and a picture of each to check by eye."""
    overlay = tmp_path / "seen"
    said = run("cover", EXAMPLE, "--marks", MARKS, "--overlay", overlay)
    assert said.exit_code == 0
    assert "brown (" in said.stdout
    with Image.open(overlay / "brown.jpg") as tinted, Image.open(EXAMPLE) as photo:
        assert tinted.size == photo.size


def test_a_picture_is_measured_by_the_marks_of_an_earlier_one(tmp_path):
    """The camera moved, the light changed, and there is less of it."""
    later = drawn_tank(8, day=3, moved=True)
    (tmp_path / "later.jpg").write_bytes(later.jpeg)
    found = run("cover", tmp_path / "later.jpg", "--marks", MARKS, "--marked-on", EXAMPLE, "--json")
    told = json.loads(found.stdout)
    assert told["matches_agreeing"] >= 25
    for name, share in true_cover(later).items():
        assert told["cover"][name]["fraction"] == pytest.approx(share, abs=0.03)


def marks(**changed: object) -> str:
    """Return the example's marks, some of them changed or, with None, left out."""
    told = json.loads(MARKS.read_text())
    told.update(changed)
    return json.dumps({key: value for key, value in told.items() if value is not None})


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("brown", "This is not JSON"),
        ("[]", "Marks look so"),
        (marks(region=None), "“region” is missing"),
        (marks(regions=[]), "Marks have no “regions”"),
        (marks(region=[[1, 1], [2, 2]]), "“region”"),
        (marks(dabs={"sand": [[400, 300, 5]]}), "at least two kinds"),
        (marks(dabs={"sand": [[400, 300, 5]], "brown": [[4000, 300, 5]]}), "Dab 1 of “brown” lies outside the picture"),
        (marks(dabs={"sand": [[400, 300, -5]], "brown": [[40, 300, 5]]}), "radius is above 0"),
        (marks(white=[4000, 10, 5]), "white patch lies outside"),
        (marks(region=[[900, 10], [990, 10], [990, 90]]), "holds no part of the picture"),
    ],
)
def test_marks_that_cannot_be_used_are_refused_in_words(tmp_path, written, words):
    """Exit code 1, one sentence, nothing on the output."""
    (tmp_path / "marks.json").write_text(written)
    said = run("cover", EXAMPLE, "--marks", tmp_path / "marks.json", "--json")
    assert (said.exit_code, said.stdout) == (1, "")
    assert words in said.stderr


def test_dabs_of_an_earlier_picture_need_white_on_both(tmp_path):
    """Without it their colours cannot be held together."""
    (tmp_path / "marks.json").write_text(marks(white=None))
    said = run("cover", EXAMPLE, "--marks", tmp_path / "marks.json", "--marked-on", EXAMPLE)
    assert said.exit_code == 1
    assert "white or grey in view" in said.stderr


def test_what_makes_the_figures_doubtful_is_said(tmp_path):
    """One dab each, two of them of the same thing, and nothing white."""
    sand = json.loads(MARKS.read_text())["dabs"]["sand"]
    (tmp_path / "marks.json").write_text(marks(white=None, dabs={"sand": sand[:1], "dust": sand[1:2]}))
    notes = " ".join(json.loads(run("cover", EXAMPLE, "--marks", tmp_path / "marks.json", "--json").stdout)["notes"])
    assert "nearly the same colour" in notes
    assert "Few dabs of sand, dust" in notes
    assert "looks like none of your dabs" in notes
    assert "Nothing white" in notes


def test_a_file_that_is_no_picture_or_not_there_is_refused(tmp_path):
    """The wrong file under the right name, and no file."""
    (tmp_path / "sand.jpg").write_text("sand")
    said = run("cover", tmp_path / "sand.jpg", "--marks", MARKS)
    assert "not a picture" in said.stderr
    assert "cannot be read" in run("cover", tmp_path / "none.jpg", "--marks", MARKS).stderr


def test_cells_on_the_example_are_measured_to_scale():
    """Twelve boats drawn 70 to 130 pixels long, at half a micrometre to a pixel."""
    told = json.loads(run("cells", "examples/boats.jpg", "--um-per-pixel", "0.5", "--json").stdout)
    truth = sorted(np.random.default_rng(4).uniform(70, 130, 12) / 2)
    assert told["count"] == 12
    assert sorted(one["length_um"] for one in told["cells"]) == pytest.approx(truth, rel=0.05)
    assert told["length_um"]["low"] <= told["length_um"]["median"] <= told["length_um"]["high"]
    said = run("cells", "examples/boats.jpg", "--um-per-pixel", "0.5", "--plus-minus", "0.02").stdout
    assert "12 cells counted" in said


def test_the_example_clip_glides():
    """Boats drawn at 8 µm/s, as an MP4 with uneven times; progress is not in the answer."""
    found = run("clip", "examples/gliding.mp4", "--um-per-pixel", "0.8", "--json")
    told = json.loads(found.stdout)
    assert told["manner"] == "gliding"
    assert told["speed_um_per_s"]["median"] == pytest.approx(8.0, rel=0.05)
    assert told["speed_um_per_s"]["q05"] <= told["speed_um_per_s"]["median"] <= told["speed_um_per_s"]["q95"]
    assert told["tracks"] >= 5
    assert told["moving_fraction"] > 0.8
    assert "gliding: The middle cell" in run("clip", "examples/gliding.mp4", "--um-per-pixel", "0.8").stdout


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("clip", EXAMPLE, "--um-per-pixel", "0.8"), "not a clip"),
        (("clip", "examples/gliding.mp4", "--um-per-pixel", "0"), "Calibrate"),
        (("cells", "examples/gliding.mp4", "--um-per-pixel", "0.8"), "not a picture"),
        (("cells", "examples/boats.jpg", "--um-per-pixel", "-1"), "Calibrate"),
    ],
)
def test_files_and_scales_that_are_none_are_refused(arguments, words):
    """One sentence, exit code 1."""
    said = run(*arguments)
    assert said.exit_code == 1
    assert words in said.stderr


def test_a_clip_too_short_is_refused(tmp_path):
    """Three frames tell no way from noise."""
    (tmp_path / "short.mp4").write_bytes(mp4_of(DrawnClip("gliding", 8.0, seconds=0.2, seed=1)))
    said = run("clip", tmp_path / "short.mp4", "--um-per-pixel", "0.5")
    assert "too short: 5 frames" in said.stderr
