"""`pratique demo`: the demo household Harbour Row, in a home of its own, on this day."""

import os
from datetime import UTC, datetime
from typing import Annotated

import typer

from pratique.cli.opening import open_home


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("demo")(demo_command)


def demo_command(
    serve: Annotated[
        bool, typer.Option("--serve/--no-serve", help="Serve the pages after printing the rounds.")
    ] = True,
    check: Annotated[bool, typer.Option("--check", help="Fetch every page once from a server, then stop.")] = False,
    port: Annotated[int, typer.Option(min=1, max=65535, help="The port; the next free one where it is taken.")] = 8321,
    as_json: Annotated[bool, typer.Option("--json", help="Print the rounds for a script.")] = False,
) -> None:
    """Load the demo household as it stands today, print its rounds, and serve it. No real ledger is touched."""
    now = datetime.now(UTC)
    _enter_home(now)
    open_home()
    _load(now)
    from pratique.cli.readying import say_if_cold  # noqa: PLC0415 - only this command needs them
    from pratique.cli.rounds import print_rounds  # noqa: PLC0415

    say_if_cold()
    print_rounds(None, as_json=as_json)
    if check:
        raise typer.Exit(_check(now, to_stderr=as_json))
    if serve:
        _serve(port)


def _enter_home(now: datetime) -> None:
    """Choose the home before Django reads its settings, say where it is, and mark it as a demo."""
    from pratique.demo.homes import NoRoomForDemo, choose, mark  # noqa: PLC0415
    from pratique.demo.ledgers import LedgerUnreachable  # noqa: PLC0415
    from pratique.demo.zone import local_zone  # noqa: PLC0415

    today = now.astimezone(local_zone()).date()
    try:
        choice = choose(os.environ, today)
        mark(choice.home, today)
    except (NoRoomForDemo, LedgerUnreachable, OSError) as problem:
        typer.echo(str(problem), err=True)
        raise typer.Exit(1) from None
    for notice in choice.notices:
        typer.echo(notice, err=True)
    typer.echo(f"The demo's home is {choice.home}", err=True)
    os.environ["PRATIQUE_HOME"] = str(choice.home)
    os.environ["PRATIQUE_DATABASE_URL"] = choice.database_url


def _load(now: datetime) -> None:
    from rich.console import Console  # noqa: PLC0415 - only where something takes long
    from rich.progress import Progress  # noqa: PLC0415

    from pratique.demo.loading import NotADemo, load_demo  # noqa: PLC0415 - Django is ready only now

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("Forty days at Harbour Row", total=None)
        try:
            added = load_demo(now, progress=lambda done, total: bar.update(task, completed=done, total=total))
        except NotADemo as problem:
            typer.echo(str(problem), err=True)
            raise typer.Exit(1) from None
    said = f"{added} entries loaded." if added else "Today's story is there already."
    typer.echo(said, err=True)


def _serve(port: int) -> None:
    from pratique.cli.serve import serve  # noqa: PLC0415

    try:
        serve(port, lan=False)
    except OSError as problem:
        typer.echo(f"The pages cannot be served: {problem}", err=True)
        raise typer.Exit(1) from None


def _check(now: datetime, *, to_stderr: bool) -> int:
    """Fetch every page once and print what each answered; return 0 where all of them came, else 1."""
    from pratique.demo.walk import NoAnswer, fetch, pages_of, served  # noqa: PLC0415
    from pratique.ledger.household import load_household  # noqa: PLC0415

    failed = 0
    try:
        with served() as port:
            for path in pages_of(load_household(), now=now):
                status = fetch(port, path)
                failed += status != 200
                typer.echo(f"{status}  {path}", err=to_stderr)
    except (NoAnswer, OSError) as problem:
        typer.echo(str(problem), err=True)
        return 1
    said = f"{failed} pages do not answer as they should." if failed else "Every page answers."
    typer.echo(said, err=to_stderr)
    return int(failed > 0)
