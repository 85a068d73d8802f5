"""`pratique protocol …`: the shipped protocols, and a keeper's own checked. Needs no household; no rule lives here."""

from pathlib import Path
from typing import Annotated

import typer

_TEMPERATURE = typer.Option("--temperature", help="°C; left out, the middle of the usual band.")


def register(app: typer.Typer) -> None:
    """Add the group."""
    group = typer.Typer(help="Passages written down as data: shown, and a file of your own checked.")
    group.command("list")(list_command)
    group.command("show")(show_command)
    group.command("check")(check_command)
    app.add_typer(group, name="protocol", no_args_is_help=True)


def list_command() -> None:
    """List the shipped protocols by the names that commands take."""
    from pratique import knowledge  # noqa: PLC0415 - read only where it is asked for

    for one in knowledge.protocols():
        typer.echo(f"{one.short_name}: {one.words}")


def show_command(name: Annotated[str, typer.Argument(help="Such as copper-30.")]) -> None:
    """Print a shipped protocol's file: a copy of it, changed, is a protocol of your own."""
    from pratique import knowledge  # noqa: PLC0415

    try:
        typer.echo(knowledge.protocol_text(name), nl=False)
    except KeyError as problem:
        typer.echo(problem.args[0], err=True)
        raise typer.Exit(1) from None


def check_command(
    file: Annotated[Path, typer.Argument(help="A protocol of your own, in TOML.")],
    temperature_c: Annotated[float | None, _TEMPERATURE] = None,
) -> None:
    """Check a protocol of your own: every mistake is told with its line, and what would be right."""
    from pratique.casework.protocol_files import ProtocolRefused, read_protocol  # noqa: PLC0415
    from pratique.casework.protocol_words import protocol_lines, usual_temperature_c  # noqa: PLC0415
    from pratique.science.chemistry.domain import DomainError  # noqa: PLC0415

    try:
        protocol = read_protocol(file.read_text(encoding="utf-8"))
        lines = protocol_lines(protocol, usual_temperature_c() if temperature_c is None else temperature_c)
    except ProtocolRefused as refused:
        for one in refused.mistakes:
            typer.echo(f"{file.name}, line {one.line}: {one.words}", err=True)
        raise typer.Exit(1) from None
    except (OSError, UnicodeDecodeError):
        typer.echo(f"{file} cannot be read as text. Name a file in TOML, such as mine.toml.", err=True)
        raise typer.Exit(1) from None
    except DomainError as problem:
        typer.echo(str(problem), err=True)
        raise typer.Exit(1) from None
    for line in lines:
        typer.echo(line)
