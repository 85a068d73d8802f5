"""Fetch every page of a household once from a server of its own: the demo's check that all of them answer."""

import contextlib
import http.client
import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from datetime import datetime

from pratique.casework.facts import Facts
from pratique.ledger.household import Household

_HOST = "127.0.0.1"
_SECONDS_TO_START = 60.0


class NoAnswer(RuntimeError):
    """The server that was to be checked did not come up."""


def pages_of(household: Household, *, now: datetime) -> list[str]:
    """Return the address of the rounds, of each system, animal, passage, course and growth page, and of what is read.

    What is read in each system, its constituents, has a page each.
    """
    kept: dict[str, Iterable[str]] = {
        "systems": household.systems,
        "animals": household.animals,
        "passages": household.batches,
        "courses": household.courses,
        "growths": household.cases,
    }
    facts = Facts(household, now)
    read = [f"/systems/{key}/{one}/" for key in household.systems for one in facts.constituents_read(key)]
    return ["/", *(f"/{part}/{key}/" for part, keys in kept.items() for key in keys), *read]


def fetch(port: int, path: str) -> int:
    """Return the status a page answers with; OSError where nothing listens."""
    connection = http.client.HTTPConnection(_HOST, port, timeout=60)
    try:
        connection.request("GET", path)
        return connection.getresponse().status
    finally:
        connection.close()


@contextlib.contextmanager
def served() -> Iterator[int]:
    """Serve this home in a process of its own while the block runs; yields the port. Raises NoAnswer."""
    port = _free_port()
    with tempfile.TemporaryFile() as said:
        command = [sys.executable, "-m", "pratique", "serve", "--port", str(port)]
        server = subprocess.Popen(command, env=os.environ, stdout=said, stderr=said)  # noqa: S603 - ourselves
        try:
            _wait_for(server, port)
        except NoAnswer as problem:
            said.seek(0)
            raise NoAnswer(f"{problem}\n{said.read().decode(errors='replace')[-2000:]}") from None
        else:
            yield port
        finally:
            server.terminate()
            server.wait(timeout=30)


def _wait_for(server: subprocess.Popen[bytes], port: int) -> None:
    until = time.monotonic() + _SECONDS_TO_START
    while time.monotonic() < until:
        if server.poll() is not None:
            raise NoAnswer("The server ended before it answered:")
        with contextlib.suppress(OSError), socket.create_connection((_HOST, port), timeout=1):
            return
        time.sleep(0.1)
    raise NoAnswer(f"The server did not answer within {_SECONDS_TO_START:.0f} seconds:")


def _free_port() -> int:
    with socket.socket() as listening:
        listening.bind((_HOST, 0))
        return int(listening.getsockname()[1])
