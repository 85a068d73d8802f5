"""A phone, an accessibility scan and a running server over the demo household, for the browser tests."""

import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

ROOT = Path(__file__).resolve().parents[2]
AXE_SCRIPT = ROOT / "frontend" / "node_modules" / "axe-core" / "axe.min.js"
AXE_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
# The browser's own calls home would only be refused and logged.
CHROMIUM_FLAGS = [
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
START_SECONDS = 60


def _chromium() -> str:
    found = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.fail("Chromium is not installed: install the system package chromium, or name it in CHROMIUM.")
    return found


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    """Drive the system's Chromium; a container's root user cannot have the sandbox."""
    flags = [*CHROMIUM_FLAGS, "--no-sandbox"] if os.geteuid() == 0 else CHROMIUM_FLAGS
    return {**browser_type_launch_args, "executable_path": _chromium(), "args": flags}


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args: dict[str, Any]) -> dict[str, Any]:
    """Every page is a phone with a touch screen."""
    return {
        **browser_context_args,
        "viewport": {"width": 390, "height": 844},
        "is_mobile": True,
        "has_touch": True,
        "device_scale_factor": 2,
        "locale": "en-GB",
    }


@pytest.fixture
def axe(page: Page) -> Callable[[], list[str]]:
    """Return a function that scans the present page against WCAG 2.2 AA and returns what it violates."""
    if not AXE_SCRIPT.exists():
        pytest.fail("axe-core is not installed: run tools/build_bundle.sh --strict.")
    source = AXE_SCRIPT.read_text(encoding="utf-8")

    def violations() -> list[str]:
        # Evaluated, not added as a tag: the pages' content security policy rightly blocks a tag.
        if not page.evaluate("() => Boolean(window.axe)"):
            page.evaluate(source)
        report = page.evaluate("options => window.axe.run(document, options)", {"runOnly": AXE_TAGS})
        return [
            f"{found['id']} ({found['impact']}): " + "; ".join(node["html"][:120] for node in found["nodes"])
            for found in report["violations"]
        ]

    return violations


class Server:
    """One `pratique serve` over a household folder, on a free port."""

    def __init__(self, home: Path) -> None:
        self.home = home
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port: int = probe.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"
        self.log = home.parent / f"serve-{self.port}.log"
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start serving and wait until the port answers; fail with the log where it does not."""
        command = [sys.executable, "-m", "pratique", "serve", "--port", str(self.port)]
        with self.log.open("wb") as log:
            self._process = subprocess.Popen(
                command, env=household_environment(self.home), stdin=subprocess.DEVNULL, stdout=log, stderr=log
            )
        end = time.monotonic() + START_SECONDS
        while time.monotonic() < end and self._process.poll() is None:
            try:
                socket.create_connection(("127.0.0.1", self.port), timeout=0.5).close()
            except OSError:
                time.sleep(0.1)
            else:
                return
        self.stop()
        pytest.fail(f"pratique serve did not answer on port {self.port}:\n{self.log.read_text(errors='replace')}")

    def stop(self) -> None:
        """Stop serving; harmless where it has already ended."""
        if self._process is None:
            return
        self._process.terminate()
        try:
            self._process.wait(timeout=15)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._process = None


def household_environment(home: Path) -> dict[str, str]:
    """Return the environment of a process that keeps its household in `home`, in SQLite."""
    kept = {name: value for name, value in os.environ.items() if name != "PRATIQUE_DATABASE_URL"}
    return kept | {"PRATIQUE_HOME": str(home)}


@pytest.fixture(scope="session")
def demo_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the demo household, loaded once for the whole run; read it, do not write to it."""
    home = tmp_path_factory.mktemp("demo") / "household"
    home.mkdir()
    loaded = subprocess.run(
        [sys.executable, "-m", "pratique", "demo", "--no-serve"],
        env=household_environment(home),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    if loaded.returncode:
        pytest.fail(f"pratique demo --no-serve failed:\n{loaded.stdout}\n{loaded.stderr}")
    return home


@pytest.fixture(scope="session")
def demo_server(demo_home: Path) -> Iterator[Server]:
    """Return a server over the demo household for tests that only look."""
    server = Server(demo_home)
    server.start()
    yield server
    server.stop()


@pytest.fixture
def own_server(demo_home: Path, tmp_path: Path) -> Iterator[Server]:
    """Return a server over a copy of the demo household, for a test that writes entries."""
    server = Server(Path(shutil.copytree(demo_home, tmp_path / "household")))
    server.start()
    yield server
    server.stop()


@pytest.fixture
def complaints(page: Page, demo_server: Server) -> Iterator[list[str]]:
    """Collect what the console, the page and the network complain of, and every request that leaves the origin."""
    found: list[str] = []
    page.on("console", lambda said: found.append(said.text) if said.type in {"error", "warning"} else None)
    page.on("pageerror", lambda error: found.append(str(error)))
    page.on(
        "request",
        lambda asked: None if asked.url.startswith((demo_server.url, "data:", "blob:")) else found.append(asked.url),
    )
    yield found
    assert found == []
