"""`pratique gates`: what stands before each animal of a batch, and when it can open."""

import dataclasses
import json
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from pratique.cli.opening import open_home
from pratique.cli.readying import say_if_cold

if TYPE_CHECKING:
    from pratique.casework.sheets import AnimalGate, PassageSheet


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("gates")(gates_command)


def gates_command(
    batch: Annotated[str, typer.Argument(help="The key of the batch, such as b1.", show_default=False)],
    as_json: Annotated[bool, typer.Option("--json", help="Print them for a script.")] = False,
) -> None:
    """Say for each animal of a batch what its gate asks, what is met, and when it can open."""
    open_home()
    say_if_cold()
    from pratique.casework.passages import passage_sheet  # noqa: PLC0415 - Django is not set up when this file loads
    from pratique.ledger.household import load_household  # noqa: PLC0415

    household = load_household()
    if batch not in household.batches:
        there = ", ".join(household.batches) or "none yet"
        typer.echo(f"There is no batch “{batch}”. There are: {there}.", err=True)
        raise typer.Exit(1)
    found = passage_sheet(household, batch, now=datetime.now(UTC))
    if as_json:
        typer.echo(json.dumps(_told(found), default=_plain, ensure_ascii=False, indent=2))
        return
    _print(found)


def _told(sheet: "PassageSheet") -> dict[str, Any]:
    return {
        "batch": sheet.about.key,
        "day": sheet.day,
        "gist": sheet.gist,
        "troubles": [dataclasses.asdict(one) for one in sheet.troubles],
        "gates": [{"leg": leg.key} | dataclasses.asdict(gate) for leg in sheet.legs for gate in leg.gates],
    }


def _plain(value: Any) -> str:
    return value.isoformat() if isinstance(value, date | datetime) else str(value)


def _print(sheet: "PassageSheet") -> None:
    typer.echo(f"{sheet.about.name}. {sheet.gist}")
    for trouble in sheet.troubles:
        typer.echo(f"  {trouble.words} {trouble.follows}")
    for leg in sheet.legs:
        for gate in leg.gates:
            _print_gate(leg.name, gate)


def _print_gate(leg: str, gate: "AnimalGate") -> None:
    typer.echo(f"\n{gate.about.name}, {leg.lower()}: {'open' if gate.is_open else 'shut'}. {gate.standing}")
    for words in (gate.earliest, *gate.look_for):
        typer.echo(f"  {words}")
    for line in gate.criteria:
        typer.echo(f"  {line.status:<9}  {line.title}: {line.words}")
        for words in (line.override, line.earliest, line.how_to_know):
            if words:
                typer.echo(f"             {words}")
