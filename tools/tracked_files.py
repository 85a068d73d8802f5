"""Look through the tracked files: lock files hold no address, and nothing holds a path of somebody's machine."""

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LOCK_FILES = {
    "requirements.lock",
    "sampler.lock",
    "frontend/package-lock.json",
    "tools/bootstrap_uv.txt",
    "tools/bootstrap_node.txt",
}
ADDRESS = re.compile(r"https?://")
# Folders that only ever exist on one person's machine: homes, and working folders named after their owner.
MACHINE_PATH = re.compile(r"(?<![\w.])/(?:home|Users|work)/[\w.-]+/|(?<![\w.])/root(?=/)")


def tracked_files(root: Path) -> list[Path]:
    """Return the files git tracks under `root`, as far as they are still there."""
    # A checkout may belong to another user than the one who checks it, which git would refuse.
    command = ["git", "-c", "safe.directory=*", "ls-files", "-z"]
    listed = subprocess.run(command, cwd=root, check=True, capture_output=True, text=True)
    return [path for name in listed.stdout.split("\0") if name and (path := root / name).is_file()]


def complaints_about(name: str, text: str) -> Iterator[str]:
    """Yield a sentence for every line of the file `name` that should not be committed."""
    for number, line in enumerate(text.splitlines(), start=1):
        if name in LOCK_FILES and ADDRESS.search(line):
            yield f"{name}:{number} holds an address; make it again with `make lock`."
        if MACHINE_PATH.search(line) or f"{ROOT}/" in line:
            yield f"{name}:{number} holds a path of one machine."


def main() -> int:
    """Print every complaint; without git (an unpacked archive) there is nothing tracked to look at."""
    if not (ROOT / ".git").exists():
        print("Not a git checkout: the tracked files were not looked through.")
        return 0
    found = [
        complaint
        for path in tracked_files(ROOT)
        for complaint in complaints_about(path.relative_to(ROOT).as_posix(), path.read_text("utf-8", "ignore"))
    ]
    print("\n".join(found), end="\n" if found else "")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
