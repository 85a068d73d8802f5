"""Measure pages and entries on a long ledger, the chemistry and the reckoning, each beside its peer; print ratios."""

import json
import os
import platform
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from benchmarks import chemistry, clips, growths, parasites, pictures, reckoning, sampler
from benchmarks.duels import run_all

REPEATS = 60


def percentile(times: list[float], share: float) -> float:
    """Return the given percentile of times in milliseconds."""
    return statistics.quantiles(times, n=100)[int(share * 100) - 1] * 1000


def timed(work: Callable[[], object], repeats: int) -> list[float]:
    """Return how long each run took, in seconds; the first three only warm up."""
    for _ in range(3):
        work()
    found = []
    for _ in range(repeats):
        began = time.perf_counter()
        work()
        found.append(time.perf_counter() - began)
    return found


def machine() -> str:
    """Return what this was measured on."""
    return f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, {platform.system()}"


def main() -> None:
    """Fill the long ledger in a home of its own and print every measure."""
    with tempfile.TemporaryDirectory(prefix="pratique-bench-") as home:
        os.environ["PRATIQUE_HOME"] = home
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "pratique.settings")
        from pratique.cli.opening import open_home  # noqa: PLC0415 - the home must be chosen first

        open_home()
        from benchmarks import measures  # noqa: PLC0415
        from benchmarks.five_years import fill, now  # noqa: PLC0415
        from pratique.settings import DATABASES  # noqa: PLC0415

        entries = fill(now())
        database = DATABASES["default"]["ENGINE"].rpartition(".")[2]
        print(f"machine: {machine()}; database: {database}; entries: {entries}")
        results = []
        for measure in (measures.rounds_page, measures.append_one):
            ours, peer, words = measure()
            ours_ms, peer_ms = timed(ours, REPEATS), timed(peer, REPEATS)
            row = {
                "what": words.what,
                "target_ms": words.target_ms,
                "p50_ms": round(statistics.median(ours_ms) * 1000, 2),
                "p95_ms": round(percentile(ours_ms, 0.95), 2),
                "peer": words.peer,
                "peer_p50_ms": round(statistics.median(peer_ms) * 1000, 2),
                "peer_p95_ms": round(percentile(peer_ms, 0.95), 2),
                "ratio_p50": round(statistics.median(ours_ms) / statistics.median(peer_ms), 2),
            }
            results.append(row)
            print(
                f"{row['what']}: p50 {row['p50_ms']} ms, p95 {row['p95_ms']} ms (target {row['target_ms']} ms)\n"
                f"  peer, {row['peer']}: p50 {row['peer_p50_ms']} ms, p95 {row['peer_p95_ms']} ms; "
                f"ratio {row['ratio_p50']}"
            )
        results += run_all(
            (
                *chemistry.DUELS,
                *reckoning.DUELS,
                *parasites.DUELS,
                *growths.DUELS,
                *pictures.DUELS,
                *clips.DUELS,
                *sampler.duels(),
            )
        )
        if len(sys.argv) > 1:
            Path(sys.argv[1]).write_text(json.dumps(results, indent=2))


if __name__ == "__main__":
    main()
