"""Nothing a keeper was told is written is ever lost, however suddenly the writing ends."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
KILLS = 200
SEED = 20261125


def _run(environment: dict[str, str], *arguments: str) -> Any:
    ended = subprocess.run(
        [sys.executable, "-m", "tests.ledger.writers", *arguments],
        cwd=ROOT,
        env=environment | {"PYTHONPATH": str(ROOT / "src")},
        check=False,
        capture_output=True,
        text=True,
    )
    assert ended.returncode == 0, ended.stderr
    return json.loads(ended.stdout)


def test_every_acknowledged_entry_survives_two_hundred_kills(own_household: dict[str, str]) -> None:
    """Two processes write at once and are killed with SIGKILL 200 times at random moments.

    Every id a writer was told is in the ledger is there, the chain is whole, and everything derived is true: an
    entry is wholly in or not at all. The machine stays up, so this shows that a commit is all or nothing; that a
    commit has reached the disk is the database's own promise, and the test sees that it was asked for.
    """
    told = _run(own_household, "kill", str(KILLS), str(SEED))
    found = _run(own_household, "check")
    assert len(told) > KILLS
    assert set(told) <= set(found["present"])
    assert found["problems"] == []
    assert found["entries"] == len(found["present"])
    # SQLite: 2 is FULL. PostgreSQL: the server answers only after the commit is written.
    assert found["synchronous"] in {"2", "on"}
