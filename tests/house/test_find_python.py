"""`make` finds a Python by itself; these tests put made-up Pythons on a made-up PATH."""

import os
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def _fake_python(folder: Path, name: str, *, says: str = "", exit_code: int = 0) -> None:
    """Put a program called `name` in `folder` that prints a line and ends, whatever it is asked."""
    folder.mkdir(parents=True, exist_ok=True)
    program = folder / name
    program.write_text(f"#!/bin/sh\n[ -n '{says}' ] && echo '{says}'\nexit {exit_code}\n")
    program.chmod(0o755)


def _find(path: Path, *, elsewhere: str = "") -> subprocess.CompletedProcess[str]:
    """Run the finder with only `path` and the system's plain tools (no Python among them) on PATH."""
    tools = path.parent / "plain-tools"
    tools.mkdir(exist_ok=True)
    for tool in ("awk", "cut", "head", "paste", "sed", "sort", "tr"):
        if not (tools / tool).exists():
            real = next(Path(f) / tool for f in os.defpath.split(":") if f and (Path(f) / tool).exists())
            (tools / tool).symlink_to(real)
    environment = {"PATH": f"{path}:{tools}", "HOME": str(path.parent), "PRATIQUE_PYTHON_FOLDERS": elsewhere}
    return subprocess.run(
        ["/bin/sh", str(ROOT / "tools" / "find_python.sh")],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_newest_of_3_12_and_3_13_is_taken(tmp_path: Path) -> None:
    """Where both are there, 3.13 wins, and within 3.13 the later release."""
    names = tmp_path / "names"
    _fake_python(names, "python3.12", says="3.12.11 works - /a/python3.12")
    _fake_python(names, "python3.13", says="3.13.2 works - /a/python3.13")
    _fake_python(tmp_path / "more", "python3.13", says="3.13.10 works - /b/python3.13")

    found = _find(names, elsewhere=str(tmp_path / "more"))

    assert found.stdout == "/b/python3.13\n"


def test_a_shim_that_answers_127_is_passed_over(tmp_path: Path) -> None:
    """A version manager's shim for an unselected version is on PATH but runs nothing; the one behind it is found."""
    shims = tmp_path / "shims"
    _fake_python(shims, "python3.13", exit_code=127)
    _fake_python(shims, "python3", says="3.11.7 works - /shims/python3")
    _fake_python(tmp_path / "versions" / "3.13.0" / "bin", "python3.13", says="3.13.0 works - /versions/python3.13")

    found = _find(shims, elsewhere=str(tmp_path / "versions" / "3.13.0" / "bin"))

    assert found.stdout == "/versions/python3.13\n"


def test_an_unselected_version_under_pyenv_is_found(tmp_path: Path) -> None:
    """pyenv keeps its Pythons under its root; none of them needs to be selected."""
    # Its release number is later than any this machine can have in its system folders.
    _fake_python(tmp_path / "pyenv/versions/3.13.999/bin", "python3.13", says="3.13.999 works - /pyenv/python3.13")
    environment = {"PATH": os.defpath, "HOME": str(tmp_path), "PYENV_ROOT": str(tmp_path / "pyenv")}

    script = ["/bin/sh", str(ROOT / "tools" / "find_python.sh")]
    found = subprocess.run(script, env=environment, capture_output=True, text=True, check=False)

    assert found.stdout == "/pyenv/python3.13\n"


@pytest.mark.parametrize("version", ["3.11.7", "3.14.0"])
def test_another_version_gets_a_sentence(tmp_path: Path, version: str) -> None:
    """Older and newer Pythons are named, with what would be right."""
    names = tmp_path / "names"
    _fake_python(names, "python3", says=f"{version} works - /usr/bin/python3")

    found = _find(names)

    assert found.returncode == 1
    assert found.stdout == ""
    assert f"needs Python 3.12 or 3.13; this machine has {version}." in found.stderr


def test_no_python_at_all_gets_a_sentence(tmp_path: Path) -> None:
    """A machine without Python is told so."""
    (tmp_path / "names").mkdir()

    found = _find(tmp_path / "names")

    assert found.returncode == 1
    assert "this machine has none." in found.stderr


def test_a_python_without_venv_is_named_with_what_to_install(tmp_path: Path) -> None:
    """Debian packs venv apart; the sentence says which package brings it."""
    names = tmp_path / "names"
    _fake_python(names, "python3.12", says="3.12.3 lacks ensurepip /usr/bin/python3.12")

    found = _find(names)

    assert found.returncode == 1
    assert "Python 3.12.3 is here, but without its 'ensurepip' module" in found.stderr
    assert "python3.12-venv" in found.stderr
