"""Run `pratique ledger …` inside the test's own process, so that it sees the test's own database."""

import typer
from click.testing import Result
from typer.testing import CliRunner

from pratique.cli import ledger


def run_ledger(*arguments: object) -> Result:
    """Return how the command ended and what it said."""
    app = typer.Typer()
    ledger.register(app)
    return CliRunner().invoke(app, ["ledger", *map(str, arguments)])
