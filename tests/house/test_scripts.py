"""The house's shell scripts, run in a copy of the tree where something is missing."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    """Return a tree with the tools and an empty front end without its entry."""
    shutil.copytree(ROOT / "tools", tmp_path / "tools", ignore=shutil.ignore_patterns("__pycache__"))
    (tmp_path / "frontend").mkdir()
    for name in ("package.json", "package-lock.json", "build.mjs", ".npmrc"):
        shutil.copy(ROOT / "frontend" / name, tmp_path / "frontend" / name)
    return tmp_path


def _run(script: Path, *arguments: str, **changed: str) -> subprocess.CompletedProcess[str]:
    command = ["/bin/sh", str(script), *arguments]
    return subprocess.run(command, env=os.environ | changed, capture_output=True, text=True, check=False)


def test_the_demo_goes_on_without_the_bundle(tree: Path) -> None:
    """A bundle that cannot be built is a warning, because every page works without script."""
    ended = _run(tree / "tools" / "build_bundle.sh")

    assert ended.returncode == 0
    assert "Warning: the script bundle could not be built" in ended.stderr


def test_the_tests_stop_without_the_bundle(tree: Path) -> None:
    """The tests look at the script too, so there a missing bundle is an error."""
    ended = _run(tree / "tools" / "build_bundle.sh", "--strict")

    assert ended.returncode == 1
    assert "frontend/src/main.js is missing" in ended.stderr


def test_a_missing_system_package_is_named(tree: Path, tmp_path: Path) -> None:
    """Without root nothing is installed; the sentence says what to install."""
    programs = tmp_path / "programs"
    programs.mkdir()
    (programs / "id").write_text("#!/bin/sh\necho 1000\n")
    (programs / "id").chmod(0o755)

    ended = _run(tree / "tools" / "system_packages.sh", "chromium", PATH=str(programs), CHROMIUM="")

    assert ended.returncode == 1
    assert "need these programs: chromium. Install them" in ended.stderr


def test_a_browser_named_in_the_environment_is_enough(tree: Path, tmp_path: Path) -> None:
    """CHROMIUM may name a browser that is not on PATH."""
    ended = _run(tree / "tools" / "system_packages.sh", "chromium", PATH=str(tmp_path), CHROMIUM="/bin/sh")

    assert ended.returncode == 0
