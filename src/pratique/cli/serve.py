"""`pratique serve`: the pages, for this machine or for every phone on the home network."""

import os
import sys
from collections.abc import Callable
from typing import Annotated

import typer

from pratique.cli.opening import open_home

DEFAULT_PORT = 8321
_SET_ONE_FIRST = (
    "With --lan everyone on the network can reach the ledger, so it needs a passphrase first: "
    "run `pratique passphrase set`, then this again."
)


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""

    @app.command("serve")
    def serve_command(
        port: Annotated[int, typer.Option(min=1, max=65535, help="The port; the next free one where it is taken.")] = (
            DEFAULT_PORT
        ),
        lan: Annotated[bool, typer.Option("--lan", help="Open to the home network, behind the passphrase.")] = False,
        plain_http: Annotated[
            bool, typer.Option("--plain-http", help="With --lan: no encryption, so others could read along.")
        ] = False,
    ) -> None:
        """Serve the household's pages until Ctrl-C."""
        try:
            serve(port, lan=lan, plain_http=plain_http)
        except (PermissionError, OSError) as problem:
            typer.echo(f"The pages cannot be served: {problem}", err=True)
            raise typer.Exit(1) from None


def serve(
    port: int, *, lan: bool = False, plain_http: bool = False, ready: Callable[[str], None] | None = None
) -> None:
    """Serve this home until the process is told to stop; `ready` is called with the address once it answers.

    Raises PermissionError where --lan has no passphrase to stand behind, and OSError where no port is free.
    """
    if lan:
        # Before Django reads its settings: cookies and host names depend on it.
        os.environ["PRATIQUE_LAN"] = "1"
        os.environ["PRATIQUE_PLAIN_HTTP"] = "1" if plain_http else "0"
    open_home()
    from django.db import connections  # noqa: PLC0415 - Django is ready only now

    from pratique.web.door import has_passphrase  # noqa: PLC0415
    from pratique.web.serving.addresses import bound_socket, certificate_names  # noqa: PLC0415
    from pratique.web.serving.application import HouseholdServer  # noqa: PLC0415
    from pratique.web.serving.certificates import certificate_for  # noqa: PLC0415

    if lan and not has_passphrase():
        raise PermissionError(_SET_ONE_FIRST)
    certificate = certificate_for(certificate_names()) if lan and not plain_http else None
    listening = bound_socket(port, lan=lan)
    got = int(listening.getsockname()[1])
    # The worker is forked from here and must open connections of its own.
    connections.close_all()
    address = _address(got, lan=lan, is_encrypted=certificate is not None)

    def tell() -> None:
        _tell(address, asked=port, got=got, lan=lan)
        if ready is not None:
            ready(address)

    HouseholdServer(listening, certificate=certificate, ready=tell).run()


def _address(port: int, *, lan: bool, is_encrypted: bool) -> str:
    from pratique.web.serving.addresses import lan_addresses  # noqa: PLC0415

    host = next(iter(lan_addresses()), "127.0.0.1") if lan else "127.0.0.1"
    return f"{'https' if is_encrypted else 'http'}://{f'[{host}]' if ':' in host else host}:{port}/"


def _tell(address: str, *, asked: int, got: int, lan: bool) -> None:
    """Print where the pages are, and for a phone how to get there."""
    if got != asked:
        typer.echo(f"Port {asked} is taken, so this uses {got}.")
    typer.echo(f"The household is at {address}")
    if lan:
        import segno  # noqa: PLC0415 - only for a phone

        segno.make(address, error="m").terminal(out=sys.stdout, compact=True)
        typer.echo("Point the phone's camera at the square, then give the passphrase.")
        typer.echo(_trust_words(address))
    typer.echo("Ctrl-C stops it.")
    sys.stdout.flush()


def _trust_words(address: str) -> str:
    if address.startswith("http:"):
        return (
            "Without encryption others on this network could read along, and a phone gets no camera and nothing "
            "offline. Leave out --plain-http as soon as you can."
        )
    from pratique.web.serving.certificates import fingerprint  # noqa: PLC0415

    return (
        "The phone will warn once, because this machine made its own certificate. To end that, open\n"
        f"  {address}household-ca.crt\n"
        "on the phone and install it as a CA certificate (in the settings, under security; on some phones then switch\n"
        "on full trust for it). Install it only if the phone shows this SHA-256 fingerprint:\n"
        f"  {fingerprint()}"
    )
