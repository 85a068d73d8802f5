"""`pratique passage fallow`: how long a tank must stay without fish, and how far it has come."""

import json
from dataclasses import asdict
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from pratique.cli.opening import open_home
from pratique.cli.sending import refused

if TYPE_CHECKING:
    from pratique.casework.sheets.fallow import FallowSheet


def fallow_command(
    system: Annotated[str, typer.Option("--system", help="The key of a tank of yours, such as skerry.")] = "",
    temperature: Annotated[str, typer.Option("--temperature", help="Of any tank: 26, or 79 °F.")] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Print it for a script.")] = False,
) -> None:
    """Say how likely a tank without fish is rid of each parasite by day, and from when on that is enough."""
    if bool(system) == bool(temperature.strip()):
        raise refused({"": "Name a tank with --system, or any water with --temperature; one of the two."})
    sheet = _of_system(system) if system else _at(temperature)
    if as_json:
        typer.echo(json.dumps(asdict(sheet), default=_plain, ensure_ascii=False, allow_nan=False))
        return
    _print(sheet)


def _of_system(key: str) -> "FallowSheet":
    open_home()
    from pratique.casework.fallow_kept import fallow_of  # noqa: PLC0415 - Django is ready only now
    from pratique.ledger.household import load_household  # noqa: PLC0415

    household = load_household()
    if key not in household.systems:
        there = ", ".join(household.systems) or "none yet"
        raise refused({"--system": f"There is no system “{key}”. There are: {there}."})
    return fallow_of(household, key, now=datetime.now(UTC))


def _at(temperature: str) -> "FallowSheet":
    from pratique.casework.fallow import fallow_at, water_c  # noqa: PLC0415 - loaded where it is used

    try:
        return fallow_at(water_c(temperature))
    except ValueError as problem:
        raise refused({"--temperature": str(problem)}) from None


def _plain(value: Any) -> str:
    return value.isoformat() if isinstance(value, date) else str(value)


def _print(sheet: "FallowSheet") -> None:
    from pratique.casework.fallow_lines import line_words  # noqa: PLC0415 - loaded where it is used

    typer.echo(sheet.gist)
    for words in (*sheet.said, *map(line_words, sheet.lines)):
        typer.echo(f"  {words}")
    for one in sheet.reasons:
        typer.echo(f"  {one.words} {one.source} ({one.status})")
    for caution in sheet.cautions:
        typer.echo(f"Caution: {caution}")
