"""`python -m pratique` is the command `pratique`."""

from pratique.cli.main import run

run()
