"""Passages compared for a keeper: from what is asked to what a script reads."""

import json

import pytest
from typer.testing import CliRunner

from pratique.casework.compare import compare
from pratique.casework.compare_asked import NotCompared, asked_of
from pratique.casework.compare_told import told
from pratique.cli.main import app

THREE = ("copper-30", "copper-14-recover", "tank-transfer")


@pytest.fixture(scope="module")
def found():
    """Three passages for a dwarf angelfish and two cardinalfish."""
    return compare(
        asked_of(THREE, ["two_spined_angelfish, banggai_cardinalfish:2"], temperature="79 °F", volume="60 L")
    )


def test_kinds_are_named_by_key_name_or_latin_and_counted():
    """However a keeper writes it."""
    asked = asked_of(THREE, ["Zebrasoma flavescens", "royal-gramma:2", "yellow tang"], temperature="26")
    assert asked.kinds == {"yellow_tang": 2, "royal_gramma": 2}
    assert asked.animals == 4


@pytest.mark.parametrize(
    ("protocols", "species", "temperature", "field", "words"),
    [
        (("copper-30",), "yellow_tang", "26", "protocol", "two passages or more"),
        (("copper-30", "copper-30"), "yellow_tang", "26", "protocol", "two passages or more"),
        (("copper-3", "observation"), "yellow_tang", "26", "protocol", "no passage called “copper-3”"),
        (THREE, "", "26", "species", "Name the kinds"),
        (THREE, "yellow_tang:many", "26", "species", "yellow_tang:2 for two"),
        (THREE, "yellow_tang:60", "26", "species", "50 animals at the most"),
        (THREE, "cleaner_shrimp", "26", "species", "is no fish"),
        (THREE, "yellow_tang", "35", "temperature", "22 to 29"),
        (THREE, "yellow_tang", "warm", "temperature", "not a number"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(protocols, species, temperature, field, words):
    """What is wrong, and what would be right."""
    with pytest.raises(NotCompared) as refused:
        asked_of(protocols, [species], temperature=temperature)
    assert words in refused.value.fields[field]


def test_a_script_reads_each_passage_with_its_ranges(found):
    """Days and chances in pairs, the last of them that of clearance."""
    read = json.loads(json.dumps(told(found), allow_nan=False))
    assert tuple(read["protocols"]) == THREE
    for one in read["protocols"].values():
        assert one["p_clear_by_day"][-1] == [one["days_to_clearance"], one["p_clear"]]
        assert one["p_clear_range"][0] <= one["p_clear"] <= one["p_clear_range"][1]
        assert one["days_total"] > one["days_to_clearance"]
        assert one["recovery_adds"]["p_fit_with"] >= one["recovery_adds"]["p_fit_without"]
    assert read["protocols"]["tank-transfer"]["transfers"] == 4
    assert read["protocols"]["copper-30"]["days_medicated"] == 33.0
    assert read["protocols"]["tank-transfer"]["water_l"] == 60.0 * read["protocols"]["tank-transfer"]["tanks"]


def test_the_angelfish_is_cautioned_where_there_is_copper_and_offered_a_way_without(found):
    """Dwarf angelfishes take copper badly: Noga (recalled)."""
    copper, _, transfer = found.passages
    assert any("two-spined angelfish" in line.words and "tank-transfer" in line.instead for line in copper.species)
    assert not transfer.species
    assert "velvet" in transfer.not_meant
    assert found.cautions[0].startswith("The label and local law")


def test_every_guess_is_shown_with_its_status_and_its_effect(found):
    """Burden, detection, copper's kill and the chance that a swimmer settles are guesses, and say so."""
    for words in ("how many an infected animal brings", "finds ten", "keeps half from settling", "a swimmer settles"):
        lines = [one for one in found.assumptions if words in one.words]
        assert lines
        assert all(one.reason.status == "guess" and one.effect for one in lines)


def test_the_command_prints_words_and_names_what_is_wrong():
    """In words for a person, with 1 and a sentence where something is wrong."""
    runner = CliRunner()
    ours = runner.invoke(app, ["passage", "compare", "tank-transfer", "observation", "--species", "yellow_tang"])
    assert ours.exit_code == 0
    assert "no living stage on the animals or in water moved with them" in ours.output
    refused = runner.invoke(app, ["passage", "compare", "tank-transfer", "observation", "--species", "unicorn"])
    assert refused.exit_code == 1
    assert "--species: “unicorn” is no kind of fish" in refused.output


def test_a_protocol_of_one_s_own_with_a_mistake_is_refused_with_its_line(tmp_path):
    """The line, and what would be right."""
    file = tmp_path / "mine.toml"
    file.write_text('[mine]\nname = "Mine"\nword = "My own."\n', encoding="utf-8")
    refused = CliRunner().invoke(app, ["passage", "compare", str(file), "observation", "--species", "yellow_tang"])
    assert refused.exit_code == 1
    assert "mine.toml, line 3" in refused.output
