"""Commands that need no household, each as a process of its own: nothing another command set up may stand in for it."""

import json
import subprocess
import sys
from pathlib import Path

import pytest


def run(home: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the command line in a fresh process whose home may not come into being."""
    return subprocess.run(
        [sys.executable, "-m", "pratique", *arguments],
        env={"PRATIQUE_HOME": str(home), "PATH": ""},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


@pytest.mark.parametrize(
    "arguments",
    [
        (
            "passage",
            "compare",
            "copper-30",
            "tank-transfer",
            "--species",
            "yellow_tang",
            "--temperature",
            "26",
            "--json",
        ),
        ("passage", "fallow", "--temperature", "26", "--json"),
        ("measure", "cover", "examples/brown_sand.jpg", "--marks", "examples/brown_sand_marks.json", "--json"),
        ("growth", "rank", "examples/brown_dust.json", "--json"),
        ("bench", "dose", "--limewater", "6L", "--volume", "300L", "--json"),
    ],
    ids=lambda one: " ".join(one[:2]),
)
def test_it_answers_without_a_household(tmp_path, arguments):
    """Plain JSON on the way out, nothing complained of, and no household made."""
    home = tmp_path / "home"
    ended = run(home, *arguments)
    assert ended.returncode == 0, ended.stderr
    assert json.loads(ended.stdout)
    assert not home.exists()
