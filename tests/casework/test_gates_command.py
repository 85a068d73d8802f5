"""`pratique gates`: the same as the page of a passage, for a terminal and for a script."""

import json
from typing import Any

import pytest
import typer
from tests.casework.conftest import NOW
from typer.testing import CliRunner, Result

from pratique.cli import gates

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("harbour_row")]


@pytest.fixture(autouse=True)
def evening(time_machine: Any) -> None:
    """It is the demo's evening."""
    time_machine.move_to(NOW, tick=False)


def run(*arguments: str) -> Result:
    """Run the command."""
    app = typer.Typer()
    gates.register(app)
    app.command("other")(lambda: None)
    return CliRunner().invoke(app, ["gates", *arguments])


def test_a_terminal_is_told_each_gate():
    """Whether it is open, what is met, and when it can open."""
    said = run("b1").stdout
    assert "Six-line wrasse" in said
    assert "shut. Free of disease: not yet; fit: not yet." in said
    assert "not met    Body holds its shape" in said
    assert "What the dip" not in said


def test_a_script_gets_the_same_with_the_evidence():
    """Every criterion with status, number and entries."""
    told = json.loads(run("b1", "--json").stdout)
    assert {one["about"]["key"] for one in told["gates"]} == {"tomini-bristletooth", "maiden-goby", "six-line-wrasse"}
    line = next(one for one in told["gates"][0]["criteria"] if "white spot" in one["title"])
    assert line["status"] in {"met", "not met"}
    assert line["details"]
    assert told["troubles"][0]["evidence"]


def test_a_batch_that_is_not_there_is_answered_with_those_that_are():
    """The keys, to be typed anew."""
    found = run("b9")
    assert found.exit_code == 1
    assert "b1, b2" in found.stderr
