"""Take the third parties' funding addresses out of the npm lock file, so that it holds no address at all."""

import json
import sys
from pathlib import Path


def strip_funding(path: Path) -> None:
    """Rewrite the lock file at `path` without its `funding` fields; npm does not need them to install."""
    lock = json.loads(path.read_text(encoding="utf-8"))
    for package in lock["packages"].values():
        package.pop("funding", None)
    path.write_text(json.dumps(lock, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    strip_funding(Path(sys.argv[1]))
