"""What `pip install` gives must run without this repository and without Node."""

import subprocess
import zipfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def test_the_wheel_carries_the_bundle_the_pages_and_the_figures(tmp_path: Path) -> None:
    """The built script is not committed, so it would be left out silently; the other data files likewise."""
    uv = subprocess.run([ROOT / "tools" / "find_uv.sh"], check=True, capture_output=True, text=True).stdout.strip()
    command = [uv, "build", "--quiet", "--wheel", "--python", ROOT / ".venv" / "bin" / "python", "--out-dir", tmp_path]
    subprocess.run(command, cwd=ROOT, check=True)

    (wheel,) = tmp_path.glob("pratique-*.whl")
    packed = set(zipfile.ZipFile(wheel).namelist())

    data = {
        path.relative_to(ROOT / "src").as_posix()
        for path in (ROOT / "src" / "pratique").rglob("*")
        if path.is_file() and path.suffix in {".css", ".html", ".js", ".toml", ".csv"}
    }
    assert "pratique/web/static/pratique/built/pratique.js" in data
    assert data <= packed
    assert [name for name in packed if name.startswith(("tests/", "tools/", "frontend/"))] == []
