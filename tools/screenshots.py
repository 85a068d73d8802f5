"""Draw every page of the demo household at phone and desk width, light and dark, into a folder to be looked at.

Usage: python tools/screenshots.py [FOLDER]   (default: test-results/screenshots)
"""

import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urljoin, urlsplit

from playwright.sync_api import Browser, BrowserType, Page, sync_playwright

ROOT = Path(__file__).resolve().parent.parent
SIZES = {"phone": (390, 844), "desk": (1280, 800)}
SCHEMES = ("light", "dark")
START_SECONDS = 60
# Pages are found by following links from these; of pages that are all alike, one is enough.
BEGIN = ("/", "/systems/", "/animals/", "/passages/", "/growths/", "/write/", "/more/", "/ledger/", "/settings/")
ONE_IS_ENOUGH = ("entries", "photos")
LEFT_OUT = ("static", "healthy", "api")


def main(arguments: list[str]) -> int:
    """Make a demo home, serve it, and draw its pages; the exit code says whether every page could be drawn."""
    folder = Path(arguments[0]) if arguments else ROOT / "test-results" / "screenshots"
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="pratique-screenshots-") as scratch:
        home = Path(scratch) / "household"
        home.mkdir()
        environment = _environment(home)
        _pratique("demo", "--no-serve", environment=environment)
        with _served(environment, Path(scratch) / "serve.log") as address, sync_playwright() as playwright:
            browser = _browser(playwright.chromium)
            failed = _draw_everything(browser, address, folder)
            browser.close()
    print(f"Drawn into {folder}")
    return 1 if failed else 0


def _environment(home: Path) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PRATIQUE_")}
    return kept | {"PRATIQUE_HOME": str(home)}


def _pratique(*arguments: str, environment: dict[str, str]) -> None:
    command = [sys.executable, "-m", "pratique", *arguments]
    subprocess.run(command, env=environment, check=True, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL)


@contextmanager
def _served(environment: dict[str, str], log_file: Path) -> Iterator[str]:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    command = [sys.executable, "-m", "pratique", "serve", "--port", str(port)]
    with log_file.open("wb") as log:
        server = subprocess.Popen(command, env=environment, stdin=subprocess.DEVNULL, stdout=log, stderr=log)
    try:
        _wait(server, port, log_file)
        yield f"http://127.0.0.1:{port}"
    finally:
        server.terminate()
        server.wait(timeout=15)


def _wait(server: "subprocess.Popen[bytes]", port: int, log_file: Path) -> None:
    end = time.monotonic() + START_SECONDS
    while time.monotonic() < end and server.poll() is None:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=0.5).close()
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise SystemExit(f"pratique serve did not answer:\n{log_file.read_text(errors='replace')}")


def _browser(chromium: BrowserType) -> Browser:
    found = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        raise SystemExit("Chromium is not installed: install the system package chromium, or name it in CHROMIUM.")
    flags = ["--disable-gpu", "--no-first-run", *(["--no-sandbox"] if os.geteuid() == 0 else [])]
    return chromium.launch(executable_path=found, args=flags)


def _draw_everything(browser: Browser, address: str, folder: Path) -> int:
    paths = _pages(browser.new_page(), address)
    failed = 0
    for size, (width, height) in SIZES.items():
        for scheme in SCHEMES:
            context = browser.new_context(
                viewport={"width": width, "height": height}, color_scheme=scheme, device_scale_factor=2
            )
            page = context.new_page()
            for path in paths:
                answer = page.goto(address + path)
                if answer is None or not answer.ok:
                    print(f"{path} answered {answer.status if answer else 'nothing'}")
                    failed += 1
                page.screenshot(path=folder / f"{_name(path)}-{size}-{scheme}.png", full_page=True)
            context.close()
    print(f"{len(paths)} pages, {len(SIZES)} widths, light and dark")
    return failed


def _pages(page: Page, address: str) -> list[str]:
    """Return every page that links lead to, without what a query changes."""
    found: list[str] = []
    waiting = list(BEGIN)
    while waiting:
        path = waiting.pop(0)
        is_file = "." in path.rsplit("/", 1)[-1]
        if is_file or _alike(path) in map(_alike, found) or _alike(path)[0] in LEFT_OUT:
            continue
        answer = page.goto(address + path)
        if answer is None or "text/html" not in answer.headers.get("content-type", ""):
            continue
        found.append(path)
        links = page.eval_on_selector_all("a[href]", "links => links.map(link => link.href)")
        waiting += [urlsplit(urljoin(address, link)).path for link in links if link.startswith(address)]
    page.close()
    return found


def _alike(path: str) -> tuple[str, ...]:
    """Return what pages that are all alike have in common: their address without its key."""
    first, *rest = path.strip("/").split("/")
    return (first, *rest[1:]) if first in ONE_IS_ENOUGH else (first, *rest)


def _name(path: str) -> str:
    return path.strip("/").replace("/", "-") or "rounds"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
