"""The command `pratique`: one entry point, one file of commands for each part of the job."""

import os

import typer

from pratique.cli import (
    bench,
    demo,
    exposure,
    gates,
    growth,
    ledger,
    measure,
    passage,
    protocol,
    reckon,
    rounds,
    serve,
    setup,
    write,
)

app = typer.Typer(
    name="pratique",
    help="The ledger and the reckoning behind a saltwater keeper's daily decisions.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
bench.register(app)
demo.register(app)
exposure.register(app)
gates.register(app)
growth.register(app)
ledger.register(app)
measure.register(app)
passage.register(app)
protocol.register(app)
reckon.register(app)
rounds.register(app)
serve.register(app)
setup.register(app)
write.register(app)


def run() -> None:
    """Start the command line."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "pratique.settings")
    app(prog_name="pratique")
