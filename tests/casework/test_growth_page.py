"""The page of the brown dust in the demo: what it may be, why, what to look at next, and what waits for whom."""

import json
from pathlib import Path

import pytest
from tests.casework.conftest import NOW
from typer.testing import CliRunner

from pratique.casework.growth_file import GrowthRefused, read_growth
from pratique.casework.growth_told import is_perhaps_toxic, judged
from pratique.casework.growths import growth_sheet
from pratique.casework.sheets import GrowthSheet
from pratique.cli.main import app

pytestmark = pytest.mark.django_db

DINOFLAGELLATES = ("ostreopsis", "small_amphidinium", "large_amphidinium", "prorocentrum", "coolia", "gambierdiscus")


@pytest.fixture
def dust(harbour_row) -> GrowthSheet:
    """The page of the brown dust that evening."""
    return growth_sheet(harbour_row, "brown-dust", now=NOW)


def test_it_asks_for_the_microscope_first(dust):
    """What it is, is not settled; the looks most worth their time need the microscope."""
    assert dust.gist.startswith("Not settled")
    assert [one.tool for one in dust.looks[:3]] == ["microscope"] * 3


def test_fading_at_night_is_weak_evidence(dust):
    """Many growths fade at night."""
    (faded,) = [one for one in dust.why if "thinner when the lights come on" in one.words]
    assert faded.says.startswith("Weak evidence")
    assert faded.entry is not None


def test_every_candidate_has_a_chance_within_its_range(dust):
    """Fifteen of them, something else among them, the likeliest first."""
    assert len(dust.candidates) == 15
    assert "something_else" in {one.key for one in dust.candidates}
    chances = [one.chance for one in dust.candidates]
    assert chances == sorted(chances, reverse=True)
    assert all(one.low <= one.chance <= one.high for one in dust.candidates)


def test_boats_turn_it_one_way_and_spinning_drops_the_other():
    """Gliding and reversing points to pennate diatoms; spinning on a point to dinoflagellates."""
    seen = {
        "brown_or_golden": True,
        "dust_on_sand": True,
        "slimy_sheet": False,
        "strings_with_bubbles": False,
        "thinner_at_lights_on": True,
        "back_within_a_day": True,
    }
    boats = judged(seen | {"glide_and_reverse": True, "many_swim": False}).verdict
    drops = judged(seen | {"spin_on_a_point": True}).verdict
    assert boats.leading == "pennate_diatoms"
    assert drops.leading in DINOFLAGELLATES


def test_handling_cautions_stand_until_harm_is_next_to_ruled_out(dust):
    """They stand now, and for nothing found at all; the figure is one in a hundred for all that may harm together."""
    assert any("poisonous" in one for one in dust.cautions)
    assert is_perhaps_toxic(judged({}))


def test_nothing_is_added_before_a_day_and_it_says_which_animal(dust):
    """Taking it out by hand comes first and is allowed."""
    first = dust.measures[0]
    assert (first.key, first.state) == ("take_out", "now")
    waiting = [one for one in dust.measures if one.state == "not before"]
    assert any("Tomini bristletooth" in line.words for one in waiting for line in one.objections)


def test_answers_that_hardly_go_together_are_named():
    """Threads of thin stacked discs, yet no threads of even width; the usual answers contradict nothing."""
    assert judged({"stacked_discs": True, "plain_threads": False}).verdict.contradicting == (
        ("plain_threads", "stacked_discs"),
    )
    assert judged({"stacked_discs": True, "plain_threads": True}).verdict.contradicting == ()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{", "not JSON"),
        ("[]", "one object"),
        ('{"finding": {}}', "Did you mean “findings”"),
        ('{"findings": {"dust_on_the_sand": true}}', "Did you mean “dust_on_sand”"),
        ('{"findings": {"smells": "no"}}', 'true, false or "unsure"'),
        ('{"tools": ["spoon"]}', "microscope"),
        ('{"minutes": -5}', "from 0 up"),
    ],
)
def test_a_file_that_cannot_be_read_is_told_in_a_sentence(text, words):
    """With what would be right."""
    with pytest.raises(GrowthRefused, match=words):
        read_growth(text)


def test_the_commands_answer_for_a_script_and_for_a_reader(tmp_path):
    """From the example that ships; only looks with the tools and minutes at hand are ranked."""
    example = str(Path(__file__).parents[2] / "examples" / "brown_dust.json")
    ranked = CliRunner().invoke(app, ["growth", "rank", example, "--json"])
    told = json.loads(ranked.stdout)
    assert sum(one["low"] <= one["probability"] <= one["high"] for one in told["candidates"].values()) == 15
    looks = json.loads(CliRunner().invoke(app, ["growth", "next", example, "--json"]).stdout)
    worth = [one["worth"] for one in looks]
    assert worth == sorted(worth, reverse=True)
    assert "clumps_again" not in {one["finding"] for one in looks}
    assert "bits" in CliRunner().invoke(app, ["growth", "next", example]).stdout
    assert "Ostreopsis" in CliRunner().invoke(app, ["growth", "rank", example]).stdout
    missing = CliRunner().invoke(app, ["growth", "rank", str(tmp_path / "none.json")])
    assert missing.exit_code == 1
    assert "cannot be read" in missing.stderr
