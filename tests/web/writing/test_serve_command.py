"""`pratique serve`, as a process of its own."""

import signal
import socket
import subprocess
import sys
import time
import urllib.request

import pytest

SECONDS = 60


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def _serve(environment: dict[str, str], *options: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "pratique", "serve", *options],
        env=environment,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def _wait_for(url: str) -> bytes:
    end = time.monotonic() + SECONDS
    while True:
        try:
            with urllib.request.urlopen(url, timeout=5) as answer:  # noqa: S310 - our own server on this machine
                content: bytes = answer.read()
                return content
        except OSError:
            if time.monotonic() > end:
                pytest.fail(f"{url} did not answer within {SECONDS} s")
            time.sleep(0.2)


@pytest.mark.parametrize("stopped_by", [signal.SIGINT, signal.SIGTERM])
def test_it_serves_and_stops_quickly(own_household: dict[str, str], stopped_by: signal.Signals):
    """It says where it is, welcomes a new household, and ends when it is told to."""
    port = _free_port()
    serving = _serve(own_household, "--port", str(port))
    try:
        assert _wait_for(f"http://127.0.0.1:{port}/healthy/") == b"ok"
        assert b"Welcome" in _wait_for(f"http://127.0.0.1:{port}/")
    finally:
        serving.send_signal(stopped_by)
        said, _ = serving.communicate(timeout=SECONDS)
    assert f"The household is at http://127.0.0.1:{port}/" in said
    assert serving.returncode == 0


def test_the_home_network_needs_a_passphrase_first(own_household: dict[str, str]):
    """Without one it says what to do, and serves nothing."""
    serving = _serve(own_household, "--lan", "--port", str(_free_port()))
    said, _ = serving.communicate(timeout=SECONDS)
    assert serving.returncode == 1
    assert "pratique passphrase set" in said
