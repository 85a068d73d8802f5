"""`pratique protocol …`: the shipped protocols, and a keeper's own checked and kept. No rule lives here."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated
from uuid import UUID

import typer

from pratique.cli.opening import open_home
from pratique.cli.sending import AsJson, At, Author, Sender, Words, Yes

if TYPE_CHECKING:
    from pratique.knowledge import Protocol

_TEMPERATURE = typer.Option("--temperature", help="°C; left out, the middle of the usual band.")
_OWN = Annotated[Path, typer.Argument(help="A protocol of your own, in TOML.")]


def register(app: typer.Typer) -> None:
    """Add the group."""
    group = typer.Typer(help="Passages written down as data: shown, and a file of your own checked and kept.")
    group.command("list")(list_command)
    group.command("show")(show_command)
    group.command("check")(check_command)
    group.command("keep")(keep_command)
    app.add_typer(group, name="protocol", no_args_is_help=True)


def list_command(own: Annotated[bool, typer.Option("--own", help="List those this household keeps.")] = False) -> None:
    """List the shipped protocols by the names that commands take, or your own."""
    from pratique import knowledge  # noqa: PLC0415 - read only where it is asked for

    for one in _own_protocols() if own else knowledge.protocols():
        typer.echo(f"{one.short_name or one.key}: {one.words}")


def show_command(name: Annotated[str, typer.Argument(help="Such as copper-30, or one of your own.")]) -> None:
    """Print a protocol's file: a copy of it, changed, is a protocol of your own."""
    from pratique import knowledge  # noqa: PLC0415

    try:
        text = knowledge.protocol_text(name)
    except KeyError as problem:
        text = _own_text(name)
        if not text:
            typer.echo(problem.args[0], err=True)
            raise typer.Exit(1) from None
    typer.echo(text, nl=not text.endswith("\n"))


def check_command(file: _OWN, temperature_c: Annotated[float | None, _TEMPERATURE] = None) -> None:
    """Check a protocol of your own: every mistake is told with its line, and what would be right."""
    protocol = read_own(file)
    from pratique.casework.protocol_words import protocol_lines, usual_temperature_c  # noqa: PLC0415
    from pratique.science.chemistry.domain import DomainError  # noqa: PLC0415

    try:
        lines = protocol_lines(protocol, usual_temperature_c() if temperature_c is None else temperature_c)
    except DomainError as problem:
        typer.echo(str(problem), err=True)
        raise typer.Exit(1) from None
    for line in lines:
        typer.echo(line)


def keep_command(  # noqa: PLR0913 - each is an option of the command
    file: _OWN,
    *,
    at: At = "",
    words: Words = "",
    author: Author = "",
    yes: Yes = False,
    as_json: AsJson = False,
    amends: Annotated[UUID | None, typer.Option(help="The id of the entry this text takes the place of.")] = None,
) -> None:
    """Check a protocol of your own and keep it in the ledger: from then on a batch can follow it by its key."""
    read_own(file)
    sender = Sender(author=author, yes=yes, as_json=as_json, amends=amends)
    sender.open_and_send("protocol", {"file": str(file), "moment": at, "words": words})


def read_own(file: Path) -> "Protocol":
    """Return the protocol of a file; exits with 1 after the mistakes, each with its line."""
    from pratique.casework.protocol_files import ProtocolRefused, read_protocol  # noqa: PLC0415

    try:
        return read_protocol(file.read_text(encoding="utf-8"))
    except ProtocolRefused as refused:
        for one in refused.mistakes:
            typer.echo(f"{file.name}, line {one.line}: {one.words}", err=True)
    except (OSError, UnicodeDecodeError):
        typer.echo(f"{file} cannot be read as text. Name a file in TOML, such as mine.toml.", err=True)
    raise typer.Exit(1)


def _own_protocols() -> "tuple[Protocol, ...]":
    open_home()
    from pratique.casework.protocol_kept import own_protocols  # noqa: PLC0415 - Django is ready only now
    from pratique.ledger.household import load_household  # noqa: PLC0415

    return own_protocols(load_household())


def _own_text(name: str) -> str:
    open_home()
    from pratique.casework.protocol_kept import protocol_named  # noqa: PLC0415 - Django is ready only now
    from pratique.ledger.household import load_household  # noqa: PLC0415

    household = load_household()
    try:
        return household.protocols[protocol_named(household, name).key].text
    except KeyError:
        return ""
