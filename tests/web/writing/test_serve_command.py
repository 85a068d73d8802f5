"""`pratique serve`, as a process of its own."""

import signal
import socket
import ssl
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

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


def _wait_for(url: str, *, trusting: ssl.SSLContext | None = None) -> bytes:
    end = time.monotonic() + SECONDS
    while True:
        try:
            with urllib.request.urlopen(url, timeout=5, context=trusting) as answer:  # noqa: S310 - our own server
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
        # Hundreds of marks on a picture travel in the address.
        assert _wait_for(f"http://127.0.0.1:{port}/healthy/?marks={'9' * 8000}") == b"ok"
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


def test_the_home_network_is_served_encrypted_behind_the_door(own_household: dict[str, str]):
    """With a passphrase it prints a square to point a phone at, and a client that trusts the household gets in."""
    environment = own_household | {"DJANGO_SETTINGS_MODULE": "pratique.settings", "PYTHONUNBUFFERED": "1"}
    setting = (
        "import django; django.setup(); from pratique.web.door import set_passphrase; set_passphrase('ten snails')"
    )
    subprocess.run([sys.executable, "-c", setting], env=environment, check=True)
    port = _free_port()
    serving = _serve(environment, "--lan", "--port", str(port))
    authority = Path(own_household["PRATIQUE_HOME"]) / "certificates" / "household-ca.crt"
    try:
        end = time.monotonic() + SECONDS
        while not authority.exists() and time.monotonic() < end:
            time.sleep(0.1)
        trusting = ssl.create_default_context(cafile=authority)
        assert _wait_for(f"https://127.0.0.1:{port}/healthy/", trusting=trusting) == b"ok"
        assert b"behind a passphrase" in _wait_for(f"https://127.0.0.1:{port}/write/", trusting=trusting)
        assert _wait_for(f"https://127.0.0.1:{port}/household-ca.crt", trusting=trusting) == authority.read_bytes()
    finally:
        serving.send_signal(signal.SIGTERM)
        said, _ = serving.communicate(timeout=SECONDS)
    assert "\u2588" in said
    assert "SHA-256 fingerprint" in said
