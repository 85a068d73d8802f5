"""Name every module of the package that is longer than the hard stop; migrations are generated and do not count."""

import sys
from pathlib import Path

HARD_STOP_LINES = 400
ROOT = Path(__file__).resolve().parent.parent


def oversized_modules(package: Path, *, limit: int = HARD_STOP_LINES) -> list[tuple[Path, int]]:
    """Return the modules under `package` with more than `limit` lines, longest first."""
    lengths = [
        (path, len(path.read_text(encoding="utf-8").splitlines()))
        for path in sorted(package.rglob("*.py"))
        if "migrations" not in path.parts
    ]
    return sorted((pair for pair in lengths if pair[1] > limit), key=lambda pair: -pair[1])


def main() -> int:
    """Print the modules that are too long; the exit code says whether there is one."""
    too_long = oversized_modules(ROOT / "src" / "pratique")
    for path, lines in too_long:
        print(f"{path.relative_to(ROOT)} has {lines} lines; the hard stop is {HARD_STOP_LINES}. Split it by purpose.")
    return 1 if too_long else 0


if __name__ == "__main__":
    sys.exit(main())
