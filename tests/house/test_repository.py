"""What every commit keeps: no addresses in lock files, no machine's paths, small modules, reasons for dependencies."""

import re
import tomllib
from pathlib import Path

import pytest
from tools.module_sizes import oversized_modules
from tools.tracked_files import LOCK_FILES, complaints_about

ROOT = Path(__file__).resolve().parents[2]


def _asked_for() -> list[str]:
    """Return the names of the dependencies, of every group, that pyproject.toml and package.json ask for."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    python = [*project["project"]["dependencies"]]
    for group in project["dependency-groups"].values():
        python += group
    for extra in project["project"].get("optional-dependencies", {}).values():
        python += extra
    package = re.findall(r'^    "([\w.-]+)": "[\d.]+"', (ROOT / "frontend" / "package.json").read_text(), re.MULTILINE)
    return [re.split(r"[\[<>=!~; ]", requirement)[0] for requirement in python] + package


@pytest.mark.parametrize("name", sorted(LOCK_FILES))
def test_lock_files_hold_no_address(name: str) -> None:
    """Whoever installs takes the packages from the index their own machine is set to."""
    text = (ROOT / name).read_text(encoding="utf-8")

    assert text
    assert "://" not in text


def test_every_locked_python_package_has_a_hash() -> None:
    """A package that was swapped on the way is refused."""
    for name in ("requirements.lock", "sampler.lock", "tools/bootstrap_uv.txt", "tools/bootstrap_node.txt"):
        entries = re.split(r"\n(?=\S)", (ROOT / name).read_text(encoding="utf-8"))
        pinned = [entry for entry in entries if "==" in entry]
        assert pinned
        assert [entry.splitlines()[0] for entry in pinned if "--hash=sha256:" not in entry] == []


def test_an_address_in_a_lock_file_is_found() -> None:
    """The check that guards the lock files sees one line among others."""
    planted = "somepackage==1.0\n    # from https://example.org/simple\n"

    assert list(complaints_about("requirements.lock", planted)) == [
        "requirements.lock:2 holds an address; make it again with `make lock`."
    ]
    assert list(complaints_about("README.md", planted)) == []


@pytest.mark.parametrize("folder", ["home/keeper", "Users/keeper", "work/checkout", "root"])
def test_a_path_of_one_machine_is_found(folder: str) -> None:
    """A path copied from somebody's terminal is of no use to anyone else."""
    assert list(complaints_about("notes.md", f"see /{folder}/pratique/notes\n")) == [
        "notes.md:1 holds a path of one machine."
    ]


def test_a_path_inside_the_project_is_no_complaint() -> None:
    """Relative paths, addresses on the pages and system folders are for everyone."""
    text = "src/pratique/web/home/\nhttp://127.0.0.1:8321/systems/today/\n/usr/lib/postgresql/\n"

    assert list(complaints_about("notes.md", text)) == []


def test_no_module_is_longer_than_the_hard_stop() -> None:
    """Small modules stay readable; the stop is 400 lines."""
    assert oversized_modules(ROOT / "src" / "pratique") == []


def test_a_long_module_is_found_and_a_migration_is_not(tmp_path: Path) -> None:
    """Generated migrations may be as long as they come."""
    (tmp_path / "migrations").mkdir()
    (tmp_path / "migrations" / "0001_initial.py").write_text("x = 1\n" * 401)
    (tmp_path / "long.py").write_text("x = 1\n" * 401)
    (tmp_path / "just.py").write_text("x = 1\n" * 400)

    assert oversized_modules(tmp_path) == [(tmp_path / "long.py", 401)]


@pytest.mark.parametrize("name", _asked_for())
def test_every_dependency_has_its_reason_written_down(name: str) -> None:
    """docs/decisions/0006 says of each dependency what it replaces and why this one."""
    page = (ROOT / "docs" / "decisions" / "0006-dependencies.md").read_text(encoding="utf-8")

    rows = [line for line in page.splitlines() if line.startswith(f"| `{name}` |")]
    assert len(rows) == 1
    what_it_replaces, why_this_one = rows[0].strip("| ").split("|")[1:3]
    assert what_it_replaces.strip()
    assert why_this_one.strip()


def test_decisions_are_numbered_without_gaps_and_have_their_parts() -> None:
    """Each decision is one page with a date, a status, a context, the decision and its consequences."""
    pages = sorted((ROOT / "docs" / "decisions").glob("[0-9]*.md"))

    assert [int(page.name[:4]) for page in pages] == list(range(1, len(pages) + 1))
    for page in pages:
        text = page.read_text(encoding="utf-8")
        assert re.search(r"^Date: \d{4}-\d{2}-\d{2}$", text, re.MULTILINE), page.name
        assert re.search(r"^Status: \w+", text, re.MULTILINE), page.name
        assert re.findall(r"^## (.+)$", text, re.MULTILINE) == ["Context", "Decision", "Consequences"], page.name
